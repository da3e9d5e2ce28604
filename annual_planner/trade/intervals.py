"""When something is next due: hours, calendar months, plain months, days, cycles; whichever first or last."""

from __future__ import annotations

import calendar
from dataclasses import dataclass, field
from datetime import date, timedelta
from decimal import Decimal
from enum import StrEnum

from annual_planner.trade.answer import answer, said_date, said_hours
from annual_planner.trade.working import Step, Worked


class Logic(StrEnum):
    """Which of several limits governs."""

    FIRST = "first"
    LAST = "last"


class Force(StrEnum):
    """What stands behind a requirement."""

    RULE = "rule"
    DIRECTIVE = "directive"
    LIMITATION = "limitation"
    RECOMMENDED = "recommended"

    @property
    def binding(self) -> bool:
        """True where flying past it is unlawful."""
        return self is not Force.RECOMMENDED


@dataclass(frozen=True, slots=True)
class Interval:
    """How often something must be done. At most one of the calendar fields is given.

    Hours are time in service of the thing the requirement counts on; cycles its landings or starts.
    A limit of 0 is only for something done once: 'before further flight' is 0 hours.
    Raises ValueError for a negative or empty interval or for two calendar fields.
    """

    hours: Decimal | None = None
    cycles: int | None = None
    calendar_months: int | None = None
    months: int | None = None
    days: int | None = None
    logic: Logic = Logic.FIRST
    recurring: bool = True
    enroute_excess_hours: Decimal = Decimal(0)
    """Hours by which the limit may be passed while under way to the place of inspection."""

    def __post_init__(self) -> None:
        calendar_given = [n for n in (self.calendar_months, self.months, self.days) if n is not None]
        if len(calendar_given) > 1:
            raise ValueError("an interval has one calendar field: calendar_months, months or days")
        given: list[Decimal | int] = [n for n in (self.hours, self.cycles) if n is not None]
        given += calendar_given
        if not given:
            raise ValueError("an interval has at least one limit")
        for number in (*given, self.enroute_excess_hours):
            _check_number(number)
        if self.recurring and any(number == 0 for number in given):
            raise ValueError("a recurring interval is above 0")
        if self.enroute_excess_hours and self.hours is None:
            raise ValueError("hours may be passed only where there is an hour limit")


def _check_number(number: Decimal | int) -> None:
    if isinstance(number, Decimal) and not number.is_finite():
        raise ValueError(f"an interval is a number, not {number}")
    if number < 0:
        raise ValueError(f"an interval is not negative: {number}")


@dataclass(frozen=True, slots=True)
class Point:
    """A moment in an assembly's life: its date, hours and cycles, as far as known."""

    on: date | None = None
    hours: Decimal | None = None
    cycles: int | None = None


@dataclass(frozen=True, slots=True)
class DuePoint:
    """When something is next due; an empty point with `ended` set means never again.

    An empty point that has not ended means that nothing is recorded to count from.
    """

    on: date | None = None
    hours: Decimal | None = None
    cycles: int | None = None
    logic: Logic = Logic.FIRST
    ended: str = ""
    """Why nothing is due any more ('done once', 'terminated'), else empty."""


class DueState(StrEnum):
    """How a requirement stands now."""

    OVERDUE = "overdue"
    DUE_SOON = "due soon"
    OK = "in date"
    NEVER_DONE = "no record"
    ENDED = "ended"


def end_of_month(day: date) -> date:
    """The last day of the month a date lies in.

    >>> end_of_month(date(2028, 2, 3))
    datetime.date(2028, 2, 29)
    """
    return day.replace(day=calendar.monthrange(day.year, day.month)[1])


def add_months(day: date, months: int) -> date:
    """The same day number so many months on (or back), or the month's last day where it is shorter.

    >>> add_months(date(2028, 2, 29), 12)
    datetime.date(2029, 2, 28)
    """
    year, month_index = divmod(day.year * 12 + day.month - 1 + months, 12)
    month = month_index + 1
    return date(year, month, min(day.day, calendar.monthrange(year, month)[1]))


def add_calendar_months(day: date, n: int) -> date:
    """The end of the month that lies n months on: how the agency's handbook reads 'calendar months'.

    >>> add_calendar_months(date(2027, 2, 28), 12)
    datetime.date(2028, 2, 29)
    """
    return end_of_month(add_months(day, n))


@dataclass(slots=True)
class _Notes:
    """What a computation says about itself on its way."""

    steps: list[Step] = field(default_factory=list)
    assumptions: list[str] = field(default_factory=list)

    def step(self, text: str, result: str = "") -> None:
        self.steps.append(Step(text, result))


