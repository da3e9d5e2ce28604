"""The drawing of an engine: its cylinders where they stand, with both plugs; legible without colour."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import atan2, cos, hypot, pi, sin
from statistics import fmean

from annual_planner.paper.faces import BOLD
from annual_planner.paper.look import HAIR, rgb
from annual_planner.paper.pen import Pen
from annual_planner.trade.engines import CylinderAt, EngineType, Layout, Place

ROUND = 0.36
"""Radius of a cylinder in cylinder spacings."""
MARGIN = 0.5
LARGEST = 74.0
"""Largest cylinder spacing on paper, points."""
DOT = 6.2
"""Radius of the mark of a plug, points."""
APART = 0.95
"""Angle between the inward direction of a cylinder and each of its plugs, radians."""
GREY = "#C9C9C9"

Point = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Figure:
    """An engine scaled to a width: points from the drawing's upper left corner, y downwards."""

    engine: EngineType
    width: float
    scale: float
    height: float
    left: float
    upper: float

    def cylinder(self, at: CylinderAt) -> Point:
        """Centre of a cylinder."""
        return (
            (at.x - self.left + MARGIN) * self.scale + self._shift,
            (at.y - self.upper + MARGIN) * self.scale,
        )

    def centre(self, number: int) -> Point:
        """Centre of the cylinder with that number."""
        return self.cylinder(next(each for each in self.engine.cylinders if each.number == number))

    @property
    def radius(self) -> float:
        """Radius of a cylinder, points."""
        return ROUND * self.scale

    @property
    def middle(self) -> Point:
        """Middle of the engine: the crankshaft seen from the front, or halfway along it from above."""
        every = [self.cylinder(each) for each in self.engine.cylinders]
        between = fmean if self.engine.layout.is_radial else _halfway
        return (between([x for x, _ in every]), between([y for _, y in every]))

    def plug(self, at: Place) -> Point:
        """Where a plug is drawn: on the inner side of its cylinder, the two apart from each other."""
        x, y = self.centre(at.cylinder)
        first = at.row is self.engine.rows[0].row
        inward = self._inward((x, y))
        turn = inward + APART * (self._first_turn(inward) if first else -self._first_turn(inward))
        return (x + self.radius * cos(turn), y + self.radius * sin(turn))

    def inward(self, number: int) -> Point:
        """Direction from a cylinder to where its plugs are drawn, of length 1."""
        turn = self._inward(self.centre(number))
        return (cos(turn), sin(turn))

    @property
    def _shift(self) -> float:
        """What centres the drawing in its width."""
        across = max(each.x for each in self.engine.cylinders) - self.left + 2 * MARGIN
        return (self.width - across * self.scale) / 2

    def _inward(self, at: Point) -> float:
        x, y = self.middle
        if self.engine.layout.is_radial:
            return atan2(y - at[1], x - at[0])
        return 0.0 if at[0] < x + 0.5 * (self.engine.layout is Layout.INLINE) else pi

    def _first_turn(self, inward: float) -> float:
        """Turn that puts the first row's plug above on an engine seen from above, ahead on a radial."""
        if self.engine.layout.is_radial:
            return 1.0
        return -1.0 if cos(inward) > 0 else 1.0


def _halfway(values: Sequence[float]) -> float:
    return (min(values) + max(values)) / 2


def figure_of(engine: EngineType, width: float, *, most_high: float = 300.0) -> Figure:
    """Scale an engine into a width and a greatest height, points."""
    xs = [each.x for each in engine.cylinders]
    ys = [each.y for each in engine.cylinders]
    across, down = (max(v) - min(v) + 2 * MARGIN for v in (xs, ys))
    scale = min(width / across, most_high / down, LARGEST)
    return Figure(engine, width, scale, down * scale, min(xs), min(ys))


def draw_engine(pen: Pen, figure: Figure, x: float, top: float) -> None:
    """Draw crankcase and cylinders with their numbers; plugs are drawn by `draw_plug`."""
    _crankcase(pen, figure, x, top)
    canvas = pen.canvas
    for each in figure.engine.cylinders:
        cx, cy = figure.cylinder(each)
        canvas.setStrokeColorRGB(*rgb(pen.shades.ink))
        canvas.setFillColorRGB(1, 1, 1)
        canvas.setLineWidth(1.1)
        canvas.circle(x + cx, top - cy, figure.radius, stroke=1, fill=1)
        size = min(13.0, figure.radius * 0.75)
        out = _outward(figure, (cx, cy))
        pen.write(
            x + cx + out[0] * figure.radius * 0.25,
            top - cy - out[1] * figure.radius * 0.25 + size * 0.62,
            str(each.number),
            size,
            face=BOLD,
            align="center",
        )


def draw_plug(pen: Pen, figure: Figure, at: Place, x: float, top: float) -> None:
    """Draw the mark of one plug: a dot with the letter of its row, the second row's in grey."""
    px, py = figure.plug(at)
    first = at.row is figure.engine.rows[0].row
    canvas = pen.canvas
    canvas.setFillColorRGB(*rgb("#FFFFFF" if first else GREY))
    canvas.setStrokeColorRGB(*rgb(pen.shades.ink))
    canvas.setLineWidth(0.9)
    radius = min(DOT, figure.radius * 0.42)
    canvas.circle(x + px, top - py, radius, stroke=1, fill=1)
    size = radius * 1.25
    pen.write(x + px, top - py + size * 0.62, at.row.value, size, face=BOLD, align="center")


def seen_from(engine: EngineType) -> str:
    """Say from where the engine is drawn."""
    return "seen from the front" if engine.layout.is_radial else "seen from above, propeller end at the top"


def _outward(figure: Figure, at: Point) -> Point:
    x, y = figure.middle
    if figure.engine.layout.is_radial:
        far = hypot(at[0] - x, at[1] - y) or 1.0
        return ((at[0] - x) / far, (at[1] - y) / far)
    if figure.engine.layout is Layout.INLINE:
        return (-1.0, 0.0)
    return (-1.0 if at[0] < x else 1.0, 0.0)


def _crankcase(pen: Pen, figure: Figure, x: float, top: float) -> None:
    middle_x, middle_y = figure.middle
    canvas = pen.canvas
    canvas.setStrokeColorRGB(*rgb(pen.shades.edge))
    canvas.setLineWidth(HAIR)
    if figure.engine.layout.is_radial:
        canvas.circle(x + middle_x, top - middle_y, figure.radius * 0.7, stroke=1, fill=0)
        return
    ys = [figure.cylinder(each)[1] for each in figure.engine.cylinders]
    high, low = min(ys) - figure.radius, max(ys) + figure.radius
    half = figure.radius * 0.55
    if figure.engine.layout is not Layout.INLINE:
        canvas.rect(x + middle_x - half, top - low, 2 * half, low - high, stroke=1, fill=0)
    blade = figure.radius * 1.3
    canvas.setLineWidth(2.2)
    canvas.line(x + middle_x - blade, top - high + 4, x + middle_x + blade, top - high + 4)
