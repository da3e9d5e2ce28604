"""What stands in each of the shop's weeks once visits have their days: hours and bay days."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date, timedelta

from annual_planner.planning.shop_weeks.visits import Placed, ShopWeek, WeeksAsked, spread_days


@dataclass(frozen=True, slots=True)
class WeekLoad:
    """One week with the visits that begin in it, by bay and day, and what all that stand in it take of it.

    `hours`: a visit's hours are spread evenly over the open days it stands in a bay. One that found no bay
    has hours, but takes no bay days.
    """

    week: ShopWeek
    begin: tuple[Placed, ...]
    bay_days: int
    hours: float


def week_loads(asked: WeeksAsked, placed: Iterable[Placed]) -> tuple[WeekLoad, ...]:
    """Every week with its visits and its load."""
    week_of = {day: number for number, week in enumerate(asked.weeks) for day in week.open_days}
    begin: list[list[Placed]] = [[] for _ in asked.weeks]
    bay_days, hours = [0] * len(asked.weeks), [0.0] * len(asked.weeks)
    for each in sorted(placed, key=_in_turn):
        if each.week is None:
            continue
        begin[each.week].append(each)
        days = _days(asked, each, each.week, week_of)
        for number, count in days.items():
            hours[number] += float(each.visit.hours) * count / days.total()
            bay_days[number] += count if each.bay else 0
    return tuple(
        WeekLoad(week, tuple(begin[number]), bay_days[number], hours[number])
        for number, week in enumerate(asked.weeks)
    )


def _in_turn(placed: Placed) -> tuple[bool, str, date, int]:
    return not placed.bay, placed.bay, placed.first_on or date.max, placed.visit.key


def _days(asked: WeeksAsked, placed: Placed, week: int, week_of: Mapping[date, int]) -> Counter[int]:
    """How many of its days a visit stands in each week."""
    if placed.first_on is None or placed.last_on is None:
        return Counter(dict(spread_days(asked, placed.visit, week)))
    days = (placed.first_on + timedelta(days=n) for n in range((placed.last_on - placed.first_on).days + 1))
    return Counter(week_of[day] for day in days if day in week_of)