@dataclass(frozen=True, slots=True)
class _Overrun:
    """What is known of a limit that was passed before the doing."""

    previous_hours: Decimal | None
    enroute: bool
    ordinary: bool
    cautious: bool


def next_due(
    interval: Interval | None,
    last_done: Point | None,
    *,
    effective: Point | None = None,
    previous_due: DuePoint | None = None,
    enroute: bool = False,
    ordinary_overrun: bool = False,
    terminated: bool = False,
    fixed_on: date | None = None,
    title: str = "",
    citation: str = "",
    cautious: bool = True,
) -> Worked[DuePoint]:
    """When a requirement is next due.

    It counts from the last doing; where there is none, from `effective` (a directive's effective date and
    the hours then, a new airplane's start). With neither, the due point is empty and `due_state` says 'no record'.
    `fixed_on`, a printed or marked date, stands as it is in place of any calendar count; the interval may then
    be None. Early doing loses the unused part. Lateness is not carried back, except hours flown on the way to
    the inspection within `enroute_excess_hours`. Where an interval with such an allowance was overrun otherwise
    (`ordinary_overrun`), the rule is silent: `cautious` counts from the previous due, else from the doing.

    Raises ValueError when there is neither an interval nor a fixed date. Source: 14 CFR 91.409(a), (b); for
    other intervals their own words.
    """
    if interval is None and fixed_on is None:
        raise ValueError("next_due needs an interval or a fixed date")
    name = title or "Next due"
    ended = _ended(interval, last_done, terminated)
    if ended:
        return _ended_answer(name, ended, citation)
    start = last_done or effective
    notes = _Notes()
    if start is None and fixed_on is None:
        notes.step("Nothing is recorded: neither a doing nor a date to count from.")
        return _due_answer(DuePoint(), name, citation, notes, start=None, interval=interval)
    overrun = _Overrun(
        previous_due.hours if previous_due and last_done else None, enroute, ordinary_overrun, cautious
    )
    due = _count(interval, start or Point(), fixed_on, overrun, notes)
    if last_done is None and start is not None:
        notes.step("No doing is recorded: counted from the effective date.")
    return _due_answer(due, name, citation, notes, start=start, interval=interval)


def _ended(interval: Interval | None, last_done: Point | None, terminated: bool) -> str:
    if terminated:
        return "terminated"
    once = interval is not None and not interval.recurring
    return "done once" if once and last_done is not None else ""


def _ended_answer(title: str, ended: str, citation: str) -> Worked[DuePoint]:
    text = {"terminated": "A terminating action is recorded.", "done once": "Required once, and done."}[ended]
    steps = [Step(text, "nothing more is due"), Step("The record of it stays in the status list.")]
    return answer(DuePoint(ended=ended), title, f"nothing more due ({ended})", citation=citation, steps=steps)


def _count(
    interval: Interval | None, start: Point, fixed_on: date | None, overrun: _Overrun, notes: _Notes
) -> DuePoint:
    """The due point from the start; each limit that can't be counted is named among the assumptions."""
    on = _fixed(fixed_on, notes) if fixed_on else _due_on(interval, start, notes)
    if interval is None:
        return DuePoint(on=on)
    hours = _due_hours(interval, start, overrun, notes)
    cycles = _due_cycles(interval, start, notes)
    return DuePoint(on=on, hours=hours, cycles=cycles, logic=interval.logic)


def _fixed(fixed_on: date, notes: _Notes) -> date:
    notes.step("The marked or printed date stands as it is", said_date(fixed_on))
    return fixed_on


def _due_on(interval: Interval | None, start: Point, notes: _Notes) -> date | None:
    if interval is None or not _has_calendar(interval):
        return None
    if start.on is None:
        notes.assumptions.append("The date to count from isn't known: the calendar limit isn't counted.")
        return None
    due, text = _calendar_due(interval, start.on)
    notes.step(text, said_date(due))
    return due


def _has_calendar(interval: Interval) -> bool:
    return not (interval.calendar_months is None and interval.months is None and interval.days is None)


def _calendar_due(interval: Interval, start: date) -> tuple[date, str]:
    began = said_date(start)
    if interval.calendar_months is not None:
        months = interval.calendar_months
        return add_calendar_months(start, months), f"{began} + {months} calendar months, to the month's end"
    if interval.months is not None:
        return add_months(start, interval.months), f"{began} + {interval.months} months, to the same day number"
    days = interval.days or 0
    return start + timedelta(days=days), f"{began} + {days} days"


