"""When each requirement is next due if everything on the package is done."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date

from annual_planner.planning.package_view import DueAfter
from annual_planner.planning.weighed import hours_on
from annual_planner.records.due_state import explain_due
from annual_planner.records.due_working import STARTS_ANEW
from annual_planner.store.fleet_reads import aircraft_sheet
from annual_planner.store.packages import item_lines, package_dates
from annual_planner.store.rows import AircraftSheet
from annual_planner.store.session import Work
from annual_planner.store.weighable import Weighable, weighables
from annual_planner.trade.intervals import next_due, overrun_within_allowance
from annual_planner.trade.periods import DuePoint, DueState, Force, Point
from annual_planner.trade.refused import Refused
from annual_planner.trade.said import said_date
from annual_planner.trade.standing import due_state
from annual_planner.trade.working import Input, Step, Worked, Working

NEW_MARK = " (next: as marked on the new one)"
"""Behind the title of what has a printed date: the next one isn't known before the new part is in hand."""


def due_after(
    things: Iterable[Weighable], done_now: frozenset[int], sheet: AircraftSheet, start_on: date
) -> tuple[DueAfter, ...]:
    """Every requirement that still applies: what is done now counts from the start, the rest stands."""
    still = [thing for thing in things if not thing.terminated]
    done = done_with(still, done_now)
    found = [_after(thing, thing.line.requirement_id in done, sheet, start_on) for thing in still]
    return tuple(sorted(found, key=lambda each: (each.due_on or date.max, each.title)))


def done_with(things: Sequence[Weighable], done_now: frozenset[int]) -> frozenset[int]:
    """What is done now, and what counts anew with it: an annual is at least a 100-hour inspection."""
    done = {thing.line.key for thing in things if thing.line.requirement_id in done_now}
    anew = {thing.line.requirement_id for thing in things if STARTS_ANEW.get(thing.line.key) in done}
    return done_now | anew


def _after(thing: Weighable, done: bool, sheet: AircraftSheet, start_on: date) -> DueAfter:
    hours = hours_on(thing.hours_now, sheet, start_on).value
    due = due_if_done(thing, sheet, start_on).value if done else thing.due
    marked = done and _read_off_the_new_one(thing)
    state = due_state(due, Point(start_on, hours), force=Force(thing.line.force)).value
    return DueAfter(
        title=thing.line.title + (NEW_MARK if marked else ""),
        citation=thing.line.citation,
        counts_on=thing.line.counts_on,
        done_now=done,
        due_on=due.on,
        due_hours=due.hours,
        state=DueState.OK.value if marked else state.value,
        requirement_id=thing.line.requirement_id,
    )


def _read_off_the_new_one(thing: Weighable) -> bool:
    return thing.interval is None and thing.fixed_on is not None


def explain_due_after(work: Work, package_id: int, requirement_id: int, today: date) -> Working:
    """When a requirement is next due after a visit, and why: projected if it is done in it, else as it was.

    The point on record now stands among the parts. Refused where the requirement is gone.
    """
    dates = package_dates(work, package_id)
    things = {each.line.requirement_id: each for each in weighables(work, dates.aircraft_id)}
    if requirement_id not in things:
        raise Refused("The requirement is no longer in the fleet.", "Look at the list again.")
    thing, sheet = things[requirement_id], aircraft_sheet(work, dates.aircraft_id)
    decided = frozenset(item.due.requirement_id for item in item_lines(work, package_id) if item.do_now)
    done = requirement_id in done_with(list(things.values()), decided)
    recorded = explain_due(work, requirement_id, today)
    projected = _projected(thing, sheet, dates.start_on) if done else None
    return Working(
        title=f"{thing.line.title}: next due after this visit",
        result=projected.result if projected is not None else recorded.result,
        inputs=(
            Input("the visit starts", said_date(dates.start_on), source=f"package {dates.number}"),
            Input(
                "done in this visit", "yes" if done else "no", source="as decided on the tab of what is due"
            ),
        ),
        steps=(
            Step("what is done now counts from the visit" if done else "left: the point on record stands"),
        ),
        parts=(projected, recorded) if projected is not None else (recorded,),
    )


def _projected(thing: Weighable, sheet: AircraftSheet, start_on: date) -> Working:
    """The next point if it is done on the first day of the visit, with the hours expected then."""
    hours = hours_on(thing.hours_now, sheet, start_on).working
    if thing.interval is None:
        marked = _read_off_the_new_one(thing)
        return Working(
            title="If it is done in this visit",
            result="as marked on the new one" if marked else "nothing more is due",
            assumptions=("The next day is read off the new part when it is in hand.",) if marked else (),
        )
    counted = due_if_done(thing, sheet, start_on).working
    return Working(
        title="If it is done in this visit",
        result=counted.result,
        inputs=counted.inputs,
        steps=counted.steps,
        rules=counted.rules,
        assumptions=(
            *counted.assumptions,
            f"It is done on the first day of the visit, {said_date(start_on)}.",
        ),
        parts=(*counted.parts, hours),
    )


def due_if_done(thing: Weighable, sheet: AircraftSheet, start_on: date) -> Worked[DuePoint]:
    """The next due if it is done on the first day of the visit, at the hours expected then.

    A printed date is taken as used up by the doing: the next one is read off the new part.
    """
    hours = hours_on(thing.hours_now, sheet, start_on)
    if thing.interval is None:
        return Worked(DuePoint(), hours.working)
    done, previous = Point(start_on, hours.value), thing.due if thing.due.hours is not None else None
    counted = next_due(
        thing.interval,
        done,
        previous_due=previous,
        ordinary_overrun=overrun_within_allowance(thing.interval, done, previous),
        title=thing.line.title,
        citation=thing.line.citation,
    )
    return Worked(counted.value, counted.working)
