"""Open time by the minute: what isn't planned but happens ends at any minute, not on a quarter-hour.

Moments are minutes since a beginning (whole or not); places on an axis are steps, whole or not.
"""

from __future__ import annotations

from bisect import bisect_right
from datetime import datetime, timedelta
from functools import cached_property
from math import ceil
from typing import Any

from annual_planner.planning.crew.open_time import STEP_MIN, Calendar

EXACT = 6
"""Decimals kept of a place on an axis: so that whole steps stay whole."""


class ByMinute:
    """One axis with the minute at which each of its steps begins."""

    def __init__(self, calendar: Calendar, beginning: datetime) -> None:
        minute = timedelta(minutes=1)
        self.opens = [(calendar.when(step) - beginning) / minute for step in range(calendar.steps)]

    def place(self, moment: float) -> float:
        """Place of the first open moment at or after a moment; the number of steps when there is none."""
        step = bisect_right(self.opens, moment) - 1
        if step < 0:
            return 0.0
        return step + round(min((moment - self.opens[step]) / STEP_MIN, 1.0), EXACT)

    def starts(self, place: float) -> float:
        """Minute at which something starts that starts at a place."""
        step = int(place)
        if step >= len(self.opens):
            return self.opens[-1] + STEP_MIN
        return self.opens[step] + (place - step) * STEP_MIN

    def ends(self, place: float) -> float:
        """Minute at which something ends that ends at a place, beyond the calendar at its end."""
        step = min(max(ceil(place) - 1, 0), len(self.opens) - 1)
        return self.opens[step] + min(place - step, 1.0) * STEP_MIN


class Many:
    """The same axis for whole arrays of moments and places."""

    def __init__(self, axis: ByMinute) -> None:
        import numpy as np

        self.np, self.opens = np, np.array(axis.opens)

    def places(self, moments: Any) -> Any:
        """See `ByMinute.place`."""
        step = self.np.searchsorted(self.opens, moments, "right") - 1
        into = self.np.minimum((moments - self.opens[self.np.maximum(step, 0)]) / STEP_MIN, 1.0)
        return self.np.where(step < 0, 0.0, step + self.np.round(into, EXACT))

    def starts(self, places: Any) -> Any:
        """See `ByMinute.starts`."""
        step = self.np.minimum(places.astype(self.np.int64), len(self.opens) - 1)
        return self.opens[step] + self.np.minimum(places - step, 1.0) * STEP_MIN

    def ends(self, places: Any) -> Any:
        """See `ByMinute.ends`."""
        step = self.np.ceil(places).astype(self.np.int64) - 1
        step = self.np.clip(step, 0, len(self.opens) - 1)
        return self.opens[step] + self.np.minimum(places - step, 1.0) * STEP_MIN


class Starts:
    """Where something may start on an axis, between whole steps too.

    It may start within a step when it may start at its beginning and at its end.
    """

    def __init__(self, mask: int, steps: int) -> None:
        self.steps = steps
        self.at = f"{mask:0{steps}b}"[::-1].encode().translate(ONE_OR_NOT) + b"\0\0"

    def allows(self, place: float) -> bool:
        """Whether it may start at a place."""
        step = int(place)
        return step < self.steps and bool(self.at[step] and (place == step or self.at[step + 1]))

    def first_of(self, places: Any) -> Any:
        """For each place of an array the first at or after it that is allowed; the steps when none is."""
        import numpy as np

        at = np.frombuffer(self.at, np.uint8)
        step = np.minimum(places.astype(np.int64), self.steps)
        whole = places == step
        fits = (at[step] == 1) & (whole | (at[step + 1] == 1))
        return np.where(fits, places, self._following[np.where(whole, step, step + 1)])

    @cached_property
    def _following(self) -> Any:
        """For each step the first at or after it that is allowed."""
        import numpy as np

        at = np.frombuffer(self.at, np.uint8) == 1
        first = np.where(at, np.arange(len(at)), self.steps)
        return np.minimum.accumulate(first[::-1])[::-1]


ONE_OR_NOT = bytes.maketrans(b"01", b"\0\1")
