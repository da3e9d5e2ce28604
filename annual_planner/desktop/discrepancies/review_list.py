"""The review: the list of discrepancies that the choices above it leave."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from PySide6.QtCore import Signal

from annual_planner.desktop.desk import Desk
from annual_planner.desktop.discrepancies.choice import (
    AIRWORTHY_WORDS,
    Chosen,
    Question,
    chosen_of,
    query_as_settings,
    query_of,
)
from annual_planner.desktop.discrepancies.columns import review_columns
from annual_planner.desktop.discrepancies.filter_bar import FilterBar
from annual_planner.desktop.listing import Listing, Words
from annual_planner.desktop.source import FleetSource, Query
from annual_planner.store.kept_views import KeptView
from annual_planner.store.review_rows import ReviewLine

if TYPE_CHECKING:
    from annual_planner.store.session import Work

WORDS = Words(
    "discrepancies",
    "No discrepancy here",
    "What is found on the airplanes stands here until it is put right. Raise one, or show closed ones too.",
    "Raise a discrepancy",
)
OWN = Words("discrepancies", "No discrepancy on your airplanes", "What the shop finds on them stands here.")
HIDDEN = Words(
    "discrepancies",
    "Nothing matches",
    "The choices above the list hide every discrepancy.",
    "Show all of them",
)


class ReviewList(Listing[ReviewLine]):
    """Discrepancies of the fleet, of one airplane or of an owner's airplanes."""

    wants_one = Signal()
    """The list is empty, and the first one is to be raised."""

    def __init__(self, desk: Desk, bar: FilterBar) -> None:
        """`bar`: the choices above the list."""
        self.bar = bar
        self.of_aircraft: int | None = None
        """The airplane to which the list is narrowed."""
        source = FleetSource(desk.jobs, self, self._ids, _rows, lambda line: line.discrepancy_id)
        super().__init__(
            desk, "review", review_columns(desk.today), source, WORDS,
            states=tuple(AIRWORTHY_WORDS), next_step=self._take_next_step,
        )  # fmt: skip

    def question(self, query: Query | None = None) -> Question:
        """What is shown, as the reader of the review takes it."""
        asked = query or self.table.query
        owner_id = self.desk.who.person.sees_owner_id
        which = self.bar.chosen.filter(asked.search, asked.state, self.of_aircraft, owner_id)
        return {
            "which": which,
            "order": asked.order or "age",
            "descending": asked.descending,
            "then": asked.then,
            "group": self.bar.chosen.group,
        }

    def _ids(self, work: Work, query: Query) -> list[int]:
        from annual_planner.store.discrepancy_reads import review_ids

        return review_ids(work, **self.question(query))

    def ask(self) -> None:
        """Ask again; an empty list says why it is empty."""
        self._say_empty()
        super().ask()

    def _say_empty(self) -> None:
        own = self.desk.who.person.role == "owner"
        self.say(HIDDEN if self.bar.chosen.narrows else OWN if own else WORDS)

    def _take_next_step(self) -> None:
        """Show all where the choices hide every one; else have the first raised."""
        if self.bar.chosen.narrows:
            self.bar.put(Chosen(show=self.bar.chosen.show, group=self.bar.chosen.group))
            self.ask()
        elif self.desk.who.person.may_edit:
            self.wants_one.emit()

    # -- kept views ----------------------------------------------------------------------------------

    def view_settings(self) -> dict[str, object]:
        """What is kept of the view."""
        return {**self.bar.chosen.as_settings(), **query_as_settings(self.table.query)}

    def show_view(self, view: KeptView) -> None:
        """Show what was kept under a name."""
        self.bar.put(chosen_of(view.settings))
        self._say_empty()
        self.show_query(query_of(view.settings))


def _rows(work: Work, wanted: Sequence[int]) -> list[ReviewLine]:
    from annual_planner.store.discrepancy_reads import review_lines

    return review_lines(work, wanted)
