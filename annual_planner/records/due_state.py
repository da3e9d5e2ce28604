"""Keeping the due state: worked out again for one airplane whenever its records change."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from typing import TYPE_CHECKING

from annual_planner.records.due_working import (
    ANNUAL,
    AircraftDue,
    NeedDue,
    due_working,
    not_before,
    work_out,
)
from annual_planner.store.due_facts import (
    KeptDue,
    KeptStanding,
    aircraft_of_requirement,
    due_facts,
    write_due,
)
from annual_planner.store.rows import PAST_ADVICE
from annual_planner.store.writing import lock_aircraft
from annual_planner.trade.periods import DueState, interval_text

if TYPE_CHECKING:
    from annual_planner.store.session import Work
    from annual_planner.trade.working import Working

_WORST = (DueState.OVERDUE, DueState.NEVER_DONE, DueState.DUE_SOON, DueState.OK)


def refresh(work: Work, aircraft_id: int, today: date) -> None:
    """Work out an airplane's due state as of `today` and keep it, in the transaction of what changed it."""
    lock_aircraft(work, aircraft_id)
    facts = due_facts(work, aircraft_id)
    worked = work_out(facts, today)
    lines = [_kept(each, aircraft_id, today) for each in worked.needs]
    write_due(work, aircraft_id, lines, _standing(worked, aircraft_id))


def kept_on(work: Work, aircraft_id: int, today: date) -> list[KeptDue]:
    """An airplane's due state as of `today`, without keeping it."""
    worked = work_out(due_facts(work, aircraft_id), today)
    return [_kept(each, aircraft_id, today) for each in worked.needs]


def _kept(worked: NeedDue, aircraft_id: int, today: date) -> KeptDue:
    due, need = worked.due.value, worked.need
    foreseen = worked.forecast.value if worked.forecast else None
    return KeptDue(
        requirement_id=need.requirement_id,
        aircraft_id=aircraft_id,
        due_on=due.on,
        due_hours=due.hours,
        due_cycles=due.cycles,
        hours_left=worked.hours_left,
        state=worked.state.value.value,
        first_limit=worked.first_limit,
        forecast_on=not_before(foreseen.on, today) if foreseen else None,
        early_on=not_before(foreseen.early_on, today) if foreseen else None,
        late_on=not_before(foreseen.late_on, today) if foreseen else None,
        comes_first_on=worked.comes_first_on,
        worked_out_on=today,
        last_on=worked.last.on if worked.last else None,
        last_hours=worked.last.hours if worked.last else None,
        counts_on=worked.counts_on,
        interval=interval_text(need.interval) if need.interval else "",
        note=f"{PAST_ADVICE} {need.note}".strip() if worked.past_advice else need.note,
    )


def _standing(worked: AircraftDue, aircraft_id: int) -> KeptStanding:
    binding = [each for each in worked.needs if each.need.force.binding]
    first = _first(binding) or _first(worked.needs)
    annual = next((each for each in worked.needs if each.need.key == ANNUAL), None)
    return KeptStanding(
        aircraft_id=aircraft_id,
        comes_first_on=first.comes_first_on if first else None,
        first_requirement_id=first.need.requirement_id if first else None,
        first_title=first.need.title if first else "",
        state=_worst(binding).value,
        overdue=_count(binding, DueState.OVERDUE),
        due_soon=_count(binding, DueState.DUE_SOON),
        annual_due_on=annual.due.value.on if annual else None,
        hours_now=worked.now.hours,
        landings_now=worked.now.cycles,
        read_on=worked.read_on,
        hours_per_month=worked.usage.value.hours_per_month,
    )


def _first(needs: Sequence[NeedDue]) -> NeedDue | None:
    dated = [each for each in needs if each.comes_first_on is not None]
    return min(dated, key=lambda each: each.comes_first_on or date.max, default=None)


def _worst(binding: Sequence[NeedDue]) -> DueState:
    """How the airplane stands: as its worst binding requirement; advice doesn't hold an airplane up."""
    states = {each.state.value for each in binding}
    return next((state for state in _WORST if state in states), DueState.OK)


def _count(needs: Sequence[NeedDue], state: DueState) -> int:
    return sum(each.state.value is state for each in needs)


def explain_due(work: Work, requirement_id: int, today: date) -> Working:
    """The working behind one due line: the due point, how it stands, the forecast and the usage behind it."""
    facts = due_facts(work, aircraft_of_requirement(work, requirement_id))
    worked = work_out(facts, today, only=requirement_id)
    return due_working(worked.usage, worked.needs[0])


def explain_usage(work: Work, aircraft_id: int, today: date) -> Working:
    """The working behind the hours a month an airplane is taken to fly."""
    return work_out(due_facts(work, aircraft_id), today, only=0).usage.working
