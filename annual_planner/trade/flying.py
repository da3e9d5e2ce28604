"""Many possible courses of the coming months' flying, drawn from the months an airplane has flown.

Blocks of consecutive months are drawn that began at the same time of year, so that the seasons and the runs
of busy and idle months stay as they were. Each course is then flown at a level of its own, because the
airplane may be used more or less than before: the spread of that level comes from how unsteady the recorded
months are and widens with the time ahead. All of it is common practice, no source;
tests/benchmarks/forecast_coverage.py measures how often the bounds hold.
"""

from __future__ import annotations

import zlib
from dataclasses import dataclass
from datetime import date, timedelta
from functools import lru_cache
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]

COURSES = 400
"""Possible courses of flying that are drawn for one airplane."""
MONTHS_AHEAD = 121
"""Ten years and the rest of the current month."""
BLOCK_MONTHS = 3
MONTHS_REMEMBERED = 24
"""Older months than these say little about how the airplane is flown now."""
FEWEST_MONTHS = 6
"""Whole months of readings that are taken as a record of how the airplane is flown; fewer are too few."""
SEASONS_FROM = 12
"""Whole months from which the time of year is taken into account."""
LEVEL_SPREAD = 0.12
"""Spread of the level (standard deviation of its logarithm) that no record removes."""
DRIFT_PER_YEAR = 0.22
"""How much the spread of the level grows in a year."""
RUN_MONTHS = 5
"""Busy and idle months come in runs: so many say as much about the level as one that stands alone."""
FIGURE_SPREAD = 0.35
"""Assumed spread of what is then flown about a figure without six months of record behind it, a person's or
a mean of fewer months: seasons, and busy and idle times."""
STATED_MONTH_SPREAD = 0.6
"""Assumed spread of single months about a person's figure."""
OUTING_HOURS = 2.0
"""Hours come in outings, there and back, of about so many. As outings come by chance, a month can hold none
or three where one is usual, and few of them tell little of how often the airplane goes out."""
UNSEEN_MONTH_SPREAD = 0.3
"""Assumed spread of single months beside what comes of flying in whole outings, where no record tells it."""
HALF_AN_OUTING = 0.5
"""Added to the outings counted: Jeffreys' prior for the rate of events that come by chance."""


@dataclass(frozen=True, slots=True)
class Flying:
    """Possible courses: `hours[course, k]` flown after `days[k]` days from today; and how they were made."""

    days: Floats
    hours: Floats
    how: str
    assumptions: tuple[str, ...]


@lru_cache(maxsize=4)
def flown_ahead(
    months: tuple[float, ...],
    first_month: date | None,
    hours_per_month: float,
    today: date,
    recorded_hours: float | None = None,
    hidden_share: float = 0.0,
) -> Flying:
    """Possible courses of the ten years from today.

    From at least six recorded months by drawing among them, else about `hours_per_month`: a person's figure,
    or the mean of the few months in which `recorded_hours` were flown; the fewer hours, the less sure.
    `hidden_share`: how much of what single months differ by was lost by reading the meter seldom. The same
    input always gives the same courses; they are kept for a moment, since everything that counts on one
    airplane's flying asks for the same.
    """
    import numpy as np

    chance = np.random.Generator(np.random.PCG64(_seed(months, hours_per_month, today)))
    if len(months) >= FEWEST_MONTHS and first_month is not None and sum(months) > 0:
        hidden = _hidden_spread(months, hidden_share)
        by_month = _drawn(months, first_month, today, hidden, chance)
        how, assumed = _drawn_words(len(months), hidden)
    elif recorded_hours:
        by_month = _about_few(hours_per_month, recorded_hours, chance)
        how, assumed = _few_words(hours_per_month, recorded_hours)
    else:
        by_month = _about(hours_per_month, chance)
        how, assumed = _about_words(hours_per_month)
    days, share = _calendar(today)
    by_month[:, 0] *= share
    hours = np.concatenate([np.zeros((COURSES, 1)), np.cumsum(by_month, axis=1)], axis=1)
    return Flying(days, hours, how, assumed)


