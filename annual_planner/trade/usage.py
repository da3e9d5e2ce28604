"""How an airplane is flown, from its meter readings, and when an hour limit will be reached."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from decimal import Decimal
from itertools import pairwise

from annual_planner.trade.answer import answer
from annual_planner.trade.flying import FEWEST_MONTHS, Flying, days_until, flown_ahead
from annual_planner.trade.periods import DAYS_A_MONTH
from annual_planner.trade.refused import Refused
from annual_planner.trade.said import said_date, said_hours
from annual_planner.trade.working import Step, Worked

_TENTH = Decimal("0.1")
_HUNDREDTH = Decimal("0.01")


@dataclass(frozen=True, slots=True)
class Reading:
    """A meter read on a date; `offset_hours` is what a replaced meter adds to give the assembly's hours."""

    on: date
    meter_hours: Decimal
    offset_hours: Decimal = Decimal(0)

    @property
    def hours(self) -> Decimal:
        """Time in service at the reading."""
        return self.meter_hours + self.offset_hours


@dataclass(frozen=True, slots=True)
class Usage:
    """Hours flown in each whole month, oldest first, and their mean (`stated`: a person's figure)."""

    hours_per_month: Decimal
    months: tuple[Decimal, ...] = ()
    stated: bool = False
    first_month: date | None = None
    """The first day of the month that `months` begins with."""
    few_hours: Decimal | None = None
    """Hours flown in a record too short to go by, where the mean rests on nothing better; else None."""
    hidden_share: float = 0.0
    """How much of what single months differ by is lost because hours are spread evenly between readings:
    0 where the meter is read each month, nearly 1 where it is read once a year."""


@dataclass(frozen=True, slots=True)
class Forecast:
    """When a limit is reached: the middle of the estimate and its 10 % and 90 % bounds.

    None where it isn't reached within ten years.
    """

    on: date | None
    early_on: date | None
    late_on: date | None


def check_readings(readings: Sequence[Reading]) -> None:
    """Raise Refused, naming each two readings, where they can't both be right.

    Hours must not go back (a replaced meter's offset makes them go on), two readings of one day must agree,
    and no day has more than 24 hours.
    """
    faults = [fault for earlier, later in pairwise(_in_order(readings)) if (fault := _fault(earlier, later))]
    if faults:
        raise Refused(
            said=" ".join(faults),
            remedy="Correct the wrong reading; where the meter was replaced, give the new one its offset.",
        )


def _in_order(readings: Sequence[Reading]) -> list[Reading]:
    return sorted(readings, key=lambda reading: reading.on)


def _fault(earlier: Reading, later: Reading) -> str:
    two = f"{_said(earlier)} and {_said(later)}"
    if earlier.on == later.on:
        return f"Two readings of one day disagree: {two}." if earlier.hours != later.hours else ""
    if later.hours < earlier.hours:
        return f"The meter goes back between {two}."
    if later.hours - earlier.hours > 24 * ((later.on - earlier.on).days + 1):
        return f"More hours than there are between {two}."
    return ""


def _said(reading: Reading) -> str:
    offset = f" with an offset of {said_hours(reading.offset_hours)}" if reading.offset_hours else ""
    return f"{said_hours(reading.meter_hours)} on {said_date(reading.on)}{offset}"


def monthly_hours(readings: Sequence[Reading]) -> tuple[Decimal, ...]:
    """Hours flown in each whole month between the first and the last reading, oldest first.

    Between readings the hours are spread evenly over the days. Raises Refused as `check_readings` does.
    """
    return _monthly(readings)[1]


def _monthly(readings: Sequence[Reading]) -> tuple[date | None, tuple[Decimal, ...]]:
    """The first whole month and the hours of each."""
    check_readings(readings)
    ordered = _in_order(readings)
    if not ordered:
        return None, ()
    starts = _month_starts(ordered[0].on, ordered[-1].on)
    at_starts = [hours.quantize(_HUNDREDTH) for hours in _hours_on(ordered, starts)]
    hours = tuple(later - earlier for earlier, later in pairwise(at_starts))
    return (starts[0], hours) if hours else (None, ())


def _month_starts(first: date, last: date) -> list[date]:
    """The firsts of the months that bound the whole months; a reading on a month's last day closes it."""
    start = first_whole_month(first)
    starts = []
    while start <= last + timedelta(days=1):
        starts.append(start)
        start = _next_month(start)
    return starts


