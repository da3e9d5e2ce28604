"""The list of what comes due on one airplane, from the fleet."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from PySide6.QtCore import QObject

from annual_planner.desktop.aircraft.lists import DUE
from annual_planner.desktop.desk import Desk
from annual_planner.desktop.listing import Listing, Words
from annual_planner.desktop.source import FleetSource, Query
from annual_planner.store import fleet_reads as reads
from annual_planner.store.rows import DueLine
from annual_planner.store.session import Work
from annual_planner.trade.periods import DueState

STATES = (DueState.OVERDUE.value, DueState.DUE_SOON.value, DueState.OK.value, DueState.NEVER_DONE.value)
WORDS = Words(
    "requirements",
    "No requirements yet",
    "Take on what Part 91 asks of an airplane like this one, or add a requirement by hand.",
    "Take on the usual ones",
)


def due_list(
    desk: Desk, asker: QObject, aircraft_id: Callable[[], int | None], take_on: Callable[[], object]
) -> Listing[DueLine]:
    """The list; `aircraft_id` tells of which airplane, `take_on` is offered while there are none."""

    def ids(work: Work, query: Query) -> list[int]:
        of = aircraft_id()
        if of is None:
            return []
        return reads.due_ids(
            work,
            aircraft_id=of,
            state=query.state,
            search=query.search,
            order=query.order or "comes_first",
            descending=query.descending,
            then=query.then,
        )

    def rows(work: Work, wanted: Sequence[int]) -> Sequence[DueLine]:
        return reads.due_lines(work, wanted)

    source = FleetSource(desk.jobs, asker, ids, rows, lambda line: line.requirement_id)
    return Listing(desk, "aircraft-due", DUE, source, WORDS, states=STATES, next_step=take_on)
