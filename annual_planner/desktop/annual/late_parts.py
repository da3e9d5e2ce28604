"""The parts in which an annual is done and closed; each is made when somebody first looks at it."""

from __future__ import annotations

from functools import cached_property
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, Signal

from annual_planner.desktop.desk import Desk
from annual_planner.desktop.later import Later

if TYPE_CHECKING:
    from annual_planner.desktop.annual.closing_tab import ClosingTab
    from annual_planner.desktop.annual.in_work.tab import InWork
    from annual_planner.desktop.annual.seen import Shown


class LateParts(QObject):
    """In work and Closing: what stands on their tabs, and what they ask for once they are made."""

    wants_working = Signal(object)
    wants_discrepancy = Signal(int)
    wants_card = Signal(int)
    """A card is wanted in the order of the work."""
    made = Signal(object, str, object)
    """A part was just made: its actions, the name of their menu within 'Here', and the part itself."""

    def __init__(self, desk: Desk, parent: QObject) -> None:
        super().__init__(parent)
        self._desk = desk
        self._shown: Shown | None = None
        self.in_work_part = Later(lambda: self.in_work, "In work")
        self.closing_part = Later(lambda: self.closing, "Closing")

    @cached_property
    def in_work(self) -> InWork:
        """The part in which cards are done."""
        from annual_planner.desktop.annual.in_work.tab import InWork

        part = InWork(self._desk)
        part.wants_working.connect(self.wants_working)
        part.wants_discrepancy.connect(self.wants_discrepancy)
        if self._shown is not None:
            part.take(self._shown)
        self.made.emit(tuple(part.doings.by_name.values()), "I&n work", part)
        return part

    @cached_property
    def closing(self) -> ClosingTab:
        """The part that closes the package."""
        from annual_planner.desktop.annual.closing_tab import ClosingTab

        part = ClosingTab(self._desk)
        part.wants_card.connect(self.wants_card)
        part.wants_discrepancy.connect(self.wants_discrepancy)
        if self._shown is not None:
            part.take(self._shown)
        self.made.emit(tuple(part.doings.values()), "C&losing", part)
        return part

    def take(self, shown: Shown) -> None:
        """Show a package on the parts that are made, and on the others once they are."""
        self._shown = shown
        for name in ("in_work", "closing"):
            if name in self.__dict__:
                getattr(self, name).take(shown)