def _due_hours(interval: Interval, start: Point, overrun: _Overrun, notes: _Notes) -> Decimal | None:
    if interval.hours is None:
        return None
    if start.hours is None:
        notes.assumptions.append("The hours to count from aren't known: the hour limit isn't counted.")
        return None
    base = _hours_base(interval, start.hours, overrun, notes)
    due = base + interval.hours
    notes.step(f"{said_hours(base)} + {said_hours(interval.hours)}", said_hours(due))
    return due


def _hours_base(interval: Interval, done: Decimal, overrun: _Overrun, notes: _Notes) -> Decimal:
    """The hours to count from: the doing, or the previous due where hours past it are deducted."""
    previous = overrun.previous_hours
    if previous is None or done == previous:
        return done
    if done < previous:
        notes.step(f"Done {said_hours(previous - done)} before {said_hours(previous)}: counted from the doing.")
        return done
    excess = done - previous
    if overrun.enroute and excess <= interval.enroute_excess_hours:
        notes.step(f"{said_hours(excess)} flown on the way to the inspection come off the next interval.")
        return previous
    return _late_base(interval, done, previous, overrun, notes)


def _late_base(
    interval: Interval, done: Decimal, previous: Decimal, overrun: _Overrun, notes: _Notes
) -> Decimal:
    excess = said_hours(done - previous)
    silent = bool(interval.enroute_excess_hours) and (overrun.enroute or overrun.ordinary)
    if not silent:
        notes.step(f"Done {excess} after the limit: counted from the doing, nothing carried back.")
        return done
    notes.step(f"{excess} past the limit, not covered by the allowance for the way to the inspection.")
    base = previous if overrun.cautious else done
    chosen = "the previous due" if overrun.cautious else "the doing"
    notes.assumptions.append(f"The rule doesn't say how to count after such an overrun: counted from {chosen}.")
    return base


def _due_cycles(interval: Interval, start: Point, notes: _Notes) -> int | None:
    if interval.cycles is None:
        return None
    if start.cycles is None:
        notes.assumptions.append("The cycles to count from aren't known: the cycle limit isn't counted.")
        return None
    due = start.cycles + interval.cycles
    notes.step(f"{start.cycles} + {interval.cycles} cycles", f"{due} cycles")
    return due


def _due_answer(
    due: DuePoint, title: str, citation: str, notes: _Notes, *, start: Point | None, interval: Interval | None
) -> Worked[DuePoint]:
    counted = _limits_text(start.on, start.hours, start.cycles) if start else []
    inputs = [("counted from", ", ".join(counted))] if counted else []
    if interval is not None:
        inputs.append(("interval", interval_text(interval)))
    return answer(
        due,
        title,
        due_text(due),
        citation=citation,
        inputs=inputs,
        steps=notes.steps,
        assumptions=notes.assumptions,
    )


def _limits_text(on: date | None, hours: Decimal | None, cycles: int | None) -> list[str]:
    said = [said_date(on)] if on is not None else []
    said += [said_hours(hours)] if hours is not None else []
    return said + ([f"{cycles} cycles"] if cycles is not None else [])


def due_text(due: DuePoint) -> str:
    """A due point in words.

    >>> due_text(DuePoint(on=date(2026, 8, 20), hours=Decimal("862.0")))
    '20 Aug 2026 or 862.0 h, whichever first'
    """
    if due.ended:
        return f"nothing more due ({due.ended})"
    limits = _limits_text(due.on, due.hours, due.cycles)
    if len(limits) < 2:
        return limits[0] if limits else "no record to count from"
    return " or ".join(limits) + f", whichever {due.logic.value}"


def interval_text(interval: Interval) -> str:
    """An interval in words.

    >>> interval_text(Interval(hours=Decimal(50), months=12))
    '50 h or 12 months, whichever first'
    """
    counts = [(interval.cycles, "cycles"), (interval.calendar_months, "calendar months")]
    counts += [(interval.months, "months"), (interval.days, "days")]
    limits = [said_hours(interval.hours)] if interval.hours is not None else []
    limits += [f"{n} {unit}" for n, unit in counts if n is not None]
    text = " or ".join(limits)
    text += f", whichever {interval.logic.value}" if len(limits) > 1 else ""
    return text if interval.recurring else f"once within {text}"


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
    soon_days: int = 60,
    soon_hours: Decimal = Decimal(10),
    soon_cycles: int = 10,
    force: Force = Force.RULE,
) -> Worked[DueState]:
    """How a requirement stands now: exactly at a limit is still in date.

    'Whichever last' is overdue only when every limit has passed. A limit whose present value isn't known is
    left out, and taken as passed under 'whichever last'; both are said among the assumptions.
    """
    if due.ended:
        return _state_answer(DueState.ENDED, [], force, due)
    limits = _limits_now(due, now, soon_days, soon_hours, soon_cycles)
    if not limits:
        return _state_answer(DueState.NEVER_DONE, [], force, due)
    return _state_answer(_state(limits, due.logic), limits, force, due)


