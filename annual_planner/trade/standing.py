"""How a requirement stands now: in date, due soon, overdue; which of its limits comes first."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date, timedelta
from decimal import Decimal

from annual_planner.trade.answer import answer
from annual_planner.trade.periods import DuePoint, DueState, Force, Logic, Point, due_text, limits_text
from annual_planner.trade.said import said_date
from annual_planner.trade.working import Step, Worked

SOON_DAYS, SOON_HOURS, SOON_CYCLES = 60, Decimal(10), 10
"""What comes due within so many days, hours or cycles is due soon. Common practice, no source."""


_GROUNDED = "not to be flown on until done, unless a special flight permit is given"


@dataclass(frozen=True, slots=True)
class _LimitNow:
    """One limit against the present; `passed` None where the present value isn't known."""

    name: str
    passed: bool | None
    soon: bool
    text: str


def due_state(
    due: DuePoint,
    now: Point,
    *,
    soon_days: int = SOON_DAYS,
    soon_hours: Decimal = SOON_HOURS,
    force: Force = Force.RULE,
    expected_on: date | None = None,
) -> Worked[DueState]:
    """How a requirement stands now: exactly at a limit is still in date.

    `expected_on`: when the hour limit is expected to be reached at the way it is flown; within `soon_days` it
    is due soon, however many hours that still is. None where no day is in sight.

    'Whichever last' is overdue only when every limit has passed. A limit whose present value isn't known is
    left out, and taken as passed under 'whichever last'; where none is known it is 'due soon', to be looked
    at. All three are said among the assumptions.
    """
    if due.ended:
        return _state_answer(DueState.ENDED, [], force, due, now)
    limits = _limits_now(due, now, soon_days, soon_hours, expected_on)
    if not limits:
        return _state_answer(DueState.NEVER_DONE, [], force, due, now)
    return _state_answer(_state(limits, due.logic), limits, force, due, now)


def _state(limits: list[_LimitNow], logic: Logic) -> DueState:
    if all(limit.passed is None for limit in limits):
        return DueState.DUE_SOON
    if logic is Logic.LAST:
        if all(limit.passed is not False for limit in limits):
            return DueState.OVERDUE
        soon = all(limit.passed is not False or limit.soon for limit in limits)
    else:
        if any(limit.passed for limit in limits):
            return DueState.OVERDUE
        soon = any(limit.soon for limit in limits)
    return DueState.DUE_SOON if soon else DueState.OK


def _limits_now(
    due: DuePoint,
    now: Point,
    soon_days: int,
    soon_hours: Decimal,
    expected_on: date | None = None,
) -> list[_LimitNow]:
    limits = []
    if due.on is not None:
        left_days = (due.on - now.on).days if now.on is not None else None
        limits.append(_limit_now("date", left_days, soon_days, "days"))
    if due.hours is not None:
        by_hours = _limit_now("hours", hours_left(due, now), soon_hours, "h")
        limits.append(_as_expected(by_hours, now, soon_days, expected_on))
    if due.cycles is not None:
        limits.append(_limit_now("cycles", cycles_left(due, now), SOON_CYCLES, "cycles"))
    return limits


def _limit_now(name: str, left: Decimal | int | None, soon: Decimal | int, unit: str) -> _LimitNow:
    if left is None:
        return _LimitNow(name, None, False, "not known now")
    text = f"{left} {unit} left" if left >= 0 else f"{-left} {unit} past"
    near = 0 <= left <= soon
    told = f"{text}: within the {soon} {unit} that count as soon" if near and soon else text
    return _LimitNow(name, left < 0, near, told)


def _as_expected(limit: _LimitNow, now: Point, soon_days: int, expected_on: date | None) -> _LimitNow:
    """The hour limit with the day on which it is expected: soon when that day is."""
    if limit.passed is not False or expected_on is None or now.on is None:
        return limit
    days = max((expected_on - now.on).days, 0)
    within = days <= soon_days
    near = f"in {days} days: within the {soon_days} days that count as soon"
    told = near if within else f"more than {soon_days} days off"
    text = f"{limit.text}, expected about {said_date(expected_on)}, {told}"
    return replace(limit, soon=limit.soon or within, text=text)


def _state_answer(
    state: DueState, limits: list[_LimitNow], force: Force, due: DuePoint, now: Point
) -> Worked[DueState]:
    steps = [Step(f"limit by {limit.name}", limit.text) for limit in limits]
    if state is DueState.OVERDUE:
        steps.append(Step(f"stands as {_stands_as(force)}", _overdue_means(force)))
    unknown = [limit.name for limit in limits if limit.passed is None]
    taken = _unknown_means(due.logic, none_known=len(unknown) == len(limits))
    assumptions = [f"The present value for the limit by {name} isn't known: {taken}." for name in unknown]
    present = ", ".join(limits_text(now.on, now.hours, now.cycles if due.cycles is not None else None))
    if not limits:
        steps.append(Step(*_WITHOUT_LIMITS[state]))
    return answer(
        state,
        "How it stands",
        state.value,
        citation="common practice, no source",
        says="exactly at a limit is still in date; what is called soon is this program's choice",
        inputs=[("due", due_text(due)), ("now", present or "not known")],
        steps=steps,
        assumptions=assumptions,
    )


