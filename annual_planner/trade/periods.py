"""The plain values of due dates: an interval, a moment, a due point; and the arithmetic of months."""

from __future__ import annotations

import calendar
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from enum import StrEnum

from annual_planner.trade.said import said_date, said_hours

LONGEST_MONTHS, LONGEST_DAYS = 1200, 36_525
LONGEST_HOURS, LONGEST_CYCLES = Decimal(100_000), 1_000_000
"""Limits of an interval: a hundred years, and more than any light airplane flies in its life."""

DAYS_A_MONTH = Decimal("30.4")
"""Mean length of a month, for hours and days a month; a calendar's own months are counted as they are."""


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
    Raises ValueError for a negative, empty or endless interval and for two calendar fields.
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
        self._check_longest()
        if self.recurring and any(number == 0 for number in given):
            raise ValueError("a recurring interval is above 0")
        if self.enroute_excess_hours and self.hours is None:
            raise ValueError("hours may be passed only where there is an hour limit")

    def _check_longest(self) -> None:
        longest: tuple[tuple[Decimal | int | None, Decimal | int, str], ...] = (
            (self.hours, LONGEST_HOURS, "hours"),
            (self.enroute_excess_hours, LONGEST_HOURS, "hours"),
            (self.cycles, LONGEST_CYCLES, "cycles"),
            (self.calendar_months, LONGEST_MONTHS, "months"),
            (self.months, LONGEST_MONTHS, "months"),
            (self.days, LONGEST_DAYS, "days"),
        )
        for number, most, unit in longest:
            if number is not None and number > most:
                raise ValueError(f"an interval is at most {most} {unit}, not {number}")


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


def limits_text(on: date | None, hours: Decimal | None, cycles: int | None) -> list[str]:
    """Each known limit in words."""
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
    limits = limits_text(due.on, due.hours, due.cycles)
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