def _state(limits: list[_LimitNow], logic: Logic) -> DueState:
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
    due: DuePoint, now: Point, soon_days: int, soon_hours: Decimal, soon_cycles: int
) -> list[_LimitNow]:
    limits = []
    if due.on is not None:
        left_days = (due.on - now.on).days if now.on is not None else None
        limits.append(_limit_now("date", left_days, soon_days, "days"))
    if due.hours is not None:
        limits.append(_limit_now("hours", hours_left(due, now), soon_hours, "h"))
    if due.cycles is not None:
        left_cycles = due.cycles - now.cycles if now.cycles is not None else None
        limits.append(_limit_now("cycles", left_cycles, soon_cycles, "cycles"))
    return limits


def _limit_now(name: str, left: Decimal | int | None, soon: Decimal | int, unit: str) -> _LimitNow:
    if left is None:
        return _LimitNow(name, None, False, "not known now")
    text = f"{left} {unit} left" if left >= 0 else f"{-left} {unit} past"
    return _LimitNow(name, left < 0, 0 <= left <= soon, text)


def _state_answer(
    state: DueState, limits: list[_LimitNow], force: Force, due: DuePoint
) -> Worked[DueState]:
    steps = [Step(f"limit by {limit.name}", limit.text) for limit in limits]
    if state is DueState.OVERDUE:
        steps.append(Step(f"stands as a {force.value}", _overdue_means(force)))
    unknown = [limit.name for limit in limits if limit.passed is None]
    taken = "taken as passed" if due.logic is Logic.LAST else "left out"
    assumptions = [f"The present value for the limit by {name} isn't known: {taken}." for name in unknown]
    inputs = [("due", due_text(due))]
    return answer(state, "How it stands", state.value, inputs=inputs, steps=steps, assumptions=assumptions)


def _overdue_means(force: Force) -> str:
    if force.binding:
        return "not to be flown on until done, unless a special flight permit is given"
    return "past a recommendation; flying on is not unlawful by itself"


def limits_passed(due: DuePoint, now: Point) -> tuple[str, ...]:
    """Which limits have passed: 'date', 'hours', 'cycles'; exactly at a limit has not passed.

    >>> limits_passed(DuePoint(hours=Decimal("862.0")), Point(hours=Decimal("862.1")))
    ('hours',)
    """
    return tuple(limit.name for limit in _limits_now(due, now, 0, Decimal(0), 0) if limit.passed)


def hours_left(due: DuePoint, now: Point) -> Decimal | None:
    """Hours until the hour limit, below 0 when past it; None where either isn't known."""
    if due.hours is None or now.hours is None:
        return None
    return due.hours - now.hours


def limits_first(due: DuePoint, now: Point, forecast_on: date | None) -> str:
    """The limit that governs: 'date', 'hours', 'cycles', or '' when nothing is due.

    `forecast_on` is when the hour limit (the cycle limit, where there is none by hours) is expected to be
    reached; None where it isn't within sight. The earliest governs, under 'whichever last' the latest; at a tie
    the date does.
    """
    reached = _reached_on(due, now, forecast_on)
    if due.ended or not reached:
        return ""
    if due.logic is Logic.LAST:
        latest = max(reached.values())
        return next(name for name, day in reached.items() if day == latest)
    return min(reached, key=lambda name: reached[name])


def _reached_on(due: DuePoint, now: Point, forecast_on: date | None) -> dict[str, date]:
    """When each limit is reached; a passed meter limit counts as reached long ago, an unforeseen one never."""
    passed = limits_passed(due, now)
    reached = {"date": due.on} if due.on is not None else {}
    if due.hours is not None:
        reached["hours"] = date.min if "hours" in passed else forecast_on or date.max
    if due.cycles is not None:
        expected = forecast_on if due.hours is None else None
        reached["cycles"] = date.min if "cycles" in passed else expected or date.max
    return reached