_WITHOUT_LIMITS = {
    DueState.ENDED: ("nothing more falls due", "it has ended"),
    DueState.NEVER_DONE: ("nothing is recorded to count from", "to be looked up in the records"),
}


def _unknown_means(logic: Logic, *, none_known: bool) -> str:
    if none_known:
        return "to be looked at, so called due soon"
    return "taken as passed" if logic is Logic.LAST else "left out"


def _stands_as(force: Force) -> str:
    return f"a {force.value}" if force.binding else "advice"


def _overdue_means(force: Force) -> str:
    if force is Force.DIRECTIVE:
        return f"{_GROUNDED} and the directive does not forbid it (14 CFR 39.23)"
    if force.binding:
        return f"{_GROUNDED} (14 CFR 21.197)"
    return "past a recommendation; flying on is not unlawful by itself"


def limits_passed(due: DuePoint, now: Point) -> tuple[str, ...]:
    """Which limits have passed: 'date', 'hours', 'cycles'; exactly at a limit has not passed.

    >>> limits_passed(DuePoint(hours=Decimal("862.0")), Point(hours=Decimal("862.1")))
    ('hours',)
    """
    days = (due.on - now.on).days if due.on is not None and now.on is not None else None
    left_of = {"date": days, "hours": hours_left(due, now), "cycles": cycles_left(due, now)}
    return tuple(name for name, left in left_of.items() if left is not None and left < 0)


def hours_left(due: DuePoint, now: Point) -> Decimal | None:
    """Hours until the hour limit, below 0 when past it; None where either isn't known."""
    if due.hours is None or now.hours is None:
        return None
    return due.hours - now.hours


def cycles_left(due: DuePoint, now: Point) -> int | None:
    """Cycles until the cycle limit, below 0 when past it; None where either isn't known."""
    if due.cycles is None or now.cycles is None:
        return None
    return due.cycles - now.cycles


def limits_first(due: DuePoint, now: Point, forecast_on: date | None) -> str:
    """The limit that governs: 'date', 'hours', 'cycles', or '' when nothing is due.

    `forecast_on` is when the hour limit (the cycle limit, where there is none by hours) is expected to be
    reached; None where it isn't within sight. The earliest governs, under 'whichever last' the latest; at a
    tie the date does.
    """
    reached = _reached_on(due, now, forecast_on)
    if due.ended or not reached:
        return ""
    if due.logic is Logic.LAST:
        latest = max(reached.values())
        return next(name for name, day in reached.items() if day == latest)
    return min(reached, key=lambda name: reached[name])


def _reached_on(due: DuePoint, now: Point, forecast_on: date | None) -> dict[str, date]:
    """When each limit is reached: a passed one counts as reached long ago, an unforeseen one never."""
    passed = limits_passed(due, now)
    reached = {"date": due.on} if due.on is not None else {}
    if due.hours is not None:
        reached["hours"] = date.min if "hours" in passed else forecast_on or date.max
    if due.cycles is not None:
        expected = forecast_on if due.hours is None else None
        reached["cycles"] = date.min if "cycles" in passed else expected or date.max
    return reached


def comes_first_on(
    due: DuePoint, now: Point, expected_on: date | None, passed_on: date | None
) -> date | None:
    """The day it comes due or came due: the earliest of its limits, under 'whichever last' the latest.

    `expected_on`: when the hour limit is expected to be reached; `passed_on`: the day of the first reading
    beyond it, from which a passed hour limit counts. A passed limit of cycles counts from today. None where
    nothing is due, or no day is in sight.
    """
    passed = limits_passed(due, now)
    days: list[date | None] = [due.on] if due.on is not None else []
    if due.hours is not None:
        days.append(passed_on if "hours" in passed else expected_on)
    if due.cycles is not None:
        days.append(now.on if "cycles" in passed else None)
    if due.ended or not days:
        return None
    known = [day for day in days if day is not None]
    if due.logic is Logic.LAST:
        return max(known) if len(known) == len(days) else None
    return min(known, default=None)


def looks_again_on(
    due: DuePoint, comes_first: date | None, foreseen_on: date | None, today: date
) -> date | None:
    """The first day after today on which a requirement may stand otherwise, if no record changes.

    That is when its date, or the day foreseen for its hours, comes within the days that count as soon, and
    when its date or the day it comes first has passed: from then on every day, while the day that it comes
    first is today. None where no day changes anything.

    >>> looks_again_on(DuePoint(on=date(2026, 6, 30)), date(2026, 6, 30), None, date(2026, 5, 4))
    datetime.date(2026, 7, 1)
    """
    if due.ended:
        return None
    a_day, soon = timedelta(days=1), timedelta(days=SOON_DAYS)
    turns = [due.on - soon, due.on + a_day] if due.on is not None else []
    if foreseen_on is not None:
        turns.append(foreseen_on - soon)
    if comes_first is not None:
        turns.append(comes_first + a_day)
    return min((turn for turn in turns if turn > today), default=None)
