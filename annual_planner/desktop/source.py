"""Where a list gets its rows: from the fleet by queries, or from values held in memory."""

from __future__ import annotations

from collections.abc import Callable, Generator, Sequence
from typing import TYPE_CHECKING, Any, Generic, NamedTuple, Protocol, TypeVar

from PySide6.QtCore import QObject

from annual_planner.desktop.columns import Column
from annual_planner.desktop.jobs import Failed, Jobs

if TYPE_CHECKING:
    from annual_planner.store.session import Work
    from annual_planner.store.sorting import Then

R = TypeVar("R")
ROWS_IN_BATCH = 500


class Query(NamedTuple):
    """What a person asked a list for."""

    order: str = ""
    descending: bool = False
    search: str = ""
    state: str = ""
    then: Then | None = None
    """Sort what `order` leaves equal by this."""

    @property
    def narrows(self) -> bool:
        """True when it may leave rows out."""
        return bool(self.search or self.state)


class Found(NamedTuple):
    """Ids that match, in order, and how many there are without search and filter."""

    ids: list[int]
    total: int


class Batch(NamedTuple):
    """Some of all the rows that match, and how many those are."""

    rows: Sequence[Any]
    total: int


Batches = Generator[Batch, None, None]
"""To be closed by whoever goes through them."""


class Source(Protocol[R]):
    """Gives ids for a query, rows for ids, and all rows in turn."""

    def ask_ids(self, query: Query, done: Callable[[Found], None], failed: Failed) -> None:
        """Find the ids; an answer to an older question never comes after a newer one's."""
        ...

    def ask_rows(self, ids: Sequence[int], topic: str, done: Callable[[dict[int, R]], None]) -> None:
        """Fetch rows by id."""
        ...

    def batches(self, query: Query) -> Batches:
        """All rows that match, in order; asked for here, gone through on a job's thread."""
        ...


class FleetSource(Generic[R]):
    """Rows from the fleet: one query for the ids, one for each page of rows."""

    def __init__(
        self,
        jobs: Jobs,
        asker: QObject,
        ids: Callable[[Work, Query], list[int]],
        rows: Callable[[Work, Sequence[int]], Sequence[R]],
        id_of: Callable[[R], int],
        *,
        count: Callable[[Work], int] | None = None,
    ) -> None:
        """`count` says how many there are without search and filter; else all their ids are read for it."""
        self._jobs = jobs
        self._count = count or (lambda work: len(ids(work, Query())))
        self._asker = asker
        self._ids = ids
        self._rows = rows
        self._id_of = id_of

    def ask_ids(self, query: Query, done: Callable[[Found], None], failed: Failed) -> None:
        """Find the ids off the window's thread."""

        def find(work: Work) -> Found:
            ids = self._ids(work, query)
            return Found(ids, self._count(work) if query.narrows else len(ids))

        self._jobs.read(find, self._asker, done, failed, topic=f"{id(self)} ids")

    def ask_rows(self, ids: Sequence[int], topic: str, done: Callable[[dict[int, R]], None]) -> None:
        """Fetch one page of rows off the window's thread."""

        def fetch(work: Work) -> dict[int, R]:
            return {self._id_of(row): row for row in self._rows(work, ids)}

        self._jobs.read(fetch, self._asker, done, topic=f"{id(self)} {topic}")

    def batches(self, query: Query) -> Batches:
        """All rows that match, as they stand at one moment."""
        with self._jobs.fleet.reading() as work:
            ids = self._ids(work, query)
            for at in range(0, len(ids), ROWS_IN_BATCH):
                yield Batch(self._rows(work, ids[at : at + ROWS_IN_BATCH]), len(ids))


class HeldSource(Generic[R]):
    """Rows held in memory (some thousands at most): library, cards of one package."""

    def __init__(self, columns: Sequence[Column[R]], *, state_of: Callable[[R], str] | None = None) -> None:
        self._columns = {column.sort: column for column in columns if column.sort}
        self._all = columns
        self._state_of = state_of
        self.rows: list[R] = []

    def ask_ids(self, query: Query, done: Callable[[Found], None], failed: Failed) -> None:
        """Find at once; an id is the row's place in `rows`."""
        ids = [place for place, row in enumerate(self.rows) if self._matches(row, query)]
        if query.then is not None:
            self._sort(ids, query.then.order, query.then.descending)
        self._sort(ids, query.order, query.descending)
        done(Found(ids, len(self.rows)))

    def _sort(self, ids: list[int], order: str, descending: bool) -> None:
        """Sort in place and keep equals as they stand."""
        column = self._columns.get(order)
        if column is not None:
            from annual_planner.desktop.sort_keys import natural

            by = column.by or (lambda row: natural(column.text(row)))
            ids.sort(key=lambda place: by(self.rows[place]), reverse=descending)

    def ask_rows(self, ids: Sequence[int], topic: str, done: Callable[[dict[int, R]], None]) -> None:
        """Hand the rows over at once."""
        done({place: self.rows[place] for place in ids})

    def batches(self, query: Query) -> Batches:
        """All rows that match, as they stand now."""
        found: list[int] = []
        self.ask_ids(query, lambda answer: found.extend(answer.ids), lambda _error: None)
        return _alone(Batch([self.rows[place] for place in found], len(found)))

    def _matches(self, row: R, query: Query) -> bool:
        if query.state and self._state_of is not None and self._state_of(row) != query.state:
            return False
        words = query.search.casefold().split()
        if not words:
            return True
        text = " ".join(column.text(row) for column in self._all).casefold()
        return all(word in text for word in words)


def _alone(batch: Batch) -> Batches:
    yield batch
