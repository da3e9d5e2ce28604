"""What of an interval is left on a day: what doing it then would give up, in hours and months."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from annual_planner.trade.periods import DAYS_A_MONTH, DuePoint, Interval, Logic


@dataclass(frozen=True, slots=True)
class LifeLeft:
    """Hours and days left, 0 or more, None where there is no such limit; as a share and in words."""

    hours: Decimal | None
    days: int | None
    share: Decimal | None
    said: str


def life_left(due: DuePoint, interval: Interval | None, hours_then: Decimal | None, on: date) -> LifeLeft:
    """What is left on a day on which the assembly it counts on has `hours_then`.

    Of two limits the one that governs gives the share.

    >>> life_left(DuePoint(date(2026, 8, 12)), Interval(calendar_months=24), None, date(2026, 5, 11)).said
    '3 months of 24'
    """
    left_hours, left_days = hours_left(due, hours_then), _days_left(due, on)
    shares = [
        s for s in (_hours_share(interval, left_hours), _days_share(interval, left_days)) if s is not None
    ]
    pick = max if due.logic is Logic.LAST else min
    hours = None if left_hours is None else max(left_hours, Decimal(0))
    days = None if left_days is None else max(left_days, 0)
    return LifeLeft(hours, days, pick(shares) if shares else None, _said(interval, hours, days))


def hours_left(due: DuePoint, hours_then: Decimal | None) -> Decimal | None:
    """Hours to the limit, below 0 past it; None where either isn't known."""
    return None if due.hours is None or hours_then is None else due.hours - hours_then


def _days_left(due: DuePoint, on: date) -> int | None:
    return None if due.on is None else (due.on - on).days


def _hours_share(interval: Interval | None, left: Decimal | None) -> Decimal | None:
    if left is None or interval is None or not interval.hours:
        return None
    return max(left, Decimal(0)) / interval.hours


def _days_share(interval: Interval | None, left: int | None) -> Decimal | None:
    whole = _whole_days(interval)
    return None if left is None or not whole else max(Decimal(left), Decimal(0)) / whole


def _whole_days(interval: Interval | None) -> Decimal | None:
    if interval is None:
        return None
    months = months_of(interval)
    if months is not None:
        return months * DAYS_A_MONTH
    return Decimal(interval.days) if interval.days is not None else None


def months_of(interval: Interval | None) -> int | None:
    """Months of an interval, calendar or plain; None where it has none."""
    if interval is None:
        return None
    return interval.calendar_months if interval.calendar_months is not None else interval.months


def _said(interval: Interval | None, hours: Decimal | None, days: int | None) -> str:
    said = [] if days is None else [_days_of(interval, days)]
    whole = interval.hours if interval is not None else None
    if hours is not None:
        said.append(f"{hours:f}" + (f" h of {whole:f} h" if whole is not None else " h"))
    return " and ".join(said)


def _days_of(interval: Interval | None, days: int) -> str:
    """'3 months of 24', or days where the interval is counted in them."""
    months = months_of(interval)
    if months is None:
        whole = interval.days if interval is not None else None
        return days_said(days) + (f" of {whole}" if whole is not None else "")
    left = min(_in_months(days), months)  # one of calendar months may last up to a month longer
    return f"{months_said(left)} of {months}" if left else f"{days_said(days)} of {months} months"


def time_said(days: int) -> str:
    """A stretch of days in months where it is that long.

    >>> time_said(40), time_said(200), time_said(1)
    ('1 month', '7 months', '1 day')
    """
    months = _in_months(days)
    return months_said(months) if months and days >= DAYS_A_MONTH else days_said(days)


def _in_months(days: int) -> int:
    return int((days / DAYS_A_MONTH).to_integral_value(rounding="ROUND_HALF_UP"))


def months_said(months: int) -> str:
    """'1 month', '3 months'."""
    return f"{months} {'month' if months == 1 else 'months'}"


def days_said(days: int) -> str:
    """'1 day', '3 days'."""
    return f"{days} {'day' if days == 1 else 'days'}"
