"""The plan as lanes and weeks, for whoever draws it: bars, the load of each week, what is shut."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta

from annual_planner.planning.shop_weeks.kept import VisitLine
from annual_planner.planning.shop_weeks.visits import ShopWeek, WeeksAsked, weekly_load

NO_BAY = "no bay free"
"""The lane of visits that found no bay in their week."""


@dataclass(frozen=True, slots=True)
class LoadLine:
    """What stands in one week: hours and bay days of the visits, and what of them there is.

    `room_hours`: what may be planned; the rest of the week's hours is kept free for findings.
    """

    week: ShopWeek
    begin: int
    hours: float
    room_hours: float
    bay_days: float
    all_bay_days: int

    @property
    def shut(self) -> bool:
        """The shop is closed all week."""
        return not self.week.open_days

    @property
    def share(self) -> float:
        """Planned hours as a share of all; 0 where there are none."""
        return self.hours / float(self.week.hours) if self.week.hours else 0.0


@dataclass(frozen=True, slots=True)
class Bar:
    """A visit on a lane, from its first day to its last, both included."""

    line: VisitLine
    lane: int
    first_on: date
    last_on: date


@dataclass(frozen=True, slots=True)
class Lanes:
    """Everything that is drawn. The axis counts weeks from `start_on`, a Monday."""

    start_on: date
    loads: tuple[LoadLine, ...]
    lanes: tuple[str, ...]
    bars: tuple[Bar, ...]

    @property
    def count(self) -> int:
        """Weeks on the axis."""
        ends = [load.week.monday for load in self.loads[-1:]] or [bar.last_on for bar in self.bars]
        return (max(ends) - self.start_on).days // 7 + 1 if ends else 1

    def at(self, day: date, *, ends: bool = False) -> float:
        """Where a day begins (or ends) on the axis, in weeks; a week's open days share its width."""
        number, weekday = divmod((day - self.start_on).days, 7)
        load = self._of(self.start_on + timedelta(weeks=number))
        days = load.week.open_days if load is not None and day in load.week.open_days else ()
        part, of = (days.index(day), len(days)) if days else (weekday, 7)
        return number + (part + ends) / of

    def monday(self, place: float) -> date | None:
        """The Monday of the week at a place on the axis; None where no week is planned."""
        monday = self.start_on + timedelta(weeks=int(place // 1))
        return monday if self._of(monday) is not None else None

    def _of(self, monday: date) -> LoadLine | None:
        if not self.loads:
            return None
        number = (monday - self.loads[0].week.monday).days // 7
        return self.loads[number] if 0 <= number < len(self.loads) else None


def lanes_of(asked: WeeksAsked, lines: Sequence[VisitLine], today: date) -> Lanes:
    """The lanes of a plan, from the week of today on."""
    bars = [_bar(asked, line) for line in lines if line.placed.week is not None]
    bars, more = _apart(bars, len(asked.bays))
    return Lanes(
        start_on=min(today - timedelta(days=today.weekday()), asked.weeks[0].monday),
        loads=load_lines(asked, lines),
        lanes=(*asked.bays, *(NO_BAY for _ in range(more))),
        bars=tuple(bars),
    )


def _apart(bars: Sequence[Bar], bays: int) -> tuple[list[Bar], int]:
    """Visits without a bay on lanes of their own, none over another; and how many lanes that takes."""
    ends: list[date] = []
    placed = []
    for bar in sorted(bars, key=lambda each: each.first_on):
        if bar.lane < bays:
            placed.append(bar)
            continue
        free = next((lane for lane, end in enumerate(ends) if end < bar.first_on), len(ends))
        ends[free:] = [bar.last_on, *ends[free + 1 :]]
        placed.append(replace(bar, lane=bays + free))
    return placed, len(ends)


def lanes_alone(lines: Sequence[VisitLine], today: date) -> Lanes:
    """The lanes of visits as they were written, where neither bays nor hours of the shop are known."""
    names = tuple(sorted({line.placed.bay or NO_BAY for line in lines}))
    bars = [
        Bar(line, names.index(line.placed.bay or NO_BAY), line.placed.first_on, line.placed.last_on)
        for line in lines
        if line.placed.first_on is not None and line.placed.last_on is not None
    ]
    return Lanes(today - timedelta(days=today.weekday()), (), names, tuple(bars))


def _bar(asked: WeeksAsked, line: VisitLine) -> Bar:
    placed = line.placed
    assert placed.week is not None
    if placed.first_on is not None and placed.last_on is not None:
        return Bar(line, asked.bays.index(placed.bay), placed.first_on, placed.last_on)
    days = asked.weeks[placed.week].open_days or (asked.weeks[placed.week].monday,)
    return Bar(line, len(asked.bays), days[0], days[min(placed.visit.bay_days, len(days)) - 1])


def load_lines(asked: WeeksAsked, lines: Sequence[VisitLine]) -> tuple[LoadLine, ...]:
    """What stands in each week; hours of a visit are spread over its days from the first open one on."""
    starts = [(line.visit, line.placed.week) for line in lines if line.placed.week is not None]
    begin = Counter(week for _, week in starts)
    loads = zip(asked.weeks, weekly_load(asked, starts), strict=True)
    return tuple(
        LoadLine(
            week=week,
            begin=begin[number],
            hours=hours,
            room_hours=float(asked.room_hours(week)),
            bay_days=days,
            all_bay_days=len(week.open_days) * len(asked.bays),
        )
        for number, (week, (days, hours)) in enumerate(loads)
    )
