"""How often an hour limit is really reached between the early and the late date of its forecast.

    python -m tests.benchmarks.forecast_coverage [--each] [--airplanes N] [--first N] [--history M M]

Airplanes are invented and flown by chance for some years of history and ten years on: seasons, trends, busy
and idle spells, months in the shop, long lay-ups, meters read now and then. The forecast sees the readings
only. Eight in ten is meant; 75 to 85 % is good. Three lines: airplanes with some record, read now and then;
such whose meter is read about once a year; and airplanes with fewer than six months of readings and no stated
figure. `--each` adds a line for each way of being flown. The spreads in annual_planner/trade/flying.py were
set on airplanes 0 to 199; the airplanes tried here are others.
"""

from __future__ import annotations

import argparse
import math
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, timedelta
from decimal import Decimal
from random import Random

from annual_planner.trade.usage import Forecast, Reading, forecasts, usage

TODAY = date(2026, 6, 17)
YEARS_AHEAD = 10
NEVER = date.max
YEARLY = 365
READ = {"now and then": ((8, 66), None), "once a year": ((14, 66), YEARLY), "too few": ((1, 5), None)}
"""Fewest and most months of readings, and how many days apart where that is not left to chance."""


@dataclass(frozen=True, slots=True)
class WayOfFlying:
    """Between which bounds the airplanes of one kind are flown."""

    name: str
    hours_per_month: tuple[float, float]
    season: tuple[float, float]
    """Swing of the seasons about the mean."""
    trend_per_year: tuple[float, float]
    spells: tuple[float, float]
    """Spread of busy and idle spells that last for some months."""
    single: tuple[float, float]
    """Spread of single months."""
    layups_per_year: float = 0.08


WAYS = (
    WayOfFlying("private", (3, 12), (0.2, 0.7), (-0.15, 0.15), (0.15, 0.35), (0.3, 0.6)),
    WayOfFlying("seldom", (0.8, 3), (0.2, 0.8), (-0.25, 0.15), (0.2, 0.4), (0.5, 0.9), 0.2),
    WayOfFlying("club", (12, 35), (0.2, 0.5), (-0.1, 0.1), (0.1, 0.25), (0.2, 0.4), 0.04),
    WayOfFlying("school", (35, 80), (0.1, 0.3), (-0.15, 0.25), (0.1, 0.3), (0.15, 0.3), 0.04),
)


@dataclass(frozen=True, slots=True)
class Flown:
    """An airplane's true hours at the beginning of each day from `first` on."""

    first: date
    hours: list[float]

    def at(self, day: date) -> float:
        """Hours flown by the beginning of a day."""
        return self.hours[(day - self.first).days]

    def reaches(self, hours: float) -> date:
        """The day the hours are reached, or date.max."""
        for place, flown in enumerate(self.hours):
            if flown >= hours:
                return self.first + timedelta(days=place)
        return NEVER


def flown_by_chance(way: WayOfFlying, history_months: int, chance: Random) -> Flown:
    """One airplane, flown from so many months before TODAY until ten years after it."""
    first = (TODAY - timedelta(days=round(history_months * 30.44))).replace(day=1)
    last = TODAY.replace(year=TODAY.year + YEARS_AHEAD)
    hours, flown = [0.0], 0.0
    for month, factor in _months(way, first, last, chance):
        for share in _days(month, factor, chance):
            flown += share
            hours.append(flown)
    return Flown(first, hours)


def _months(way: WayOfFlying, first: date, last: date, chance: Random) -> Iterator[tuple[date, float]]:
    """Each month and the hours flown in it."""
    base, swing = chance.uniform(*way.hours_per_month), chance.uniform(*way.season)
    trend, spread = chance.uniform(*way.trend_per_year), chance.uniform(*way.spells)
    single, peak, shop = chance.uniform(*way.single), chance.gauss(6.5, 1.5), chance.randint(1, 12)
    spell, month, layup = chance.gauss(0, spread), first, 0
    while month <= last:
        spell = 0.88 * spell + chance.gauss(0, spread * math.sqrt(1 - 0.88**2))
        begins = chance.random() < way.layups_per_year / 12
        layup = max(layup - 1, 0) or (chance.randint(2, 7) if begins else 0)
        season = 1 + swing * math.cos((month.month - peak) / 12 * 2 * math.pi)
        years = (month - TODAY).days / 365.25
        factor = season * math.exp(spell + trend * max(-4.0, min(years, 2.0)))
        factor *= chance.gammavariate(single**-2, single**2)
        factor *= 0.0 if layup else chance.uniform(0.1, 0.7) if month.month == shop else 1.0
        yield month, base * factor
        month = (month + timedelta(days=31)).replace(day=1)


