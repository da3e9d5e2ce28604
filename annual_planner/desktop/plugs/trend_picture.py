"""What a chart over engine hours shows, whoever paints it."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Point:
    """One value at engine hours, what it was measured in, and how it is spoken."""

    hours: float
    value: float
    key: int
    """Of the test or look it belongs to."""
    said: str
    breaks: bool = False
    """It starts a new series: no line comes to it."""


@dataclass(frozen=True, slots=True)
class Run:
    """The points of one cylinder or plug, in order of hours; `loud`: the one that is looked at."""

    name: str
    points: tuple[Point, ...]
    loud: bool = False


@dataclass(frozen=True, slots=True)
class Band:
    """Where the limit could be reached: hours early, likely, late."""

    early: float
    likely: float
    late: float


@dataclass(frozen=True, slots=True)
class Picture:
    """Everything in one chart. `limits`: value and its words; `short_unit`: as it stands behind a number."""

    runs: tuple[Run, ...]
    unit: str
    places: int
    limits: tuple[tuple[float, str], ...] = ()
    band: Band | None = None
    now: float | None = None
    short_unit: str = ""


NOTHING = Picture((), "", 0)
