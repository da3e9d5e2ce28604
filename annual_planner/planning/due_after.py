"""When each requirement is next due if everything on the package is done."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date

from annual_planner.planning.package_view import DueAfter
from annual_planner.planning.weighed import hours_on
from annual_planner.store.rows import AircraftSheet
from annual_planner.store.weighable import Weighable
from annual_planner.trade.intervals import next_due
from annual_planner.trade.periods import DuePoint, DueState, Force, Point
from annual_planner.trade.standing import due_state
from annual_planner.trade.working import Worked

NEW_MARK = " (next: as marked on the new one)"
"""Behind the title of what has a printed date: the next one isn't known before the new part is in hand."""


def due_after(
    things: Iterable[Weighable], done_now: frozenset[int], sheet: AircraftSheet, start_on: date
) -> tuple[DueAfter, ...]:
    """Every requirement that still applies: what is done now counts from the start, the rest stands."""
    found = [
        _after(thing, thing.line.requirement_id in done_now, sheet, start_on)
        for thing in things
        if not thing.terminated
    ]
    return tuple(sorted(found, key=lambda each: (each.due_on or date.max, each.title)))


def _after(thing: Weighable, done: bool, sheet: AircraftSheet, start_on: date) -> DueAfter:
    hours = hours_on(thing.hours_now, sheet, start_on).value
    due = due_if_done(thing, sheet, start_on).value if done else thing.due
    marked = done and thing.interval is None and thing.fixed_on is not None
    state = due_state(due, Point(start_on, hours), force=Force(thing.line.force)).value
    return DueAfter(
        title=thing.line.title + (NEW_MARK if marked else ""),
        citation=thing.line.citation,
        counts_on=thing.line.counts_on,
        done_now=done,
        due_on=due.on,
        due_hours=due.hours,
        state=DueState.OK.value if marked else state.value,
    )


def due_if_done(thing: Weighable, sheet: AircraftSheet, start_on: date) -> Worked[DuePoint]:
    """The next due if it is done on the first day of the visit, at the hours expected then.

    A printed date is taken as used up by the doing: the next one is read off the new part.
    """
    hours = hours_on(thing.hours_now, sheet, start_on)
    if thing.interval is None:
        return Worked(DuePoint(), hours.working)
    counted = next_due(
        thing.interval,
        Point(start_on, hours.value),
        previous_due=thing.due if thing.due.hours is not None else None,
        title=thing.line.title,
        citation=thing.line.citation,
    )
    return Worked(counted.value, counted.working)
