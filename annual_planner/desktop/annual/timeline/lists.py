"""The plan as lists: cards, hours a day, what moved, awaited parts. They say what the drawing shows."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from PySide6.QtWidgets import QPushButton, QTabWidget, QVBoxLayout, QWidget

from annual_planner.desktop.annual.held import HeldList
from annual_planner.desktop.annual.timeline.columns import CARDS, HOURS, MOVES, PARTS, HoursLine
from annual_planner.desktop.desk import Desk
from annual_planner.desktop.flow import FlowRow
from annual_planner.desktop.least_rows import keep_rows
from annual_planner.desktop.listing import Words
from annual_planner.planning.crew.laid_out import Moved
from annual_planner.planning.timeline import Bar, hours_by_day
from annual_planner.store.shop_reads import PartAwaited

FIRST = "Lay out the work first."

AWAITED = Words("parts", "No part is awaited", "Add what is ordered, with its day.", "Add a part")
NOTHING_AWAITED = Words("parts", "No part is awaited", "What the shop has ordered stands here, with its day.")


class Lists(QTabWidget):
    """Four lists on tabs; each can be sorted, filtered and copied."""

    def __init__(
        self, desk: Desk, add_part: Callable[[], object], part_buttons: Sequence[QPushButton]
    ) -> None:
        super().__init__()
        self.setAccessibleName("The plan as lists")
        self.setDocumentMode(True)
        self.cards: HeldList[Bar] = HeldList(
            desk, "when-cards", CARDS, Words("cards", "Nothing is laid out", FIRST)
        )
        self.hours: HeldList[HoursLine] = HeldList(
            desk, "when-hours", HOURS, Words("days", "Nobody has work yet", FIRST)
        )
        self.moves: HeldList[Moved] = HeldList(
            desk, "when-moves", MOVES, Words("moves", "Nothing moved", "The last search kept all in place.")
        )
        self.parts: HeldList[PartAwaited] = HeldList(
            desk,
            "when-parts",
            PARTS,
            AWAITED,
            next_step=add_part,
        )
        self.addTab(self.cards, "Cards")
        self.addTab(self.hours, "Hours a day")
        self.addTab(self.moves, "Moved")
        self._parts = QWidget()
        self._parts.setAccessibleName("Awaited parts, and what can be done with them")
        row = FlowRow()
        for each in part_buttons:
            row.addWidget(each)
        column = QVBoxLayout(self._parts)
        column.setContentsMargins(0, 6, 0, 0)
        column.addLayout(row)
        column.addWidget(self.parts, 1)
        self.addTab(self._parts, "Awaited parts")
        keep_rows(self)

    def offer_parts(self, may_edit: bool) -> None:
        """Offer to add a part, to who may."""
        self.parts.say(AWAITED if may_edit else NOTHING_AWAITED)

    def show_parts(self) -> None:
        """Bring the awaited parts to the front."""
        self.setCurrentWidget(self._parts)

    def take(self, bars: Sequence[Bar]) -> None:
        """Show these bars as cards and as hours."""
        self.cards.take(bars)
        self.hours.take(hours_by_day(bars))

    def take_moves(self, moves: Sequence[Moved]) -> None:
        """Show what moved; the tab says how many."""
        self.moves.take(moves)
        self.setTabText(self.indexOf(self.moves), f"Moved ({len(moves)})" if moves else "Moved")

    def choose(self, job: str) -> None:
        """Make a job's card the current row."""
        for place, bar in enumerate(self.cards.held.rows):
            if bar.job == job:
                self.cards.point_to(place)

    def job_at(self, place: int) -> str | None:
        """The job in a row of the list of cards; None outside it."""
        rows = self.cards.held.rows
        return rows[place].job if 0 <= place < len(rows) else None
