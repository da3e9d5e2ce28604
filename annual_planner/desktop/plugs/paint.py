"""The strokes of an engine's drawing: ink on paper, with fins, heads and plugs as an onlooker sees them."""

from __future__ import annotations

import math

from PySide6.QtCore import QLineF, QPointF, QRectF, Qt
from PySide6.QtGui import QBrush, QColor, QPainter, QPainterPath, QPen, QPolygonF

from annual_planner.desktop.colours import Colours
from annual_planner.desktop.plugs.shape import CASE_HALF, Barrel, Shape

FINS = 9


class Ink:
    """A painter with the scale of the drawing: spacings in, pixels out."""

    def __init__(self, painter: QPainter, inks: Colours, scale: float, origin: QPointF) -> None:
        self.painter = painter
        self.inks = inks
        self.scale = scale
        self.origin = origin

    def at(self, x: float, y: float) -> QPointF:
        """A point of the drawing in pixels."""
        return QPointF(self.origin.x() + x * self.scale, self.origin.y() + y * self.scale)

    def pen(self, colour: str, wide: float = 1.0, style: Qt.PenStyle = Qt.PenStyle.SolidLine) -> None:
        """Take a pen of that colour."""
        made = QPen(QColor(colour), wide, style)
        made.setJoinStyle(Qt.PenJoinStyle.RoundJoin)
        made.setCapStyle(Qt.PenCapStyle.RoundCap)
        self.painter.setPen(made)

    def fill(self, colour: str | None) -> None:
        """Take a fill, or none."""
        self.painter.setBrush(QBrush(QColor(colour)) if colour else QBrush(Qt.BrushStyle.NoBrush))


def draw_engine(ink: Ink, shape: Shape) -> None:
    """Draw the engine without its plugs: those behind first."""
    if shape.radial:
        for barrel in (*(b for b in shape.barrels if b.behind), *(b for b in shape.barrels if not b.behind)):
            _barrel(ink, barrel)
        _nose(ink, shape.case_half)
        return
    _crankcase(ink, shape)
    for barrel in shape.barrels:
        if shape.upright:
            _from_above(ink, barrel)
        else:
            _barrel(ink, barrel)


def _crankcase(ink: Ink, shape: Shape) -> None:
    """The case lies along the middle, its nose with the propeller at the top of the sheet."""
    half = 0.62 if shape.upright else CASE_HALF
    top, bottom = -0.52, shape.bottom - 0.1
    path = QPainterPath(ink.at(-half * 0.42, top - 0.26))
    path.lineTo(ink.at(half * 0.42, top - 0.26))
    path.lineTo(ink.at(half, top))
    path.lineTo(ink.at(half, bottom))
    path.lineTo(ink.at(-half, bottom))
    path.lineTo(ink.at(-half, top))
    path.closeSubpath()
    ink.pen(ink.inks.ink, 1.6)
    ink.fill(ink.inks.wash)
    ink.painter.drawPath(path)
    ink.pen(ink.inks.edge, 1.0, Qt.PenStyle.DashDotLine)
    ink.painter.drawLine(QLineF(ink.at(0, top - 0.2), ink.at(0, bottom - 0.05)))
    _propeller(ink, top - 0.30)


def _propeller(ink: Ink, y: float) -> None:
    """Hub and blades as a line across, so that front and rear can't be mixed up."""
    ink.pen(ink.inks.ink, 1.6)
    ink.fill(ink.inks.paper)
    ink.painter.drawRoundedRect(QRectF(ink.at(-0.2, y - 0.05), ink.at(0.2, y + 0.05)), 2, 2)
    for way in (-1, 1):
        blade = QPainterPath(ink.at(way * 0.2, y - 0.03))
        blade.quadTo(ink.at(way * 0.6, y - 0.09), ink.at(way * 1.15, y))
        blade.quadTo(ink.at(way * 0.6, y + 0.05), ink.at(way * 0.2, y + 0.03))
        ink.painter.drawPath(blade)


def _nose(ink: Ink, half: float) -> None:
    """The crankcase of a radial from the front: case, nose and propeller shaft."""
    middle = ink.at(0, 0)
    ink.pen(ink.inks.ink, 1.6)
    ink.fill(ink.inks.wash)
    ink.painter.drawEllipse(middle, half * ink.scale, half * ink.scale)
    ink.pen(ink.inks.rule, 1.0)
    for share in (0.84, 0.62):
        ink.painter.drawEllipse(middle, half * ink.scale * share, half * ink.scale * share)
    ink.pen(ink.inks.ink, 1.6)
    ink.fill(ink.inks.paper)
    ink.painter.drawEllipse(middle, half * ink.scale * 0.2, half * ink.scale * 0.2)


