"""The set-up of the shop in a window of its own: hours, days off, people, bays and equipment, room."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QSize, Qt
from PySide6.QtGui import QAction, QKeyEvent
from PySide6.QtWidgets import QDialog, QHBoxLayout, QVBoxLayout, QWidget

from annual_planner.desktop.desk import Desk
from annual_planner.desktop.parts import Parts
from annual_planner.desktop.shop.days_off import DaysOffPart
from annual_planner.desktop.shop.part import ShopPart
from annual_planner.desktop.shop.people import PeoplePart
from annual_planner.desktop.shop.rooms import RoomsPart
from annual_planner.desktop.shop.seen import ShopSeen, read_shop
from annual_planner.desktop.shop.things import ThingsPart
from annual_planner.desktop.shop.week import WeekPart
from annual_planner.desktop.widgets import ActionButton, Strip, button, label
from annual_planner.store.refusals import ChangedMeanwhile
from annual_planner.trade.refused import Refused

if TYPE_CHECKING:
    from annual_planner.store.session import Work

LISTENS = frozenset({"calendar", "person"})
ONLY_LOOKS = "Owners look at the shop's set-up and change nothing in it."


class ShopSetUp(QDialog):
    """Stays open beside the work. Changes save themselves; undo and redo are the window's own."""

    def __init__(self, desk: Desk, undo: QAction, redo: QAction, parent: QWidget) -> None:
        super().__init__(parent)
        self.desk = desk
        self.setWindowTitle("Shop set-up")
        self.setAccessibleName("Shop set-up")
        self.strip = Strip()
        self.looks = label(ONLY_LOOKS, section=True)
        self.tabs = Parts("Parts of the set-up")
        self.week = WeekPart(desk, self.failed)
        self.days_off = DaysOffPart(desk, self.failed)
        self.people = PeoplePart(desk, self.failed, self.show_hours, self.show_away)
        self.things = ThingsPart(desk, self.failed)
        self.rooms = RoomsPart(desk, self.failed)
        for part in self.parts:
            self.tabs.add(part, part.accessibleName())
        self._lay_out(undo, redo)
        self.addActions([undo, redo])  # so that their keys act here too
        desk.jobs.changed.connect(self._changed)
        desk.who.changed.connect(self.ask)
        self.ask()

    @property
    def parts(self) -> tuple[ShopPart, ...]:
        """All parts, in the order of their tabs."""
        return (self.week, self.days_off, self.people, self.things, self.rooms)

    def _lay_out(self, undo: QAction, redo: QAction) -> None:
        row = QHBoxLayout()
        row.addWidget(ActionButton(undo))
        row.addWidget(ActionButton(redo))
        row.addStretch(1)
        row.addWidget(button("Close", self.accept))
        column = QVBoxLayout(self)
        column.addWidget(self.strip)
        column.addWidget(self.looks)
        column.addWidget(self.tabs, 1)
        column.addLayout(row)
        line = self.fontMetrics().height()
        self.resize(QSize(line * 60, line * 38).boundedTo(self.screen().availableSize() * 0.95))

    def ask(self) -> None:
        """Read everything again."""
        desk = self.desk

        def read(work: Work) -> ShopSeen:
            return read_shop(work, desk.library(), desk.today)

        desk.jobs.read(read, self, self._take, self.failed, says="Reading the shop's set-up")

    def _take(self, seen: ShopSeen) -> None:
        self.looks.setVisible(not self.desk.who.person.may_edit)
        for part in self.parts:
            part.take(seen)

    def _changed(self, kinds: frozenset[str]) -> None:
        if kinds & LISTENS:
            self.strip.put_away()
            self.ask()

    def failed(self, error: Exception) -> None:
        """Say at the top what wasn't taken; after somebody else's change, read what they wrote."""
        if isinstance(error, Refused):
            self.strip.refuse(error)
        else:
            self.strip.say("This could not be shown or saved. What you typed is still here.", "Try again.")
        if isinstance(error, ChangedMeanwhile):
            self.ask()

    def show_hours(self, person_id: int) -> None:
        """Show a person's hours."""
        self.week.show_person(person_id)
        self.tabs.show_part(self.week)

    def show_away(self, person_id: int) -> None:
        """Ask when a person is away."""
        self.tabs.show_part(self.days_off)
        self.days_off.somebody_away(person_id)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Enter leaves a field and presses no button; Escape closes."""
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            event.accept()
        else:
            super().keyPressEvent(event)
