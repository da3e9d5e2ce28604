"""A first plan by rule: those with the least choice first, each into the week that costs least now."""

from __future__ import annotations

from annual_planner.planning.shop_weeks.prices import crowding
from annual_planner.planning.shop_weeks.visits import Visit, WeeksAsked, spread_days

Choices = dict[int, dict[int, float]]
"""The price of each week a visit may be in, by its key and the week's place."""


def first_plan(asked: WeeksAsked, choices: Choices) -> dict[int, int]:
    """The week of each visit that found room, by key."""
    room = [(len(week.open_days) * len(asked.bays), float(asked.room_hours(week))) for week in asked.weeks]
    used = [[0.0, 0.0] for _ in asked.weeks]
    weeks: dict[int, int] = {}
    for visit in sorted(
        asked.visits, key=lambda each: (each.pinned_on is None, each.latest_on, len(choices[each.key]))
    ):
        best = _cheapest(asked, visit, choices[visit.key], room, used)
        if best is not None:
            weeks[visit.key] = best
            _use(asked, visit, best, used)
    return weeks


def _cheapest(
    asked: WeeksAsked,
    visit: Visit,
    prices: dict[int, float],
    room: list[tuple[int, float]],
    used: list[list[float]],
) -> int | None:
    costs = [
        (price + _crowds(asked, visit, week, used), week)
        for week, price in prices.items()
        if visit.pinned_on is not None or _has_room(asked, visit, week, room, used)
    ]
    return min(costs)[1] if costs else None


def _share(visit: Visit, days: int) -> float:
    return float(visit.hours) * days / visit.bay_days


def _has_room(
    asked: WeeksAsked, visit: Visit, start: int, room: list[tuple[int, float]], used: list[list[float]]
) -> bool:
    return all(
        used[week][0] + days <= room[week][0] and used[week][1] + _share(visit, days) <= room[week][1]
        for week, days in spread_days(asked, visit, start)
    )


def _crowds(asked: WeeksAsked, visit: Visit, start: int, used: list[list[float]]) -> float:
    """What the visit adds to the price of full weeks."""
    return sum(
        crowding(asked, asked.weeks[week], used[week][1] + _share(visit, days))
        - crowding(asked, asked.weeks[week], used[week][1])
        for week, days in spread_days(asked, visit, start)
    )


def _use(asked: WeeksAsked, visit: Visit, start: int, used: list[list[float]]) -> None:
    for week, days in spread_days(asked, visit, start):
        used[week][0] += days
        used[week][1] += _share(visit, days)
