"""Stands in the place of who and when, and makes it when it is first looked at."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import Signal
from PySide6.QtGui import QShowEvent
from PySide6.QtWidgets import QVBoxLayout, QWidget

from annual_planner.desktop.annual.seen import Shown

if TYPE_CHECKING:
    from annual_planner.desktop.annual.held import HeldList
    from annual_planner.desktop.annual.page import AnnualPage
    from annual_planner.desktop.annual.timeline.tab import Timeline
    from annual_planner.planning.timeline import Bar


class WhoAndWhen(QWidget):
    """Remembers which package is shown until somebody looks."""

    offers = Signal()
    """What can be done with the plan has changed."""

    def __init__(self, page: AnnualPage) -> None:
        super().__init__()
        self.setAccessibleName("Who and when")
        self._page = page
        self._package_id: int | None = None
        self.made: Timeline | None = None
        self._column = QVBoxLayout(self)
        self._column.setContentsMargins(0, 0, 0, 0)

    @property
    def listing(self) -> HeldList[Bar] | None:
        """The plan's list of cards, for Find and for the keys."""
        return self.made.lists.cards if self.made is not None else None

    def take(self, shown: Shown) -> None:
        """Show a package's plan, now or when it is looked at."""
        self._package_id = shown.view.package.package_id
        if self.made is not None:
            self.made.take_package(self._package_id)

    def showEvent(self, event: QShowEvent) -> None:
        """Make the part, once."""
        if self.made is None:
            from annual_planner.desktop.annual.timeline.tab import Timeline

            self.made = Timeline(self._page)
            self.made.offers.connect(self.offers)
            self._column.addWidget(self.made)
            if self._package_id is not None:
                self.made.take_package(self._package_id)
        super().showEvent(event)