def _seed(months: tuple[float, ...], hours_per_month: float, today: date) -> int:
    return zlib.crc32(repr((months, hours_per_month, today.toordinal())).encode())


def _hidden_spread(months: tuple[float, ...], share: float) -> float:
    """Spread of single months that even spreading between readings took out of the record."""
    remembered = months[-MONTHS_REMEMBERED:]
    return share**0.5 * _month_spread(sum(remembered) / len(remembered)) if share else 0.0


def _drawn(
    months: tuple[float, ...], first_month: date, today: date, hidden: float, chance: np.random.Generator
) -> Floats:
    """Courses of months made of recorded blocks, each course at a level of its own."""
    import numpy as np

    record = np.array(months[-MONTHS_REMEMBERED:])
    last = first_month.month - 1 + len(months)
    first_calendar = (last - len(record)) % 12
    starts = _block_starts(len(record), first_calendar, today.month - 1, chance)
    within = np.arange(BLOCK_MONTHS)
    places = (starts[:, :, None] + within).reshape(COURSES, -1)[:, :MONTHS_AHEAD] % len(record)
    by_month = record[places] * _levels(_level_spread(record, hidden), chance)
    return np.asarray(by_month * _single_months(hidden, chance) if hidden else by_month)


def _block_starts(
    recorded: int, first_calendar: int, this_month: int, chance: np.random.Generator
) -> NDArray[Any]:
    """Where each block of each course begins in the record: at its own time of year, give or take a month."""
    import numpy as np

    blocks = -(-MONTHS_AHEAD // BLOCK_MONTHS)
    drawn = chance.random((COURSES, blocks))
    if recorded < SEASONS_FROM:
        return np.asarray((drawn * recorded).astype(int))
    starts = np.empty((COURSES, blocks), dtype=int)
    calendar = (first_calendar + np.arange(recorded)) % 12
    for block in range(blocks):
        wanted = (this_month + block * BLOCK_MONTHS) % 12
        apart = (calendar - wanted + 6) % 12 - 6
        candidates = np.flatnonzero(np.abs(apart) <= 1)
        starts[:, block] = candidates[(drawn[:, block] * len(candidates)).astype(int)]
    return starts


def _level_spread(record: Floats, hidden: float) -> float:
    """Spread of the level from the record: the uncertainty of its mean, and what no record removes."""
    import numpy as np

    single = np.hypot(np.std(record) / np.mean(record), hidden)
    return float(np.hypot(LEVEL_SPREAD, single / (len(record) / RUN_MONTHS) ** 0.5))


def _levels(spread: float, chance: np.random.Generator) -> Floats:
    """A level for each course and month: uncertain at first, and drifting."""
    import numpy as np

    now = spread * chance.standard_normal((COURSES, 1))
    drift = DRIFT_PER_YEAR / 12**0.5 * np.cumsum(chance.standard_normal((COURSES, MONTHS_AHEAD)), axis=1)
    return np.asarray(np.exp(now + drift))


def _about(hours_per_month: float, chance: np.random.Generator) -> Floats:
    """Courses about a person's figure."""
    import numpy as np

    single = _single_months(STATED_MONTH_SPREAD, chance)
    return np.asarray(hours_per_month * single * _levels(FIGURE_SPREAD, chance))


def _about_few(hours_per_month: float, recorded_hours: float, chance: np.random.Generator) -> Floats:
    """Courses about the mean of a few months: how often it goes out is as unsure as few outings leave it."""
    import numpy as np

    outings = recorded_hours / OUTING_HOURS
    often = chance.gamma(outings + HALF_AN_OUTING, 1 / outings, (COURSES, 1))
    single = _single_months(_month_spread(hours_per_month), chance)
    return np.asarray(hours_per_month * often * single * _levels(FIGURE_SPREAD, chance))


def _month_spread(hours_per_month: float) -> float:
    """Spread of single months where no record tells it: whole outings, by chance so many, and the rest."""
    outings = OUTING_HOURS / hours_per_month if hours_per_month else 0.0
    return float((UNSEEN_MONTH_SPREAD**2 + outings) ** 0.5)


def _single_months(spread: float, chance: np.random.Generator) -> Floats:
    shape = spread**-2
    return chance.gamma(shape, 1 / shape, (COURSES, MONTHS_AHEAD))


def _calendar(today: date) -> tuple[Floats, float]:
    """Days from today to each coming month's beginning, 0 first; and how much of this month is to come."""
    import numpy as np

    firsts = [today]
    for _ in range(MONTHS_AHEAD):
        firsts.append((firsts[-1].replace(day=1) + timedelta(days=31)).replace(day=1))
    days = np.array([(first - today).days for first in firsts], dtype=float)
    month_days = (firsts[1] - today.replace(day=1)).days
    return days, float(days[1]) / month_days


def days_until(flying: Flying, left_hours: float) -> tuple[int | None, int | None, int | None]:
    """Days until so many hours are flown: reached by a tenth, by half and by nine tenths of the courses.

    None where that many don't reach it in the time drawn.
    """
    import numpy as np

    crossed = np.sort(_crossing_days(flying, left_hours))
    early, middle, late = (crossed[int(share * (COURSES - 1))] for share in (0.1, 0.5, 0.9))
    return _whole_days(early), _whole_days(middle), _whole_days(late)


def _whole_days(days: float) -> int | None:
    return int(days) if days <= 3653 else None


def _crossing_days(flying: Flying, left_hours: float) -> Floats:
    """For each course the day it reaches hours above 0, evenly within a month; infinite where it doesn't."""
    import numpy as np

    # Hours rise along each course: the first month with enough of them, and the 0th where there is none.
    first = np.argmax(flying.hours >= left_hours, axis=1)
    reached = first > 0
    after = np.where(reached, first, flying.hours.shape[1] - 1)
    places = np.arange(0, flying.hours.size, flying.hours.shape[1]) + after
    before_hours, after_hours = flying.hours.take(places - 1), flying.hours.take(places)
    part = (left_hours - before_hours) / np.maximum(after_hours - before_hours, 1e-9)
    days = flying.days[after - 1] + part * (flying.days[after] - flying.days[after - 1])
    return np.asarray(np.where(reached, days, np.inf))


def _drawn_words(recorded: int, hidden: float) -> tuple[str, tuple[str, ...]]:
    used = min(recorded, MONTHS_REMEMBERED)
    seasons = " that began at the same time of year" if used >= SEASONS_FROM else ""
    runs = f"{BLOCK_MONTHS}-month runs{seasons}"
    how = f"{COURSES} possible courses, each of {runs}, from the last {used} months"
    drift = f"each course has a level of its own that drifts by about {DRIFT_PER_YEAR:.0%} in a year"
    assumed = (
        f"The airplane goes on being flown much as before; {drift}.",
        "" if seasons else "Less than a year is recorded: the seasons aren't known.",
        f"Readings lie more than a month apart, so single months are taken to differ by about {hidden:.0%} "
        "more than the record shows; reading the meter each month makes the forecast surer."
        if hidden
        else "",
    )
    return how, tuple(text for text in assumed if text)


def _about_words(hours_per_month: float) -> tuple[str, tuple[str, ...]]:
    how = f"{COURSES} possible courses about {hours_per_month:g} h a month"
    assumed = f"A person's figure is taken to be off by about {FIGURE_SPREAD:.0%}."
    return how, (assumed, f"Single months are taken to differ by about {STATED_MONTH_SPREAD:.0%}.")


def _few_words(hours_per_month: float, recorded_hours: float) -> tuple[str, tuple[str, ...]]:
    outings = recorded_hours / OUTING_HOURS
    unsure = (outings + HALF_AN_OUTING) ** 0.5 / outings
    how = (
        f"{COURSES} possible courses about {hours_per_month:g} h a month; the {recorded_hours:g} h recorded, "
        f"about {outings:.2g} outings of {OUTING_HOURS:g} h, leave this unsure by {unsure:.0%}"
    )
    assumed = (
        f"Fewer than {FEWEST_MONTHS} months are recorded, so the bounds themselves are unsure; for seasons "
        f"and busy times the mean is taken to be off by {FIGURE_SPREAD:.0%} besides."
    )
    return how, (assumed, "A stated figure, or some more months of readings, makes the forecast surer.")