def first_whole_month(first: date) -> date:
    """The first day of the first whole month that readings from this day on tell of.

    >>> first_whole_month(date(2026, 5, 3)), first_whole_month(date(2026, 6, 1))
    (datetime.date(2026, 6, 1), datetime.date(2026, 6, 1))
    """
    return first if first.day == 1 else _next_month(first)


def _next_month(day: date) -> date:
    return (day.replace(day=1) + timedelta(days=31)).replace(day=1)


def _hours_on(ordered: list[Reading], days: list[date]) -> list[Decimal]:
    """Hours at the beginning of each of the rising days, between the readings around it."""
    hours = []
    place = 0
    for day in days:
        while place + 1 < len(ordered) and ordered[place + 1].on <= day:
            place += 1
        hours.append(_hours_between(ordered[place], ordered[min(place + 1, len(ordered) - 1)], day))
    return hours


def _hours_between(before: Reading, after: Reading, day: date) -> Decimal:
    span = (after.on - before.on).days
    if span <= 0:
        return before.hours
    return before.hours + (after.hours - before.hours) * (day - before.on).days / span


def usage(
    readings: Sequence[Reading], *, stated_hours_per_month: Decimal | None = None, today: date
) -> Worked[Usage]:
    """How an airplane is flown: from its own months, or, where there are too few, as a person states it.

    Without a stated figure too few months are averaged all the same, and none at all give 0; both are said
    among the assumptions. Raises Refused for readings that can't be right or are dated after today, and for a
    stated figure below 0.
    """
    _check_usage(readings, stated_hours_per_month, today)
    first, months = _monthly(readings)
    if len(months) >= FEWEST_MONTHS:
        return _recorded(first, months, readings)
    if stated_hours_per_month is not None:
        return _stated(first, months, stated_hours_per_month, readings)
    return _too_few(first, months, readings)


def _check_usage(readings: Sequence[Reading], stated: Decimal | None, today: date) -> None:
    later = [reading for reading in readings if reading.on > today]
    if later:
        raise Refused(f"A reading is dated after today: {_said(later[0])}.", "Correct its date.")
    if stated is not None and (not stated.is_finite() or stated < 0):
        raise Refused(f"{stated} h a month can't be flown.", "State the hours a month as 0 or more.")


def _recorded(first: date | None, months: tuple[Decimal, ...], readings: Sequence[Reading]) -> Worked[Usage]:
    mean = (sum(months, Decimal(0)) / len(months)).quantize(_TENTH)
    return _usage_answer(
        Usage(mean, months, first_month=first, hidden_share=_hidden_share(first, len(months), readings)),
        readings,
        [Step(f"{sum(months)} h in {len(months)} whole months", f"{mean} h a month")],
        ["Between two readings the hours are spread evenly over the days."],
    )


def _hidden_share(first: date | None, months: int, readings: Sequence[Reading]) -> float:
    """Of the differences between months, what spreading evenly hides: all but 1/n over n months.

    The mean over all months, each by the readings around its middle; 31 days apart is still each month.
    """
    days = [reading.on for reading in _in_order(readings)]
    start, hidden = first or days[0], 0.0
    for _ in range(months):
        after = min(max(bisect_right(days, start + timedelta(days=15)), 1), len(days) - 1)
        hidden += 1 - 1 / max((days[after] - days[after - 1]).days / 31, 1.0)
        start = _next_month(start)
    return round(hidden / months, 3)


def _stated(
    first: date | None, months: tuple[Decimal, ...], stated: Decimal, readings: Sequence[Reading]
) -> Worked[Usage]:
    steps = [
        Step(f"{len(months)} whole months of readings, fewer than {FEWEST_MONTHS}", "too few to go by"),
        Step("the stated figure is used", f"{stated} h a month"),
    ]
    value = Usage(stated, months, stated=True, first_month=first)
    return _usage_answer(value, readings, steps, ["It is flown as much as the person who stated it says."])


def _too_few(first: date | None, months: tuple[Decimal, ...], readings: Sequence[Reading]) -> Worked[Usage]:
    mean, flown = _mean_of_what_is_there(months, readings)
    said = f"{len(months)} whole months of readings, fewer than {FEWEST_MONTHS}, and no stated figure"
    assumption = (
        f"The airplane flies on as in the little that is recorded, {said_hours(flown)} in all."
        if mean
        else "Nothing is known of how the airplane is flown: no hour limit is forecast."
    )
    value = Usage(mean, months, first_month=first, few_hours=flown)
    return _usage_answer(value, readings, [Step(said, f"{mean} h a month")], [assumption])


