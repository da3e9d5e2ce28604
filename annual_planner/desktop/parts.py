"""The parts of a page on tabs; one that needs more room scrolls and never widens the window."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import QEvent, QObject, Qt, Signal
from PySide6.QtWidgets import QTabWidget, QToolButton, QWidget

from annual_planner.desktop.form import Scrolled
from annual_planner.desktop.least_rows import keep_rows
from annual_planner.desktop.listing import Listing
from annual_planner.desktop.page import Page
from annual_planner.desktop.theme import Theme

LEAST_LINES = 13
"""Least height of tabs and what is on them, in lines of text."""
FRAME_PX = 4
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
        self.tabBar().setDrawBase(False)
        self.setUsesScrollButtons(True)
        for inner, words in zip(self.tabBar().findChildren(QToolButton), ARROWS, strict=False):
            inner.setAccessibleName(words)
        self.currentChanged.connect(lambda _place: self.turned.emit())

    def add(self, part: QWidget, words: str) -> None:
        """Add a part under its words."""
        part.setObjectName("scrolled")
        keep_rows(part)
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

    def turn(self, step: int) -> None:
        """Show the next part, or the one before, round and round; the keys act on it."""
        self.setCurrentIndex((self.currentIndex() + step) % self.count())
        part = self.part
        inside = [] if part is None else [part, *part.findChildren(QWidget)]
        views = [each.view for each in inside if isinstance(each, Listing) and each.view.isVisible()]
        reached = [each for each in inside if each.focusPolicy() & Qt.FocusPolicy.TabFocus]
        seen = [each for each in (*views, *reached) if each.isVisible() and each.isEnabled()]
        (seen[0] if seen else self.tabBar()).setFocus(Qt.FocusReason.ShortcutFocusReason)

    def place_of(self, part: QWidget) -> int:
        """Where the part's tab stands."""
        return self.indexOf(self._holders[part])


class TabsLater(Parts):
    """Tabs that stand there by their words before what is on them is built.

    A part is built when its tab is turned to, or when something else asks for it by name.
    """

    def __init__(self, name: str, fill: Callable[[QWidget], None] | None = None) -> None:
        """`fill` shows on a part that was just made what the others show already."""
        super().__init__(name)
        self._fill = fill
        self._places: dict[str, Scrolled] = {}
        self._makes: dict[str, Callable[[], QWidget]] = {}
        self._made: dict[str, QWidget] = {}

    def add_later(self, name: str, words: str, make: Callable[[], QWidget]) -> None:
        """Add a tab whose part is made when it is first asked for."""
        empty = QWidget()
        empty.setAccessibleName(words)
        empty.setObjectName("scrolled")
        self._makes[name] = make
        self._places[name] = Scrolled(empty)
        self.addTab(self._places[name], words)

    def get(self, name: str) -> QWidget:
        """The part of that name, made where it wasn't yet."""
        found = self._made.get(name)
        if found is not None:
            return found
        part = self._made[name] = self._makes[name]()
        part.setObjectName("scrolled")
        keep_rows(part)
        holder = self._places[name]
        holder.setWidget(part)
        part.setAutoFillBackground(False)
        holder.setAccessibleName(part.accessibleName())
        self._holders[part] = holder
        if self._fill is not None:
            self._fill(part)
        return part

    def is_made(self, name: str) -> bool:
        """Whether somebody asked for that part already."""
        return name in self._made

    @property
    def names(self) -> tuple[str, ...]:
        """Of the tabs, in the order in which they were added."""
        return tuple(self._places)

    def name_of(self, part: QWidget) -> str:
        """The name of a part that is made."""
        return next(name for name, made in self._made.items() if made is part)

    @property
    def made_parts(self) -> tuple[QWidget, ...]:
        """The parts that are made already."""
        return tuple(self._made.values())

    def index_of(self, name: str) -> int:
        """Where the tab of that name stands."""
        return self.indexOf(self._places[name])

    def build_front(self) -> QWidget:
        """The part of the tab in front, made where it wasn't yet."""
        return self.get(self.name_in_front)

    @property
    def name_in_front(self) -> str:
        """The name of the tab in front."""
        shown = self.currentWidget()
        return next(name for name, holder in self._places.items() if holder is shown)


class RoomForPart(QObject):
    """Keeps tabs high enough for the part in front, so that what is around them scrolls, and not the part."""

    def __init__(self, tabs: Parts, theme: Theme) -> None:
        super().__init__(tabs)
        self._tabs, self._theme = tabs, theme
        tabs.turned.connect(self._follow)
        theme.changed.connect(self._keep)
        self._follow()

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Follow the part where it needs more height."""
        if event.type() in (QEvent.Type.LayoutRequest, QEvent.Type.Resize):
            self._keep()
        return super().eventFilter(watched, event)

    def _follow(self) -> None:
        part = self._tabs.part
        if part is not None:
            part.installEventFilter(self)
        self._keep()

    def _keep(self) -> None:
        least, part = self._theme.sizes.of(LEAST_LINES), self._tabs.part
        if part is not None:
            needs = max(part.minimumSizeHint().height(), part.minimumHeight())
            least = max(least, self._tabs.tabBar().sizeHint().height() + needs + FRAME_PX)
        if self._tabs.minimumHeight() != least:
            self._tabs.setMinimumHeight(least)


def offer_turning(page: Page, tabs: Parts) -> None:
    """Put the next part and the one before into the menu and on keys."""
    page.action(
        "Ne&xt part", lambda: tabs.turn(1), key="Ctrl+PgDown", tip="The next tab here", drawing="down"
    )
    page.action("Part &before", lambda: tabs.turn(-1), key="Ctrl+PgUp", tip="The tab before", drawing="up")
