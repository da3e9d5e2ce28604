"""The lines through a few readings over hours, and the hours at which they meet a limit."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum

from annual_planner.trade.chance import Kendall, kendall, student_t
from annual_planner.trade.lines import Line, Medians, fitted_line, median_line

CONFIDENCE = 0.9
"""Two-sided confidence of bands where nothing else is asked for."""


class Worse(StrEnum):
    """The way in which a value gets worse."""

    RISING = "rising"
    FALLING = "falling"

    @property
    def sign(self) -> int:
        """1 where larger is worse, else -1."""
        return 1 if self is Worse.RISING else -1


@dataclass(frozen=True, slots=True)
class Reading:
    """One value at an hour, with its standard deviation where that is stated; None for hours not known."""

    hours: Decimal | None
    value: float
    sd: float | None = None
    name: str = ""


@dataclass(frozen=True, slots=True)
class Limit:
    """A limit: its value, which way is worse, the standard deviation of a reading taken at it.

    `reached_is_past`: a value exactly at the limit is beyond it (half-worn electrode), or still good (60/80).
    """

    value: float
    worse: Worse
    sd: float | None = None
    reached_is_past: bool = False

    def past(self, value: float) -> bool:
        """Say whether a value lies beyond the limit."""
        beyond = (value - self.value) * self.worse.sign
        close = math.isclose(value, self.value, rel_tol=1e-9)
        return (beyond > 0 and not close) or (self.reached_is_past and close)


@dataclass(frozen=True, slots=True)
class Estimates:
    """Everything reckoned from 3 or more readings, whether or not a forecast is made of it.

    `g`: Fieller's g; at 1 or more the bands are None. `hours_at_limit`: None for a level line.
    `reading_band`, `line_band`: hours between which the next reading, or the line, could meet the limit.
    """

    line: Line
    medians: Medians
    order: Kendall
    t: float
    g: float
    hours_at_limit: float | None
    reading_band: tuple[float, float] | None
    line_band: tuple[float, float] | None


def estimated(readings: Sequence[Reading], limit: Limit, confidence: float = CONFIDENCE) -> Estimates:
    """Both lines, Kendall's count, Fieller's g and the bands for 3 or more readings, else ValueError."""
    hours, values, sds = columns_of(readings)
    line, t = fitted_line(hours, values, sds), student_t(confidence, len(readings) - 2)
    slope = line.slope
    wide = (t * line.sd) ** 2
    steep = slope**2 * line.spread
    g = wide / steep if steep else math.inf
    own = 1.0 if sds is None else (limit.sd if limit.sd is not None else max(sds)) ** 2
    return Estimates(
        line=line,
        medians=median_line(hours, values),
        order=kendall(values),
        t=t,
        g=g,
        hours_at_limit=(limit.value - line.intercept) / slope if slope else None,
        reading_band=_band(line, limit.value, wide, own),
        line_band=_band(line, limit.value, wide, 0.0),
    )


def columns_of(readings: Sequence[Reading]) -> tuple[list[float], list[float], list[float] | None]:
    """Hours, values and, where every reading states one, the standard deviations."""
    hours = [float(each.hours or 0) for each in readings]
    sds = [each.sd for each in readings if each.sd is not None]
    return hours, [each.value for each in readings], sds if len(sds) == len(readings) else None


def _band(line: Line, limit: float, wide: float, own: float) -> tuple[float, float] | None:
    """Both hours at which line and limit differ by t sd; `own` is the variance of a new reading.

    None where the slope isn't surely different from none: then there is no end to it.
    """
    off = line.at(line.middle) - limit
    lead = line.slope**2 - wide / line.spread
    if lead <= 0:
        return None
    root = math.sqrt(wide * (off**2 / line.spread + (own + 1 / line.weight) * lead))
    low, high = ((-line.slope * off + sign * root) / lead for sign in (-1, 1))
    return line.middle + low, line.middle + high
