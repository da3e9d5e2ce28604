"""Straight lines through a few readings: least squares, weighted or not, and Theil and Sen's medians."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from statistics import median

Numbers = Sequence[float]


@dataclass(frozen=True, slots=True)
class Line:
    """A least-squares line: value = intercept + slope × hours.

    `scatter`: root of the sum of weighted squares over n - 2; without weights the residual standard
    deviation, with weights 1/sd² the root of the reduced chi-square. `sd`: the larger of `scatter` and what
    the stated uncertainties allow (1 with weights). `weight` and `spread`: sums of weights and of weighted
    squares of hours about `middle`.
    """

    intercept: float
    slope: float
    scatter: float
    sd: float
    weight: float
    middle: float
    spread: float
    count: int

    def at(self, hours: float) -> float:
        """Value of the line at some hours."""
        return self.intercept + self.slope * hours

    @property
    def slope_sd_from_scatter(self) -> float:
        """Standard deviation of the slope as the readings' own scatter gives it."""
        return self.scatter / math.sqrt(self.spread)

    @property
    def slope_sd(self) -> float:
        """Standard deviation of the slope: the larger of scatter's and the stated uncertainties'."""
        return self.sd / math.sqrt(self.spread)

    @property
    def intercept_sd(self) -> float:
        """Standard deviation of the intercept."""
        return self.sd * math.sqrt(1 / self.weight + self.middle**2 / self.spread)


def fitted_line(hours: Numbers, values: Numbers, sds: Numbers | None = None) -> Line:
    """Least-squares line; with standard deviations of the values, weighted by 1/sd².

    At least 3 points at 2 or more different hours and sds above 0, else ValueError. Source: textbook.

    >>> round(fitted_line([0, 100, 200, 300], [76, 75, 72, 71]).slope, 4)
    -0.018
    """
    if len(hours) < 3 or len(set(hours)) < 2 or len(hours) != len(values):
        raise ValueError("a line with scatter needs 3 points at 2 different hours")
    if sds is not None and not all(sd > 0 for sd in sds):
        raise ValueError("standard deviations must be above 0")
    weights = [1.0] * len(hours) if sds is None else [1 / sd**2 for sd in sds]
    points = list(zip(hours, values, weights, strict=True))
    whole = math.fsum(weights)
    middle = math.fsum(w * x for x, _, w in points) / whole
    level = math.fsum(w * y for _, y, w in points) / whole
    spread = math.fsum(w * (x - middle) ** 2 for x, _, w in points)
    slope = math.fsum(w * (x - middle) * (y - level) for x, y, w in points) / spread
    squares = math.fsum(w * (y - level - slope * (x - middle)) ** 2 for x, y, w in points)
    scatter = math.sqrt(squares / (len(hours) - 2))
    sd = scatter if sds is None else max(scatter, 1.0)
    return Line(level - slope * middle, slope, scatter, sd, whole, middle, spread, len(hours))


@dataclass(frozen=True, slots=True)
class Rate:
    """Slope of a line through the origin, with its standard deviation and that of the residuals."""

    slope: float
    slope_sd: float
    residual_sd: float


def rate_from_origin(hours: Numbers, values: Numbers) -> Rate:
    """Least-squares line through no value at no hours, such as growth since a setting.

    At least 2 points, not all at 0 hours, else ValueError. Source: textbook.

    >>> rate_from_origin([100, 200], [0.001, 0.002]).slope
    1e-05
    """
    squares = math.fsum(x * x for x in hours)
    if len(hours) < 2 or not squares:
        raise ValueError("a rate with scatter needs 2 points away from the origin")
    slope = math.fsum(x * y for x, y in zip(hours, values, strict=True)) / squares
    rest = math.fsum((y - slope * x) ** 2 for x, y in zip(hours, values, strict=True))
    residual_sd = math.sqrt(rest / (len(hours) - 1))
    return Rate(slope, residual_sd / math.sqrt(squares), residual_sd)


@dataclass(frozen=True, slots=True)
class Medians:
    """Theil and Sen's line: the median of all slopes between pairs; one bad reading hardly moves it.

    `intercept`: median of value - slope × hours. `separate_intercept`: the other usual definition,
    median value - slope × median hours, to compare with other programs.
    """

    slope: float
    intercept: float
    separate_intercept: float

    def at(self, hours: float) -> float:
        """Value of the line at some hours."""
        return self.intercept + self.slope * hours


def median_line(hours: Numbers, values: Numbers) -> Medians:
    """Theil and Sen's line through points at 2 or more different hours, else ValueError. Source: textbook.

    >>> round(median_line([0, 100, 200, 300], [76, 75, 72, 71]).slope, 5)
    -0.01833
    """
    points = list(zip(hours, values, strict=True))
    slopes = [
        (y2 - y1) / (x2 - x1)
        for place, (x1, y1) in enumerate(points)
        for x2, y2 in points[place + 1 :]
        if x2 != x1
    ]
    if not slopes:
        raise ValueError("a line needs points at 2 different hours")
    slope = median(slopes)
    intercept = median(y - slope * x for x, y in points)
    return Medians(slope, intercept, median(values) - slope * median(hours))
