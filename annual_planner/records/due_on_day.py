"""How a requirement stands on a day: the part of the due state that changes though no record does."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date

from annual_planner.store.due_days import AirplaneStands, LineStands, not_before
from annual_planner.store.rows import PAST_ADVICE
from annual_planner.trade.periods import DuePoint, DueState, Force, Point
from annual_planner.trade.standing import comes_first_on, due_state, limits_first, looks_again_on
from annual_planner.trade.working import Step, Worked

_WORST = (DueState.OVERDUE, DueState.NEVER_DONE, DueState.DUE_SOON, DueState.OK)


@dataclass(frozen=True, slots=True)
class OnDay:
    """How a requirement stands on one day, and until when that holds if no record changes."""

    state: Worked[DueState]
    past_advice: bool
    first_limit: str
    comes_first_on: date | None
    looks_again_on: date | None
    """The first day on which any of the others may differ; None where no day changes them."""


def on_day(
    due: DuePoint, now: Point, force: Force, foreseen_on: date | None, passed_on: date | None
) -> OnDay:
    """How a requirement stands on the day of `now`, which holds the hours and cycles last read.

    `foreseen_on`: when its hour limit is reached, as counted from the last reading; `passed_on`: the day of
    the first reading beyond it. Raises ValueError for a present without a day.
    """
    if now.on is None:
        raise ValueError("how it stands is asked of a day")
    expected_on = not_before(foreseen_on, now.on)
    state, past_advice = _state(due, now, force, expected_on)
    comes_first = comes_first_on(due, now, expected_on, passed_on)
    return OnDay(
        state=state,
        past_advice=past_advice,
        first_limit=limits_first(due, now, expected_on),
        comes_first_on=comes_first,
        looks_again_on=looks_again_on(due, comes_first, foreseen_on, now.on),
    )


def _state(
    due: DuePoint, now: Point, force: Force, expected_on: date | None
) -> tuple[Worked[DueState], bool]:
    """How it stands; what is only advised is never shown as overdue."""
    worked = due_state(due, now, force=force, expected_on=expected_on)
    if worked.value is not DueState.OVERDUE or force.binding:
        return worked, False
    step = Step(PAST_ADVICE, f"shown as {DueState.DUE_SOON.value}")
    shown = replace(worked.working, result=DueState.DUE_SOON.value, steps=(*worked.working.steps, step))
    return Worked(DueState.DUE_SOON, shown), True


def note_on_day(note: str, past_advice: bool) -> str:
    """A requirement's own note, and before it what its state leaves out."""
    return f"{PAST_ADVICE} {note}".strip() if past_advice else note


def airplane_stands(lines: Sequence[LineStands]) -> AirplaneStands:
    """How the airplane of these requirements stands; they are given in the order of their ids.

    It stands as its worst binding requirement: advice doesn't hold an airplane up.
    """
    binding = [each for each in lines if each.binding]
    states = [each.state for each in binding]
    first = _first(binding) or _first(lines)
    return AirplaneStands(
        comes_first_on=first.comes_first_on if first else None,
        first_requirement_id=first.requirement_id if first else None,
        first_title=first.title if first else "",
        state=next((state.value for state in _WORST if state.value in states), DueState.OK.value),
        overdue=states.count(DueState.OVERDUE.value),
        due_soon=states.count(DueState.DUE_SOON.value),
    )


def _first(lines: Sequence[LineStands]) -> LineStands | None:
    dated = [each for each in lines if each.comes_first_on is not None]
    return min(dated, key=lambda each: each.comes_first_on or date.max, default=None)
