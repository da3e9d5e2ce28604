"""Invented flying: month by month, with the seasons, ending at the hours the airplane has today."""

from __future__ import annotations

import math
import random
from dataclasses import dataclass
from datetime import date, timedelta
from decimal import Decimal

MONTHS_KEPT = {"full": 72, "short": 24, "new": 2}
HOURS_STEP = Decimal("0.1")
DAYS_PER_MONTH = Decimal("30.44")


@dataclass(frozen=True, slots=True)
class Flown:
    """Where the airframe stood on a day."""

    on: date
    hours: Decimal
    landings: int


def flown_months(
    seed: str,
    *,
    kept: str,
    hours_per_month: float,
    season: float,
    hours_now: Decimal,
    landings_now: int,
    today: date,
) -> list[Flown]:
    """The airframe's hours and landings at the turn of every month, oldest first, the last one near today.

    The same seed gives the same history. Flying follows the year by `season` (0 none, 1 strong); some
    months bring nothing, as weather does.
    """
    draw = random.Random(seed)
    on = today - timedelta(days=draw.randint(2, 6))
    hours, landings = hours_now, landings_now
    back = [Flown(on, hours, landings)]
    for _ in range(MONTHS_KEPT[kept]):
        month_end = on.replace(day=1) - timedelta(days=1)
        share = Decimal((on - month_end).days) / 30
        gone = (_month_hours(draw, month_end.month, hours_per_month, season) * share).quantize(HOURS_STEP)
        hours = max(hours - gone, Decimal(0))
        landings = max(landings - round(float(gone) * draw.uniform(1.4, 2.6)), 0)
        on = month_end
        back.append(Flown(on, hours, landings))
    return back[::-1]


def stand_on(history: list[Flown], on: date, hours_per_month: float) -> Flown:
    """Where the airframe stood on a day: on the line between two readings, before them at its usual pace."""
    before = [entry for entry in history if entry.on <= on]
    after = [entry for entry in history if entry.on > on]
    if not before:
        return _flown_back(history[0], on, hours_per_month)
    if not after:
        return Flown(on, before[-1].hours, before[-1].landings)
    first, second = before[-1], after[0]
    share = Decimal((on - first.on).days) / (second.on - first.on).days
    hours = (first.hours + (second.hours - first.hours) * share).quantize(HOURS_STEP)
    landings = first.landings + round((second.landings - first.landings) * float(share))
    return Flown(on, hours, landings)


def _month_hours(draw: random.Random, month: int, mean: float, season: float) -> Decimal:
    if draw.random() < 0.06:
        return Decimal(0)
    summer = 1 + season * math.cos((month - 7) / 12 * 2 * math.pi)
    return Decimal(mean * summer * draw.uniform(0.6, 1.4))


def _flown_back(first: Flown, on: date, hours_per_month: float) -> Flown:
    months = Decimal((first.on - on).days) / DAYS_PER_MONTH
    hours = (first.hours - Decimal(str(hours_per_month)) * months).quantize(HOURS_STEP)
    return Flown(on, max(hours, Decimal(0)), first.landings)
