"""What goes in: every requirement weighed for this visit, with the decision on it."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QHBoxLayout, QVBoxLayout, QWidget

from annual_planner.desktop.annual.columns import ITEMS
from annual_planner.desktop.annual.held import HeldList, Switch
from annual_planner.desktop.annual.seen import Shown
from annual_planner.desktop.desk import Desk
from annual_planner.desktop.listing import Words
from annual_planner.desktop.widgets import button, label
from annual_planner.store.rows import ItemLine
from annual_planner.trade.periods import DueState
from annual_planner.trade.said import said_date

STATES = (DueState.OVERDUE.value, DueState.DUE_SOON.value, DueState.OK.value, DueState.NEVER_DONE.value)


class WhatGoesIn(QWidget):
    """Space decides otherwise; the reason stands in the row, and below in full."""

    wants_why = Signal()

    def __init__(self, desk: Desk, failed: Callable[[Exception], None]) -> None:
        super().__init__()
        self.setAccessibleName("What goes in")
        self._desk = desk
        self._failed = failed
        words = Words("requirements", "Nothing was weighed", "No requirement of this airplane is known yet.")
        self.listing: HeldList[ItemLine] = HeldList(
            desk, "annual-items", ITEMS, words, states=STATES, state_of=lambda row: row.due.state
        )
        self.said = label("", faint=True)
        self.said.setWordWrap(True)
        self.reason = label("")
        self.reason.setWordWrap(True)
        self.switch = button("Decide otherwise", self.toggle, tip="Do it now, or leave it (Space)")
        self._width_of_switch()
        desk.theme.changed.connect(self._width_of_switch)
        self.why = button("Why?", self.wants_why.emit, tip="Show how it was weighed (F4)", quiet=True)
        self._lay_out()
        Switch(self.listing, self.toggle)
        self.listing.opened.connect(lambda _id: self.wants_why.emit())
        self.listing.pointed.connect(lambda _id: self._point())
        self.listing.answered.connect(self.listing.choose_first)
        self.listing.answered.connect(self._point)

    def _lay_out(self) -> None:
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 4, 0, 0)
        column.addWidget(self.said)
        column.addWidget(self.listing, 1)
        row = QHBoxLayout()
        row.addWidget(self.reason, 1)
        row.addWidget(self.why)
        row.addWidget(self.switch)
        column.addLayout(row)

    def _width_of_switch(self) -> None:
        """Room for either of its words."""
        self.switch.setMinimumWidth(self._desk.theme.sizes.of(6.5))

    def take(self, shown: Shown) -> None:
        """Show what was weighed."""
        view = shown.view
        now = sum(item.do_now for item in view.items)
        self.said.setText(
            f"{now} of {len(view.items)} are done at this visit, {len(view.items) - now} left."
            f" Looked ahead from {said_date(view.package.start_on)}"
            f" to {said_date(view.horizon_on)}, when the next annual would end."
        )
        self.listing.take(view.items)
        self.switch.setVisible(self._desk.who.person.may_edit)

    @property
    def current(self) -> ItemLine | None:
        """The item that is pointed at."""
        place = self.listing.current_id
        return self.listing.held.rows[place] if 0 <= place < len(self.listing.held.rows) else None

    def toggle(self) -> None:
        """Decide otherwise on the current item."""
        from annual_planner.planning.edits import SetDoNow

        item = self.current
        if item is not None and self._desk.who.person.may_edit:
            self._desk.jobs.write(
                SetDoNow(item.item_id, item.do_now, not item.do_now), self, None, self._failed
            )

    def _point(self) -> None:
        item = self.current
        self.switch.setEnabled(item is not None)
        self.why.setEnabled(item is not None)
        if item is None:
            self.reason.setText("Choose a row to read its reason; Space decides otherwise.")
            return
        self.reason.setText(f"{item.due.title}: {item.reason}")
        self.switch.setText("Leave it" if item.do_now else "Do it now")
        self.switch.setAccessibleName(self.switch.text())