def _along(barrel: Barrel, along: float, across: float) -> tuple[float, float]:
    """A point of the barrel: along its axis from its middle, across to its right hand."""
    return (
        barrel.x + barrel.way_x * along - barrel.way_y * across,
        barrel.y + barrel.way_y * along + barrel.way_x * across,
    )


def outline(ink: Ink, barrel: Barrel) -> QPolygonF:
    """The barrel as a polygon: foot, fins, head."""
    long, wide = barrel.half_long, barrel.half_wide
    ways = (
        (-long, -wide * 0.78),
        (long * 0.42, -wide * 0.86),
        (long * 0.5, -wide),
        (long, -wide * 0.92),
        (long, wide * 0.92),
        (long * 0.5, wide),
        (long * 0.42, wide * 0.86),
        (-long, wide * 0.78),
    )
    return QPolygonF([ink.at(*_along(barrel, *each)) for each in ways])


def _barrel(ink: Ink, barrel: Barrel) -> None:
    ink.pen(ink.inks.edge if barrel.behind else ink.inks.ink, 1.4)
    ink.fill(ink.inks.wash if barrel.behind else ink.inks.paper)
    ink.painter.drawPolygon(outline(ink, barrel))
    ink.pen(ink.inks.rule, 1.0)
    lines = []
    for fin in range(1, FINS):
        along = -barrel.half_long + fin * barrel.half_long * 1.42 / FINS
        wide = barrel.half_wide * (0.78 + 0.08 * fin / FINS) - 0.02
        lines.append(QLineF(ink.at(*_along(barrel, along, -wide)), ink.at(*_along(barrel, along, wide))))
    ink.painter.drawLines(lines)
    head = barrel.half_long * 0.46
    ink.pen(ink.inks.edge, 1.0)
    wide = barrel.half_wide * 0.94
    ink.painter.drawLine(QLineF(ink.at(*_along(barrel, head, -wide)), ink.at(*_along(barrel, head, wide))))


def _from_above(ink: Ink, barrel: Barrel) -> None:
    """A cylinder whose head points at the onlooker."""
    ink.pen(ink.inks.ink, 1.4)
    ink.fill(ink.inks.paper)
    side = barrel.half_wide * ink.scale
    ink.painter.drawEllipse(ink.at(barrel.x, barrel.y), side, side)
    ink.pen(ink.inks.rule, 1.0)
    ink.fill(None)
    for share in (0.9, 0.8):
        ink.painter.drawEllipse(ink.at(barrel.x, barrel.y), side * share, side * share)


def hexagon(middle: QPointF, radius: float) -> QPolygonF:
    """The hexagon of a plug, as a socket sees it."""
    corners = (math.radians(60 * corner + 30) for corner in range(6))
    return QPolygonF(
        [
            QPointF(middle.x() + radius * math.cos(turn), middle.y() + radius * math.sin(turn))
            for turn in corners
        ]
    )


def draw_plug(ink: Ink, middle: QPointF, radius: float, *, far: bool, out: bool) -> None:
    """A plug's hexagon; broken where it sits on the side turned away; an empty hole where it is out."""
    style = Qt.PenStyle.DotLine if far else Qt.PenStyle.SolidLine
    if out:
        ink.pen(ink.inks.edge, 1.4, style)
        ink.fill(ink.inks.board)
        ink.painter.drawEllipse(middle, radius * 0.72, radius * 0.72)
        return
    ink.pen(ink.inks.ink, 1.5, style)
    ink.fill(ink.inks.paper)
    ink.painter.drawPolygon(hexagon(middle, radius))


def draw_arrow(ink: Ink, old: QPointF, new: QPointF, radius: float, colour: str, wide: float) -> None:
    """A bent arrow from plug to plug, clear of both."""
    way = new - old
    far = math.hypot(way.x(), way.y())
    if far < 1:
        return
    bend = QPointF((old.x() + new.x()) / 2 - way.y() * 0.16, (old.y() + new.y()) / 2 + way.x() * 0.16)
    start, end = _clear(old, bend, radius), _clear(new, bend, radius * 1.15)
    path = QPainterPath(start)
    path.quadTo(bend, end)
    ink.pen(colour, wide)
    ink.fill(None)
    ink.painter.drawPath(path)
    turn = math.atan2(end.y() - bend.y(), end.x() - bend.x())
    length = max(7.0, wide * 4.5)
    head = QPolygonF(
        [
            end,
            end - QPointF(length * math.cos(turn - 0.4), length * math.sin(turn - 0.4)),
            end - QPointF(length * math.cos(turn + 0.4), length * math.sin(turn + 0.4)),
        ]
    )
    ink.fill(colour)
    ink.painter.drawPolygon(head)


def _clear(middle: QPointF, towards: QPointF, radius: float) -> QPointF:
    way = towards - middle
    far = math.hypot(way.x(), way.y()) or 1.0
    return middle + way * (radius / far)
