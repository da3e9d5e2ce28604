"""Keeping the due state: worked out again for one airplane whenever its records change."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING

from annual_planner.records.due_on_day import airplane_stands, note_on_day
from annual_planner.records.due_working import (
    ANNUAL,
    AircraftDue,
    NeedDue,
    due_working,
    work_out,
)
from annual_planner.store.due_days import LineStands
from annual_planner.store.due_facts import (
    KeptDue,
    KeptStanding,
    aircraft_of_requirement,
    due_facts,
    write_due,
)
from annual_planner.store.writing import lock_aircraft
from annual_planner.trade.periods import interval_text

if TYPE_CHECKING:
    from annual_planner.store.session import Work
    from annual_planner.trade.working import Working


def refresh(work: Work, aircraft_id: int, today: date) -> None:
    """Work out an airplane's due state as of `today` and keep it, in the transaction of what changed it."""
    lock_aircraft(work, aircraft_id)
    facts = due_facts(work, aircraft_id)
    worked = work_out(facts, today)
    lines = [_kept(each, aircraft_id) for each in worked.needs]
    write_due(work, aircraft_id, lines, _standing(worked, aircraft_id, today))


def kept_on(work: Work, aircraft_id: int, today: date) -> list[KeptDue]:
    """An airplane's due state as of `today`, without keeping it."""
    worked = work_out(due_facts(work, aircraft_id), today)
    return [_kept(each, aircraft_id) for each in worked.needs]


def _kept(worked: NeedDue, aircraft_id: int) -> KeptDue:
    due, need, stands = worked.due.value, worked.need, worked.stands
    foreseen = worked.forecast.value if worked.forecast else None
    return KeptDue(
        requirement_id=need.requirement_id,
        aircraft_id=aircraft_id,
        due_on=due.on,
        due_hours=due.hours,
        due_cycles=due.cycles,
        hours_left=worked.hours_left,
        cycles_left=worked.cycles_left,
        state=stands.state.value.value,
        first_limit=stands.first_limit,
        forecast_on=foreseen.on if foreseen else None,
        early_on=foreseen.early_on if foreseen else None,
        late_on=foreseen.late_on if foreseen else None,
        passed_on=worked.passed_on,
        comes_first_on=stands.comes_first_on,
        looks_again_on=stands.looks_again_on,
        last_on=worked.last.on if worked.last else None,
        last_hours=worked.last.hours if worked.last else None,
        counts_on=worked.counts_on,
        interval=interval_text(need.interval) if need.interval else "",
        note=note_on_day(need.note, stands.past_advice),
    )


def _standing(worked: AircraftDue, aircraft_id: int, today: date) -> KeptStanding:
    stands = airplane_stands([_line_stands(each) for each in worked.needs])
    annual = next((each for each in worked.needs if each.need.key == ANNUAL), None)
    return KeptStanding(
        aircraft_id=aircraft_id,
        comes_first_on=stands.comes_first_on,
        first_requirement_id=stands.first_requirement_id,
        first_title=stands.first_title,
        state=stands.state,
        overdue=stands.overdue,
        due_soon=stands.due_soon,
        annual_due_on=annual.due.value.on if annual else None,
        hours_now=worked.now.hours,
        landings_now=worked.now.cycles,
        read_on=worked.read_on,
        hours_per_month=worked.usage.value.hours_per_month,
        worked_out_on=today,
        looks_again_on=worked.counts_until,
    )


def _line_stands(worked: NeedDue) -> LineStands:
    need, stands = worked.need, worked.stands
    state = stands.state.value.value
    return LineStands(need.requirement_id, need.title, need.force.binding, state, stands.comes_first_on)


def explain_due(work: Work, requirement_id: int, today: date) -> Working:
    """The working behind one due line: the due point, how it stands, the forecast and the usage behind it."""
    facts = due_facts(work, aircraft_of_requirement(work, requirement_id))
    worked = work_out(facts, today, only=requirement_id)
    return due_working(worked.usage, worked.needs[0])


def explain_dues(work: Work, aircraft_id: int, today: date) -> dict[int, Working]:
    """The working behind every due line of an airplane, by requirement; its facts are read once."""
    worked = work_out(due_facts(work, aircraft_id), today)
    return {each.need.requirement_id: due_working(worked.usage, each) for each in worked.needs}


def explain_usage(work: Work, aircraft_id: int, today: date) -> Working:
    """The working behind the hours a month an airplane is taken to fly."""
    return work_out(due_facts(work, aircraft_id), today, only=0).usage.working
