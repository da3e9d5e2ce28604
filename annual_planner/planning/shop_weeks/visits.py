"""What is placed, and where: visits with their windows, and the shop's weeks with their room."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import date, timedelta
from decimal import Decimal

from annual_planner.planning.crew.open_time import ClosedDay
from annual_planner.trade.refused import Refused
from annual_planner.trade.said import said_date


@dataclass(frozen=True, slots=True)
class Days:
    """Some days, both ends included."""

    first_on: date
    last_on: date

    def meet(self, first_on: date, last_on: date) -> bool:
        """Say whether any of these days lies between two others."""
        return self.first_on <= last_on and first_on <= self.last_on


@dataclass(frozen=True, slots=True)
class ShopWeek:
    """One week of the shop: its open days, and the hours its people have for annuals in all.

    `closed`: days that would be open by the shop's week, with why they aren't.
    """

    monday: date
    open_days: tuple[date, ...]
    hours: Decimal
    closed: tuple[ClosedDay, ...] = ()

    @property
    def last_on(self) -> date:
        """Its Sunday."""
        return self.monday + timedelta(days=6)

    @property
    def why_closed(self) -> str:
        """Each reason of its closed days once, in parentheses; empty where nobody said why."""
        reasons = ", ".join(dict.fromkeys(day.why for day in self.closed if day.why))
        return f" ({reasons})" if reasons else ""


@dataclass(frozen=True, slots=True)
class Visit:
    """One airplane's annual that is to be placed.

    `bay_days`: open days it stands in a bay, 1 or more. `latest_on`: the last day it may be flown in, by the
    early bound of what is due; `due_on` that day by what is due for certain. `worth`: what an annual costs in
    all, of which a part is given up for each month it is done early. `pinned_on`: Monday of the week a person
    put it in.
    """

    key: int
    title: str
    bay_days: int
    hours: Decimal
    earliest_on: date
    latest_on: date
    due_on: date
    worth: Decimal
    wished: tuple[Days, ...] = ()
    blocked: tuple[Days, ...] = ()
    pinned_on: date | None = None


@dataclass(frozen=True, slots=True)
class Prices:
    """What is paid, in the money of `worth`, for what one would rather not have; the shop's own to set.

    `late_week`: for each week an airplane waits past its latest day; `off_wish`: share of its worth for a
    week its owner didn't wish for; `no_place`: for one that finds no week at all. `full_hour` and
    `crowded_hour`: for each hour of a week beyond `level` and beyond `crowded`, shares of its hours.
    """

    late_week: Decimal = Decimal(500)
    off_wish: Decimal = Decimal("0.10")
    no_place: Decimal = Decimal(20000)
    level: Decimal = Decimal("0.70")
    crowded: Decimal = Decimal("0.85")
    full_hour: Decimal = Decimal(4)
    crowded_hour: Decimal = Decimal(20)


@dataclass(frozen=True, slots=True)
class WeeksAsked:
    """The whole question. `kept_free`: share of every week's hours that is left for findings.

    Raises Refused, with every fault, when it can't be asked.
    """

    weeks: tuple[ShopWeek, ...]
    visits: tuple[Visit, ...]
    bays: tuple[str, ...]
    prices: Prices = field(default_factory=Prices)
    kept_free: Decimal = Decimal("0.15")

    def __post_init__(self) -> None:
        lacking = self._shop_faults()
        faults = [*lacking, *self._visit_faults()]
        if faults:
            about = "shop" if lacking else ""
            raise Refused(" ".join(faults), "Put that right, then place the visits again.", about=about)

    def _shop_faults(self) -> list[str]:
        faults = [] if self.bays else ["The shop has no bay."]
        if not any(week.open_days for week in self.weeks):
            faults.append("The shop has no open day in these weeks.")
        if not any(week.hours > 0 for week in self.weeks):
            faults.append("Nobody has hours in these weeks.")
        if not 0 <= self.kept_free < 1:
            faults.append(f"A share of {self.kept_free} of the hours can't be kept free.")
        return faults

    def _visit_faults(self) -> list[str]:
        mondays = {week.monday for week in self.weeks}
        faults = [
            f"{visit.title}: {visit.bay_days} days and {visit.hours} h can't be."
            for visit in self.visits
            if visit.bay_days < 1 or not 0 <= visit.hours < 10_000
        ]
        faults += [
            f"{visit.title} is pinned to {said_date(visit.pinned_on)}, which is no week of these."
            for visit in self.visits
            if visit.pinned_on is not None and visit.pinned_on not in mondays
        ]
        seen: set[int] = set()
        for visit in self.visits:
            if visit.key in seen:
                faults.append(f"{visit.title} is to be placed twice.")
            seen.add(visit.key)
        return faults

    def room_hours(self, week: ShopWeek) -> Decimal:
        """Hours of a week that may be planned: all but what is kept free for findings."""
        return week.hours * (1 - self.kept_free)

    def monday_index(self) -> dict[date, int]:
        """Places of the weeks by their Mondays."""
        return {week.monday: number for number, week in enumerate(self.weeks)}


@dataclass(frozen=True, slots=True)
class Placed:
    """Where a visit came: its week, bay and first and last day; all None when no week had room."""

    visit: Visit
    week: int | None
    bay: str = ""
    first_on: date | None = None
    last_on: date | None = None


@dataclass(frozen=True, slots=True)
class WeeksPlan:
    """All visits in their weeks. No plan can cost less than `bound` (None without a solver)."""

    placed: tuple[Placed, ...]
    cost: float
    bound: float | None
    proven: bool
    seconds: float

    @property
    def gap(self) -> float | None:
        """Share by which the cost lies above the bound; 0 when both are 0."""
        if self.bound is None:
            return None
        return 0.0 if self.cost <= 1e-9 else max(self.cost - self.bound, 0.0) / self.cost

    def of(self, key: int) -> Placed:
        """One visit's place. Raises KeyError for one that isn't in the plan."""
        for placed in self.placed:
            if placed.visit.key == key:
                return placed
        raise KeyError(key)


def weekly_load(asked: WeeksAsked, starts: Sequence[tuple[Visit, int]]) -> list[tuple[float, float]]:
    """Bay days and hours that visits beginning in these weeks put on each week; a long one on several."""
    load = [[0.0, 0.0] for _ in asked.weeks]
    for visit, start in starts:
        for week, days in spread_days(asked, visit, start):
            load[week][0] += days
            load[week][1] += float(visit.hours) * days / visit.bay_days
    return [(days, hours) for days, hours in load]


def spread_days(asked: WeeksAsked, visit: Visit, start: int) -> list[tuple[int, int]]:
    """How many of its bay days fall on which week, if it starts on the first open day of one."""
    left, spread, week = visit.bay_days, [], start
    while left > 0 and week < len(asked.weeks):
        days = min(left, len(asked.weeks[week].open_days))
        if days:
            spread.append((week, days))
        left, week = left - days, week + 1
    if left and spread:
        spread[-1] = (spread[-1][0], spread[-1][1] + left)
    return spread
