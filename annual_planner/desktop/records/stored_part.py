"""A list of the records, read page by page, and beside it everything about the chosen row."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING, Generic, NamedTuple, TypeVar

from PySide6.QtGui import QShowEvent

from annual_planner.desktop.columns import Column
from annual_planner.desktop.desk import Desk
from annual_planner.desktop.listing import Listing, Words
from annual_planner.desktop.source import FleetSource, Query
from annual_planner.desktop.with_details import WithDetails

if TYPE_CHECKING:
    from annual_planner.store.session import Work

R = TypeVar("R")


class Whose(NamedTuple):
    """Whose records: one airplane's, an owner's airplanes', or the fleet's."""

    aircraft_id: int | None
    owner_id: int | None


class Reads(NamedTuple, Generic[R]):
    """How a part reads: ids for a question, rows for ids, and all about one row as HTML."""

    ids: Callable[[Work, Query, Whose], list[int]]
    rows: Callable[[Work, Sequence[int]], Sequence[R]]
    id_of: Callable[[R], int]
    told: Callable[[Work, R], str]


class StoredPart(WithDetails[R]):
    """A list of records and the chosen one's details; what is told of a row is read when it is chosen."""

    def __init__(
        self,
        desk: Desk,
        kept_as: str,
        columns: Sequence[Column[R]],
        reads: Reads[R],
        words: Words,
        *,
        states: Sequence[str] = (),
    ) -> None:
        self.desk = desk
        self._reads = reads
        self._whose = Whose(None, None)
        self._stale = True
        source = FleetSource(desk.jobs, self, self._ids, reads.rows, reads.id_of)
        super().__init__(desk, Listing(desk, kept_as, columns, source, words, states=states))

    def take(self, whose: Whose) -> None:
        """Show the records of these; asked for again even where they are shown already."""
        self._whose = whose
        self.ask_again()

    def ask_again(self) -> None:
        """Ask for the list again, now or when the part comes to the front."""
        self._stale = not self.isVisible()
        if not self._stale:
            self.listing.ask()

    def showEvent(self, event: QShowEvent) -> None:
        """Ask, if it became stale while something else was in front."""
        super().showEvent(event)
        if self._stale:
            self.ask_again()

    def draw(self) -> None:
        """Have the chosen row told beside the list."""
        line = self.listing.current
        self.text.setVisible(line is not None)
        if line is None:
            self.text.setHtml("")
            return
        told = self._reads.told
        self.desk.jobs.read(lambda work: told(work, line), self, self.text.setHtml, topic="told")

    def _ids(self, work: Work, query: Query) -> list[int]:
        return self._reads.ids(work, query, self._whose)