def _days(month: date, hours: float, chance: Random) -> list[float]:
    """The month's hours put on days: flights of an hour or two."""
    length = ((month + timedelta(days=31)).replace(day=1) - month).days
    days = [0.0] * length
    flights = max(round(hours / chance.uniform(0.9, 1.8)), 1)
    for _ in range(flights):
        days[chance.randrange(length)] += hours / flights
    return days


def readings_of(flown: Flown, chance: Random, every: int | None = None) -> list[Reading]:
    """The meter read now and then, or about so many days apart; and today."""
    often = chance.choice([3, 10, 25, 45, 80])
    bounds = (1, 2 * often) if every is None else (every * 9 // 10, every * 11 // 10)
    day, readings = flown.first + timedelta(days=chance.randint(0, 20)), []
    while day < TODAY:
        readings.append(Reading(day, _tenths(flown.at(day))))
        day += timedelta(days=chance.randint(*bounds))
    return [*readings, Reading(TODAY, _tenths(flown.at(TODAY)))]


def _tenths(hours: float) -> Decimal:
    return Decimal(str(round(hours, 1)))


def outcomes(
    way: WayOfFlying, number: int, history: tuple[int, int] = (8, 66), every: int | None = None
) -> list[str]:
    """Say of three limits of one airplane: reached 'between' the bounds, 'before' or 'after' them."""
    chance = Random(f"{way.name} {number}")
    flown = flown_by_chance(way, chance.randint(*history), chance)
    readings = readings_of(flown, chance, every)
    flies = usage(readings, stated_hours_per_month=None, today=TODAY).value
    now = readings[-1].hours
    yearly = max(float(flies.hours_per_month) * 12, 5.0)
    limits = [now + _tenths(chance.uniform(0.05, 1.5) * yearly) for _ in range(3)]
    answers = forecasts(limits, now, flies, TODAY)
    reached = [flown.reaches(float(limit)) for limit in limits]
    return [_outcome(answer.value, on) for answer, on in zip(answers, reached, strict=True)]


def _outcome(forecast: Forecast, reached_on: date) -> str:
    if reached_on < (forecast.early_on or NEVER):
        return "before"
    return "after" if reached_on > (forecast.late_on or NEVER) else "between"


def share_between(found: list[str]) -> float:
    """Share of the limits that were reached between their bounds."""
    return found.count("between") / len(found)


def main(arguments: list[str] | None = None) -> None:
    """Print the share of all limits, one line for each length of record; see above for `--each`."""
    parser = argparse.ArgumentParser(description="How often forecast bounds hold.")
    parser.add_argument("--each", action="store_true")
    parser.add_argument("--airplanes", type=int, default=150, help="of each way of being flown")
    parser.add_argument("--first", type=int, default=100_000, help="number of the first airplane")
    parser.add_argument("--history", type=int, nargs=2, help="fewest and most months, in place of all lines")
    chosen = parser.parse_args(arguments)
    numbers = range(chosen.first, chosen.first + chosen.airplanes)
    asked = {"now and then": (tuple(chosen.history), None)} if chosen.history else READ
    for said, (history, every) in asked.items():
        found = {
            way.name: [one for number in numbers for one in outcomes(way, number, history, every)]
            for way in WAYS
        }
        print(f"read {said}, {history[0]} to {history[1]} months: ", end="")
        _print_shares(found, each=chosen.each)


def _print_shares(found: dict[str, list[str]], *, each: bool) -> None:
    everything = [one for some in found.values() for one in some]
    print(f"bounds held in {share_between(everything):.1%} of {len(everything)} forecasts (meant: 80 %)")
    for name, some in found.items() if each else ():
        before, after = some.count("before") / len(some), some.count("after") / len(some)
        print(f"  {name}: {share_between(some):.1%}, before {before:.1%}, after {after:.1%}")


if __name__ == "__main__":
    main()
