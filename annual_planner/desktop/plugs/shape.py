"""Where an engine's cylinders and plugs stand in its drawing, in cylinder spacings; no pixels, no Qt."""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import pairwise

from annual_planner.trade.engines import CylinderAt, EngineType, Layout, Place

CASE_HALF = 0.34
"""Half the width of the crankcase of an opposed or V engine."""
RADIAL_HALF = 0.62
"""Half the length of a radial's cylinder."""


@dataclass(frozen=True, slots=True)
class Barrel:
    """One cylinder: its middle, the way its head points (0, 0: at the onlooker), half its sizes."""

    number: int
    x: float
    y: float
    way_x: float
    way_y: float
    half_long: float
    half_wide: float
    behind: bool = False
    """In the rear row of a double-row radial."""


@dataclass(frozen=True, slots=True)
class Spot:
    """One plug: where it sits, where its words stand, and which way they run from there.

    `side`: -1 words end here, 0 they are centred, 1 they begin here. `far`: on the side turned away.
    """

    place: Place
    x: float
    y: float
    words_x: float
    words_y: float
    side: int
    line: int
    """Which plug of the cylinder it is, 0 or 1, where the words of both stand together; else 0."""
    far: bool


@dataclass(frozen=True, slots=True)
class Shape:
    """A whole engine. `left`, `top`, `right`, `bottom`: what the drawing itself takes, without words."""

    barrels: tuple[Barrel, ...]
    spots: tuple[Spot, ...]
    left: float
    top: float
    right: float
    bottom: float
    radial: bool
    upright: bool
    """Cylinders in line, seen from above as circles."""
    case_half: float = CASE_HALF

    @property
    def closest(self) -> float:
        """How far the words that stand apart on one side are from each other, at least."""
        heights = [sorted({each.words_y for each in self.spots if each.side == side}) for side in (-1, 1)]
        return min((b - a for side in heights for a, b in pairwise(side)), default=math.inf)


def shape_of(engine: EngineType) -> Shape:
    """Lay out a type of engine: opposed, V and inline from above, radial from the front."""
    if engine.layout.is_radial:
        return _radial(engine)
    return _in_line(engine) if engine.layout is Layout.INLINE else _banked(engine)


def _banked(engine: EngineType) -> Shape:
    barrels = tuple(_banked_barrel(each) for each in engine.cylinders)
    spots = tuple(_banked_spot(engine, each, row) for each in barrels for row in range(2))
    last = max(each.y for each in barrels)
    return Shape(barrels, spots, -1.75, -0.95, 1.75, last + 0.62, radial=False, upright=False)


def _banked_barrel(at: CylinderAt) -> Barrel:
    way = 1.0 if at.x > 0 else -1.0
    return Barrel(at.number, way * 1.04, at.y, way, 0.0, 0.68, 0.40)


def _banked_spot(engine: EngineType, barrel: Barrel, row: int) -> Spot:
    """The upper plug is drawn towards the propeller, the lower one, hidden below, towards the rear."""
    x, y = barrel.x + barrel.way_x * 0.42, barrel.y + (-0.22 if row == 0 else 0.22)
    at = Place(barrel.number, engine.rows[row].row)
    side = 1 if barrel.way_x > 0 else -1
    return Spot(at, x, y, barrel.way_x * 1.80, y, side, 0, far=row == 1)


def _in_line(engine: EngineType) -> Shape:
    barrels = tuple(Barrel(each.number, 0.0, each.y, 0.0, 0.0, 0.38, 0.38) for each in engine.cylinders)
    spots = []
    for barrel in barrels:
        for row, side in enumerate((-1, 1)):
            at = Place(barrel.number, engine.rows[row].row)
            spots.append(Spot(at, side * 0.5, barrel.y, side * 0.74, barrel.y, side, 0, far=row == 1))
    last = max(each.y for each in barrels)
    return Shape(barrels, tuple(spots), -0.72, -1.0, 0.72, last + 0.6, radial=False, upright=True)


def _radial(engine: EngineType) -> Shape:
    out = {each.number: math.hypot(each.x, each.y) for each in engine.cylinders}
    farthest, nearest = max(out.values()), min(out.values())
    barrels = tuple(_radial_barrel(each, out[each.number], farthest, nearest) for each in engine.cylinders)
    ring = farthest + RADIAL_HALF
    spots = tuple(_radial_spot(engine, each, row, ring) for each in barrels for row in range(2))
    wide = max(abs(each.words_x) for each in spots if each.side)
    case = nearest - RADIAL_HALF + 0.06
    return Shape(barrels, spots, -wide, -ring, wide, ring, radial=True, upright=False, case_half=case)


def _radial_barrel(at: CylinderAt, out: float, farthest: float, nearest: float) -> Barrel:
    behind = farthest - nearest > 0.5 and out > (farthest + nearest) / 2
    half_wide = 0.44 if farthest - nearest > 0.5 else 0.46
    return Barrel(at.number, at.x, at.y, at.x / out, at.y / out, RADIAL_HALF, half_wide, behind)


def _radial_spot(engine: EngineType, barrel: Barrel, row: int, ring: float) -> Spot:
    """The front plug is drawn clockwise of the middle of the head, the rear one, hidden, before it."""
    turn = 0.24 if row == 0 else -0.24
    x = barrel.x + barrel.way_x * 0.36 - barrel.way_y * turn
    y = barrel.y + barrel.way_y * 0.36 + barrel.way_x * turn
    side = 0 if abs(barrel.way_x) < 0.1 else 1 if barrel.way_x > 0 else -1
    beside = side * (abs(barrel.way_x) * ring + abs(barrel.way_y) * barrel.half_wide + 0.08)
    at = Place(barrel.number, engine.rows[row].row)
    return Spot(at, x, y, beside, barrel.way_y * ring * (0.94 if side else 1), side, row, far=row == 1)


def neighbour(shape: Shape, at: Place, way_x: int, way_y: int) -> Place:
    """The nearest plug in that direction; the same one where there is none."""
    here = next(each for each in shape.spots if each.place == at)
    best, found = math.inf, at
    for each in shape.spots:
        along = (each.x - here.x) * way_x + (each.y - here.y) * way_y
        across = abs((each.x - here.x) * way_y) + abs((each.y - here.y) * way_x)
        if along > 0.05 and along + 2.2 * across < best:
            best, found = along + 2.2 * across, each.place
    return found
