"""The parts of a page on tabs; one that needs more room scrolls and never widens the window."""

from __future__ import annotations

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QTabWidget, QToolButton, QWidget

from annual_planner.desktop.form import Scrolled

ARROWS = ("Tabs further left", "Tabs further right")


class Parts(QTabWidget):
    """Tabs by what they show."""

    turned = Signal()
    """Another part is shown."""

    def __init__(self, name: str) -> None:
        super().__init__()
        self._holders: dict[QWidget, Scrolled] = {}
        self.setAccessibleName(name)
        self.tabBar().setAccessibleName(name)
        self.setDocumentMode(True)
        self.setUsesScrollButtons(True)
        for inner, words in zip(self.tabBar().findChildren(QToolButton), ARROWS, strict=False):
            inner.setAccessibleName(words)
        self.currentChanged.connect(lambda _place: self.turned.emit())

    def add(self, part: QWidget, words: str) -> None:
        """Add a part under its words."""
        part.setObjectName("scrolled")
        self._holders[part] = Scrolled(part)
        self.addTab(self._holders[part], words)

    @property
    def part(self) -> QWidget | None:
        """The part that is shown."""
        shown = self.currentWidget()
        return shown.widget() if isinstance(shown, Scrolled) else None

    def show_part(self, part: QWidget) -> None:
        """Show that part."""
        self.setCurrentWidget(self._holders[part])

    def place_of(self, part: QWidget) -> int:
        """Where the part's tab stands."""
        return self.indexOf(self._holders[part])
