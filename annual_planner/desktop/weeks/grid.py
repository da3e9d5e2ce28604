"""Where things lie on the drawing of the weeks: sizes in lines of text, weeks from left to right."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta

from PySide6.QtCore import QRectF

from annual_planner.desktop.theme import Sizes
from annual_planner.planning.shop_weeks.lanes import Bar, Lanes

HEAD, LANE, LANE_MOST, LOAD, GAP = 3.0, 4.2, 5.4, 4.0, 0.5
NAMES = 7.5
SCALES = {"year": 0.85, "half-year": 1.9, "quarter": 4.0}
"""Least width of a week, in lines of text."""
SPANS = {"year": 52, "half-year": 26, "quarter": 13}
"""Weeks that are seen at once where there is more room than the least."""


@dataclass(frozen=True, slots=True)
class Grid:
    """Places in pixels for one size of the drawing."""

    lanes: Lanes
    sizes: Sizes
    width: float
    height: float
    scale: str
    seen: float = 0.0
    """Width of the part that is seen at once."""

    @property
    def left(self) -> float:
        """Width of the names of the lanes."""
        return self.sizes.of(NAMES)

    @property
    def week_wide(self) -> float:
        """Width of one week."""
        return max((self.width - self.left - 4) / self.lanes.count, 2.0)

    @property
    def least(self) -> tuple[int, int]:
        """Least width and height."""
        of, count = self.sizes.of, max(len(self.lanes.lanes), 1)
        span = max(min(SPANS[self.scale], self.lanes.count), 1)
        week = max(of(SCALES[self.scale]), (self.seen - self.left - 4) / span)
        return int(self.left + self.lanes.count * week) + 4, of(HEAD) + count * of(LANE) + of(LOAD + GAP)

    @property
    def head(self) -> float:
        """Foot of the months and weeks, where the lanes begin."""
        return self.sizes.of(HEAD)

    @property
    def lane_high(self) -> float:
        """Height of one lane: what there is, within bounds."""
        of, count = self.sizes.of, max(len(self.lanes.lanes), 1)
        room = (self.height - of(HEAD) - of(LOAD + GAP)) / count
        return min(max(room, of(LANE)), of(LANE_MOST))

    @property
    def foot(self) -> float:
        """Foot of the lanes."""
        return self.head + self.lane_high * max(len(self.lanes.lanes), 1)

    def x(self, weeks: float) -> float:
        """Place of a point on the axis."""
        return self.left + weeks * self.week_wide

    def day(self, day: date, *, ends: bool = False) -> float:
        """Where a day begins, or ends."""
        return self.x(self.lanes.at(day, ends=ends))

    def span(self, first_on: date, last_on: date) -> tuple[float, float]:
        """Left and right of some days, within the drawing."""
        right = self.x(self.lanes.count)
        first, last = self.day(first_on), self.day(last_on, ends=True)
        return min(max(first, self.left), right), min(max(last, self.left), right)

    def box(self, bar: Bar) -> QRectF:
        """Where a bar is drawn."""
        top, pad = self.head + bar.lane * self.lane_high, self.sizes.of(0.16)
        first, last = self.day(bar.first_on), self.day(bar.last_on, ends=True)
        return QRectF(first + 0.5, top + pad, max(last - first - 1.0, 3.0), self.lane_high - 2 * pad)

    def load_box(self) -> QRectF:
        """The strip of loads below the lanes."""
        top = self.foot + self.sizes.of(GAP)
        return QRectF(self.left, top, self.x(self.lanes.count) - self.left, self.sizes.of(LOAD - 0.4))

    def monday_at(self, x: float) -> date | None:
        """The Monday of the week at a place; None beside the weeks that are planned."""
        return self.lanes.monday((x - self.left) / self.week_wide)

    def week_number(self, monday: date) -> int:
        """The place of a week on the axis."""
        return (monday - self.lanes.start_on).days // 7

    def mondays(self) -> list[date]:
        """All weeks on the axis."""
        return [self.lanes.start_on + timedelta(weeks=number) for number in range(self.lanes.count)]
