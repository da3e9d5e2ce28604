"""From weeks to bays and days: each visit stands in one bay on open days one after the other."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date

from annual_planner.planning.shop_weeks.visits import Placed, Visit, WeeksAsked


class Bays:
    """The bays' open days from the first week on, and from which of them each bay is free."""

    def __init__(self, asked: WeeksAsked) -> None:
        self._asked = asked
        self._days: list[date] = [day for week in asked.weeks for day in week.open_days]
        self._first: list[int] = []
        count = 0
        for week in asked.weeks:
            self._first.append(count)
            count += len(week.open_days)
        self._first.append(count)
        self._free = dict.fromkeys(asked.bays, 0)

    def take(self, visit: Visit, week: int, wanted: str = "") -> Placed | None:
        """Put a visit into the bay that leaves the least gap, to begin in its week; None when none can.

        `wanted`: a bay that it takes where that is free in its week.
        """
        begins, ends = self._first[week], self._first[week + 1]
        fits = [
            (bay != wanted, max(free, begins), -free, bay)
            for bay, free in self._free.items()
            if max(free, begins) < ends
        ]
        if not fits:
            return None
        _, start, _, bay = min(fits)
        self._free[bay] = start + visit.bay_days
        last = min(start + visit.bay_days, len(self._days)) - 1
        return Placed(visit, week, bay, self._days[start], self._days[last])


def in_bays(asked: WeeksAsked, weeks: Mapping[int, int]) -> tuple[list[Placed], list[Visit]]:
    """Place visits, whose weeks are given by key, week after week; and those that found no bay in theirs.

    Within a week the pinned come first, then the longest: what is short fits in between.
    """
    bays = Bays(asked)
    by_week: dict[int, list[Visit]] = {}
    for visit in asked.visits:
        if visit.key in weeks:
            by_week.setdefault(weeks[visit.key], []).append(visit)
    placed: list[Placed] = []
    left: list[Visit] = []
    for week in sorted(by_week):
        for visit in in_order(by_week[week]):
            found = bays.take(visit, week)
            if found is None:
                left.append(visit)
            else:
                placed.append(found)
    return placed, left


def in_order(visits: Sequence[Visit]) -> list[Visit]:
    """Visits of one week in the order in which they take their bays."""
    return sorted(
        visits, key=lambda visit: (visit.pinned_on is None, -visit.bay_days, visit.latest_on, visit.key)
    )
