"""Arrows from old to new places on the drawing of an engine."""

from __future__ import annotations

from collections.abc import Sequence
from math import atan2, cos, hypot, sin

from annual_planner.paper.engine_sheets.figure import DOT, Figure, Point, draw_engine, draw_plug
from annual_planner.paper.flow import Block
from annual_planner.paper.look import rgb
from annual_planner.paper.pen import Pen
from annual_planner.trade.engines import Layout, Place

BOW, LEAST_BOW = 0.36, 15.0
"""How far an arrow goes towards the middle: share of its length, and at least so many points."""
CLEAR = 27.0
"""How far an arrow keeps clear of the crankshaft of a radial, points, so that not all of them meet there."""
NEAR = 3.0
"""Ways that miss the crankshaft by less than this, points, all bow to the same side."""
HEAD = 7.0
HALO = 3.6
"""Width of the white edge that keeps crossing arrows apart, points."""

Way = tuple[Place, Place]
"""From an old place to a new one."""


def rotation_drawing(figure: Figure, ways: Sequence[Way], *, dashed: bool) -> Block:
    """Draw an engine with an arrow for every way; the ways of one row belong in one drawing."""

    def draw(pen: Pen, x: float, top: float) -> None:
        draw_engine(pen, figure, x, top)
        for old, new in ways:
            _arrow(pen, figure, old, new, x, top, dashed=dashed)
        for at in figure.engine.places:
            draw_plug(pen, figure, at, x, top)

    return Block(figure.height, draw)


def _arrow(pen: Pen, figure: Figure, old: Place, new: Place, x: float, top: float, *, dashed: bool) -> None:
    if old == new:
        return
    start, end = figure.plug(old), figure.plug(new)
    first, second = _bow(figure, old, new)
    reach = min(DOT, figure.radius * 0.42) + 1.0
    start, end = _short_of(start, first, reach), _short_of(end, second, reach + HEAD * 0.8)
    points = [(x + px, top - py) for px, py in (start, first, second, end)]
    tip = _short_of(figure.plug(new), second, reach)
    _line(pen, points, dashed=dashed)
    _head(pen, (x + tip[0], top - tip[1]), points[2])


def _bow(figure: Figure, old: Place, new: Place) -> tuple[Point, Point]:
    """Both control points of the arrow's curve: out of the cylinder and into the room between them."""
    start, end = figure.plug(old), figure.plug(new)
    across, down = end[0] - start[0], end[1] - start[1]
    most = figure.width * 0.4 if figure.engine.layout is Layout.INLINE else figure.radius * 2.2
    into = max(LEAST_BOW, min(BOW * hypot(across, down), most))
    side = 0.0
    if figure.engine.layout.is_radial and _passes_middle(figure, start, end):
        into, side = LEAST_BOW, _away_from_middle(figure, start, end)
    first, second = figure.inward(old.cylinder), figure.inward(new.cylinder)
    return (
        (
            start[0] + first[0] * into + across * 0.2 - down * side,
            start[1] + first[1] * into + down * 0.2 + across * side,
        ),
        (
            end[0] + second[0] * into - across * 0.2 - down * side,
            end[1] + second[1] * into - down * 0.2 + across * side,
        ),
    )


def _passes_middle(figure: Figure, start: Point, end: Point) -> bool:
    """Say whether a straight way would run near the crankshaft, where all such ways would meet."""
    far = hypot(end[0] - start[0], end[1] - start[1]) or 1.0
    return abs(_turn_of_middle(figure, start, end)) / far < 2 * figure.radius


def _away_from_middle(figure: Figure, start: Point, end: Point) -> float:
    """A bow, as a share of the length, to the side where the crankshaft is not."""
    far = hypot(end[0] - start[0], end[1] - start[1]) or 1.0
    miss = _turn_of_middle(figure, start, end) / far
    share = max(CLEAR - abs(miss), 0.0) / (0.75 * far)
    return share if miss < -NEAR else -share


def _turn_of_middle(figure: Figure, start: Point, end: Point) -> float:
    """Above 0 where the crankshaft lies to the right of the way, on paper."""
    x, y = figure.middle
    return (end[0] - start[0]) * (y - start[1]) - (end[1] - start[1]) * (x - start[0])


def _short_of(point: Point, towards: Point, by: float) -> Point:
    far = hypot(towards[0] - point[0], towards[1] - point[1]) or 1.0
    return (point[0] + (towards[0] - point[0]) * by / far, point[1] + (towards[1] - point[1]) * by / far)


def _line(pen: Pen, points: Sequence[Point], *, dashed: bool) -> None:
    canvas = pen.canvas
    flat = [each for point in points for each in point]
    canvas.setStrokeColorRGB(1, 1, 1)
    canvas.setLineWidth(HALO)
    canvas.bezier(*flat)
    canvas.setStrokeColorRGB(*rgb(pen.shades.ink))
    canvas.setLineWidth(1.2)
    if dashed:
        canvas.setDash(4, 2)
    canvas.bezier(*flat)
    canvas.setDash()


def _head(pen: Pen, tip: Point, behind: Point) -> None:
    angle = atan2(tip[1] - behind[1], tip[0] - behind[0])
    wings = [(tip[0] - HEAD * cos(angle + turn), tip[1] - HEAD * sin(angle + turn)) for turn in (0.38, -0.38)]
    pen.shape([tip, *wings], fill=pen.shades.ink, weight=0.6)