def _mean_of_what_is_there(
    months: tuple[Decimal, ...], readings: Sequence[Reading]
) -> tuple[Decimal, Decimal]:
    """The mean of the whole months, or of the days between the outer readings; and the hours it rests on."""
    if months:
        flown = sum(months, Decimal(0))
        return (flown / len(months)).quantize(_TENTH), flown
    ordered = _in_order(readings)
    days = (ordered[-1].on - ordered[0].on).days if ordered else 0
    if days < 7:
        return Decimal("0.0"), Decimal(0)
    flown = ordered[-1].hours - ordered[0].hours
    return (flown / days * DAYS_A_MONTH).quantize(_TENTH), flown


def _usage_answer(
    value: Usage, readings: Sequence[Reading], steps: list[Step], assumptions: list[str]
) -> Worked[Usage]:
    ordered = _in_order(readings)
    outer = dict.fromkeys((*ordered[:1], *ordered[-1:]))
    return answer(
        value,
        "How the airplane is flown",
        f"{value.hours_per_month} h a month",
        citation="common practice, no source",
        says="the coming months are like the recorded ones",
        inputs=[
            ("readings", str(len(ordered))),
            *(("read", _said(reading)) for reading in outer),
            *([("stated", f"{value.hours_per_month}", "h a month")] if value.stated else []),
        ],
        steps=steps,
        assumptions=assumptions,
    )


def forecast(limit_hours: Decimal, now_hours: Decimal, usage: Usage, today: date) -> Worked[Forecast]:
    """When an hour limit will be reached, with an early and a late bound; the same as `forecasts` of one."""
    return forecasts([limit_hours], now_hours, usage, today)[0]


def forecasts(
    limits: Sequence[Decimal], now_hours: Decimal, usage: Usage, today: date
) -> list[Worked[Forecast]]:
    """When each of several hour limits of one assembly will be reached.

    The coming months are drawn once for all limits from the airplane's own, so that a higher limit is never
    reached earlier. The same input always gives the same answer. A limit that is reached already gives today.
    Source: common practice, no source; how often the bounds hold is measured by tests/benchmarks.
    """
    months = () if usage.stated else tuple(float(hours) for hours in usage.months)
    few = None if usage.few_hours is None else float(usage.few_hours)
    monthly, hidden = float(usage.hours_per_month), usage.hidden_share
    flying = flown_ahead(months, usage.first_month, monthly, today, few, hidden)
    return [_forecast(limit, now_hours, usage, today, flying) for limit in limits]


def _forecast(
    limit: Decimal, now_hours: Decimal, usage: Usage, today: date, flying: Flying
) -> Worked[Forecast]:
    left = limit - now_hours
    if left <= 0:
        value = Forecast(today, today, today)
    else:
        early, middle, late = (_after(today, days) for days in days_until(flying, float(left)))
        value = Forecast(on=middle, early_on=early, late_on=late)
    return _forecast_answer(value, limit, now_hours, usage, flying)


def _after(today: date, days: int | None) -> date | None:
    return None if days is None else today + timedelta(days=days)


def _forecast_answer(
    value: Forecast, limit: Decimal, now_hours: Decimal, usage: Usage, flying: Flying
) -> Worked[Forecast]:
    left = limit - now_hours
    steps = [Step(f"{said_hours(limit)} - {said_hours(now_hours)}", f"{said_hours(left)} left")]
    if left > 0:
        steps.append(Step(flying.how))
    return answer(
        value,
        f"When {said_hours(limit)} will be reached",
        _forecast_text(value) if left > 0 else "reached already",
        citation="common practice, no source",
        says="hours still to fly, at the way this airplane is flown",
        inputs=[("flown", f"{usage.hours_per_month}", "h a month")],
        steps=steps,
        assumptions=flying.assumptions,
    )


def _forecast_text(value: Forecast) -> str:
    beyond = "not within ten years"
    if value.on is None and value.early_on is None:
        return beyond
    days = (value.on, value.early_on, value.late_on)
    on, early, late = (said_date(day) if day else beyond for day in days)
    return f"about {on}; eight times in ten between {early} and {late}"
