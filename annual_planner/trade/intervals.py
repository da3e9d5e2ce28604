"""When something is next due: hours, calendar months, plain months, days, cycles; whichever first or last.

The plain values are in `periods`, how a requirement stands on a day in `standing`.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date, timedelta
from decimal import Decimal

from annual_planner.trade.answer import answer
from annual_planner.trade.periods import (
    DuePoint,
    Interval,
    Point,
    add_calendar_months,
    add_months,
    due_text,
    interval_text,
    limits_text,
)
from annual_planner.trade.said import said_date, said_hours
from annual_planner.trade.working import Step, Worked


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
    the hours then, a new airplane's start). With neither, the due point is empty and `due_state` says
    'no record'. `fixed_on`, a printed or marked date, stands as it is in place of any calendar count; the
    interval may then be None. Early doing loses the unused part. Lateness is not carried back, except hours
    flown on the way to the inspection within `enroute_excess_hours`. Where an interval with such an allowance
    was overrun otherwise (`ordinary_overrun`), the rule is silent: `cautious` counts from the previous due,
    else from the doing.

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


def overrun_within_allowance(
    interval: Interval | None, done: Point | None, previous_due: DuePoint | None
) -> bool:
    """Whether a doing came late by no more hours than may be flown on the way to it.

    Far more hours are no overrun but flying to which the limit did not apply, or a doing that is not on
    record: such a one counts from the doing.
    """
    if interval is None or done is None or previous_due is None:
        return False
    if done.hours is None or previous_due.hours is None:
        return False
    return done.hours - previous_due.hours <= interval.enroute_excess_hours


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
        months = interval.months
        return add_months(start, months), f"{began} + {months} months, to the same day number"
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
        early = said_hours(previous - done)
        notes.step(f"Done {early} before {said_hours(previous)}: counted from the doing.")
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
    notes.assumptions.append(f"The rule is silent on counting after such an overrun: counted from {chosen}.")
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
    cycles = start.cycles if start and interval and interval.cycles is not None else None
    counted = limits_text(start.on, start.hours, cycles) if start else []
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
