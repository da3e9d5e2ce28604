"""Values over engine hours with their limit and band, in ink that a grey print keeps apart."""

from __future__ import annotations

import math
from itertools import pairwise

from PySide6.QtCore import QEvent, QLineF, QPointF, QRectF, QSize, Qt, Signal
from PySide6.QtGui import (
    QBrush,
    QColor,
    QFont,
    QHelpEvent,
    QKeyEvent,
    QMouseEvent,
    QPainter,
    QPaintEvent,
    QPen,
    QPolygonF,
)
from PySide6.QtWidgets import QToolTip

from annual_planner.desktop.drawn import Drawn
from annual_planner.desktop.plugs.trend_picture import NOTHING, Picture, Point, Run
from annual_planner.desktop.theme import Theme

MARKS = ("circle", "square", "triangle", "diamond", "cross", "plus")
DASHES = (
    Qt.PenStyle.SolidLine,
    Qt.PenStyle.DashLine,
    Qt.PenStyle.DotLine,
    Qt.PenStyle.DashDotLine,
    Qt.PenStyle.DashDotDotLine,
)
STEPS = (1, 2, 5)


class TrendChart(Drawn):
    """Left and right go along the loud run, up and down to another; Enter or a click opens a point."""

    opened = Signal(int)
    """The key of a point."""
    turned = Signal(int)
    """Another run is wanted: 1 the next one, -1 the one before."""

    def __init__(self, theme: Theme, name: str) -> None:
        super().__init__(theme, name)
        self.picture = NOTHING
        self.chosen: Point | None = None
        self._hovered: Point | None = None
        self.setMouseTracking(True)

    def take(self, picture: Picture) -> None:
        """Show this."""
        self.picture = picture
        self.chosen = None
        self._say()
        self.update()

    def _say(self) -> None:
        names = ", ".join(run.name for run in self.picture.runs if run.loud) or "no run"
        self.setAccessibleDescription(self.chosen.said if self.chosen else f"{names} stands out")

    def sizeHint(self) -> QSize:
        """Some lines of text high."""
        return QSize(self._theme.sizes.of(34), self._theme.sizes.of(16))

    def minimumSizeHint(self) -> QSize:
        """Still readable."""
        return QSize(self._theme.sizes.of(20), self._theme.sizes.of(11))

    # -- scale -----------------------------------------------------------------------------------------

    @property
    def area(self) -> QRectF:
        """Where the points stand."""
        line = self._theme.sizes.line
        return QRectF(self.rect()).adjusted(line * 3.4, line * 1.7, -line * 5.2, -line * 2.6)

    def _span(self) -> tuple[float, float, float, float]:
        """Hours from and to, values from and to."""
        points = [point for run in self.picture.runs for point in run.points]
        hours = [point.hours for point in points]
        hours += [self.picture.now] if self.picture.now is not None else []
        reach = max(hours) - min(hours) or 100.0
        last = max(hours) + reach * 0.04
        if self.picture.band is not None:
            last = max(last, min(self.picture.band.late, max(hours) + reach * 0.7))
        values = [point.value for point in points] + [limit for limit, _words in self.picture.limits]
        room = (max(values) - min(values)) * 0.12 or 1.0
        return min(hours) - reach * 0.04, last, min(values) - room, max(values) + room

    def spot(self, hours: float, value: float) -> QPointF:
        """Where a value stands, in pixels."""
        area, (first, last, low, high) = self.area, self._span()
        return QPointF(
            area.left() + area.width() * (hours - first) / (last - first),
            area.bottom() - area.height() * (value - low) / (high - low),
        )

    # -- painting ------------------------------------------------------------------------------------

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Draw scale, band, limit, quiet runs, then the loud one."""
        if not any(run.points for run in self.picture.runs):
            return
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.fillRect(self.area, QColor(self._theme.colours.paper))
        self._draw_band(painter)
        self._draw_scale(painter)
        self._draw_limits(painter)
        for place, run in enumerate(self.picture.runs):
            if not run.loud:
                self._draw_run(painter, run, place)
        for place, run in enumerate(self.picture.runs):
            if run.loud:
                self._draw_run(painter, run, place)
        painter.end()

    def _draw_scale(self, painter: QPainter) -> None:
        inks, line, area = self._theme.colours, self._theme.sizes.line, self.area
        first, last, low, high = self._span()
        for value in ticks(low, high, area.height() / (line * 2.2)):
            at = self.spot(first, value)
            painter.setPen(QPen(QColor(inks.rule), 1))
            painter.drawLine(QLineF(area.left(), at.y(), area.right(), at.y()))
            box = QRectF(0, at.y() - line / 2, area.left() - line * 0.5, line)
            self._write(painter, box, f"{value:.{self.picture.places}f}", right=True)
        for hours in ticks(first, last, area.width() / (line * 5)):
            at = self.spot(hours, low)
            painter.setPen(QPen(QColor(inks.rule), 1))
            painter.drawLine(QLineF(at.x(), area.bottom(), at.x(), area.bottom() + line * 0.3))
            box = QRectF(at.x() - line * 3, area.bottom() + line * 0.35, line * 6, line)
            self._write(painter, box, f"{hours:.0f}", centre=True)
        painter.setPen(QPen(QColor(inks.edge), 1))
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.drawRect(area)
        loud = ", ".join(run.name for run in self.picture.runs if run.loud)
        unit = f"{self.picture.unit}; strong line: {loud}" if loud else self.picture.unit
        self._write(painter, QRectF(0, line * 0.3, area.width(), line * 1.1), unit)
        under = QRectF(area.left(), area.bottom() + line * 1.4, area.width(), line * 1.1)
        self._write(painter, under, "engine hours", right=True)

    def _draw_band(self, painter: QPainter) -> None:
        """Hatched, so that it stays a band in grey; its most likely hour is a line of its own."""
        band, inks, line, area = self.picture.band, self._theme.colours, self._theme.sizes.line, self.area
        if band is None:
            return
        _first, last, low, _high = self._span()
        left, right = self.spot(band.early, low).x(), self.spot(min(band.late, last), low).x()
        box = QRectF(max(left, area.left()), area.top(), 0, area.height())
        box.setRight(min(right, area.right()))
        if box.width() > 0:
            painter.fillRect(box, QBrush(QColor(inks.rule), Qt.BrushStyle.BDiagPattern))
        if band.likely <= last:
            x = self.spot(band.likely, low).x()
            painter.setPen(QPen(QColor(inks.faint), 1, Qt.PenStyle.DashLine))
            painter.drawLine(QLineF(x, area.top(), x, area.bottom()))
        self._write(
            painter,
            QRectF(area.left(), line * 0.3, area.width(), line * 1.1),
            "hatched: limit could be reached",
            right=True,
        )

    def _draw_limits(self, painter: QPainter) -> None:
        inks, line, area = self._theme.colours, self._theme.sizes.line, self.area
        for value, words in self.picture.limits:
            at = self.spot(self._span()[0], value)
            painter.setPen(QPen(QColor(inks.ink), 1.8, Qt.PenStyle.DashLine))
            painter.drawLine(QLineF(area.left(), at.y(), area.right(), at.y()))
            box = QRectF(area.right() + line * 0.3, at.y() - line * 0.6, line * 4.9, line * 1.2)
            self._write(painter, box, words, ink=inks.ink)

    def _draw_run(self, painter: QPainter, run: Run, place: int) -> None:
        inks, line = self._theme.colours, self._theme.sizes.line
        colour = QColor(inks.accent if run.loud else inks.edge)
        pen = QPen(colour, 2.2 if run.loud else 1.0)
        pen.setStyle(Qt.PenStyle.SolidLine if run.loud else DASHES[place % len(DASHES)])
        painter.setPen(pen)
        spots = [self.spot(point.hours, point.value) for point in run.points]
        for (before, after), point in zip(pairwise(spots), run.points[1:], strict=True):
            if not point.breaks:
                painter.drawLine(QLineF(before, after))
        for at, point in zip(spots, run.points, strict=True):
            picked = point in (self.chosen, self._hovered)
            side = line * (0.42 if picked else 0.3 if run.loud else 0.2)
            painter.setPen(QPen(colour, 1.6))
            painter.setBrush(QColor(inks.accent if picked else inks.paper))
            draw_mark(painter, at, side, MARKS[place % len(MARKS)])
        if run.loud and spots:
            self._value_of_last(painter, run, spots[-1])

    def _value_of_last(self, painter: QPainter, run: Run, last: QPointF) -> None:
        """The newest value, beside its point where there is room, else above it or below."""
        line, inks, area = self._theme.sizes.line, self._theme.colours, self.area
        text = f"{run.points[-1].value:.{self.picture.places}f}"
        wide = painter.fontMetrics().horizontalAdvance(text) * 1.1 + line * 0.3
        box = QRectF(last.x() + line * 0.6, last.y() - line * 0.6, wide, line * 1.2)
        if box.right() > area.right():
            up = last.y() - line * 1.7
            box.moveTopLeft(QPointF(last.x() - wide, up if up > area.top() else last.y() + line * 0.5))
        plate = QColor(inks.paper)
        plate.setAlpha(215)
        painter.fillRect(box, plate)
        self._write(painter, box, text, right=True, ink=inks.ink, bold=True)

    def _write(
        self,
        painter: QPainter,
        box: QRectF,
        text: str,
        *,
        right: bool = False,
        centre: bool = False,
        ink: str = "",
        bold: bool = False,
    ) -> None:
        font = QFont(self.font())
        font.setPointSizeF(self.font().pointSizeF() * 0.9)
        font.setBold(bold)
        painter.setFont(font)
        painter.setPen(QColor(ink or self._theme.colours.faint))
        side = Qt.AlignmentFlag.AlignRight if right else Qt.AlignmentFlag.AlignLeft
        side = Qt.AlignmentFlag.AlignHCenter if centre else side
        painter.drawText(box, Qt.AlignmentFlag.AlignVCenter | side, text)

    # -- pointing --------------------------------------------------------------------------------------

    def point_at(self, at: QPointF) -> Point | None:
        """The point under the pointer; those of the loud run first."""
        near = max(self._theme.sizes.line * 0.8, self._theme.sizes.target / 2)
        for run in sorted(self.picture.runs, key=lambda each: not each.loud):
            for point in run.points:
                if (self.spot(point.hours, point.value) - at).manhattanLength() <= near:
                    return point
        return None

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        """Mark what is under the pointer."""
        found = self.point_at(event.position())
        if found is not self._hovered:
            self._hovered = found
            self.update()

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Open what was measured there."""
        found = self.point_at(event.position())
        if found is not None:
            self.chosen = found
            self.update()
            self.opened.emit(found.key)

    def leaveEvent(self, event: QEvent) -> None:
        """Nothing is under the pointer any more."""
        self._hovered = None
        self.update()
        super().leaveEvent(event)

    def event(self, event: QEvent) -> bool:
        """Say the value under the pointer."""
        if event.type() == QEvent.Type.ToolTip and isinstance(event, QHelpEvent):
            found = self.point_at(QPointF(event.pos()))
            QToolTip.showText(event.globalPos(), found.said if found else "", self)
            return True
        return super().event(event)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Go along the loud run, to another run, or open the chosen point."""
        points = next((run.points for run in self.picture.runs if run.loud), ())
        step = {Qt.Key.Key_Left: -1, Qt.Key.Key_Right: 1}.get(Qt.Key(event.key()))
        turn = {Qt.Key.Key_Up: -1, Qt.Key.Key_Down: 1}.get(Qt.Key(event.key()))
        if step is not None and points:
            here = points.index(self.chosen) if self.chosen in points else (len(points) if step < 0 else -1)
            self.chosen = points[min(max(here + step, 0), len(points) - 1)]
            self._say()
            self.update()
        elif turn is not None:
            self.turned.emit(turn)
        elif event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter) and self.chosen is not None:
            self.opened.emit(self.chosen.key)
        else:
            super().keyPressEvent(event)


def ticks(low: float, high: float, most: float) -> list[float]:
    """Round values between two ends, at most so many.

    >>> ticks(57, 82, 6)
    [60.0, 65.0, 70.0, 75.0, 80.0]
    """
    wanted = (high - low) / max(1.0, most)
    power = 10.0 ** math.floor(math.log10(wanted))
    step = next((power * each for each in STEPS if power * each >= wanted), power * 10)
    first = math.ceil(low / step - 1e-9)
    return [round(step * each, 6) for each in range(first, math.floor(high / step + 1e-9) + 1)]


def draw_mark(painter: QPainter, at: QPointF, side: float, shape: str) -> None:
    """A mark for a point, told apart by shape."""
    if shape == "circle":
        painter.drawEllipse(at, side, side)
    elif shape == "square":
        painter.drawRect(QRectF(at.x() - side, at.y() - side, 2 * side, 2 * side))
    elif shape in ("cross", "plus"):
        turn = side if shape == "cross" else 0.0
        long = 0.0 if shape == "cross" else side * 1.3
        painter.drawLine(
            QLineF(at.x() - side - (long - turn) * 0.2, at.y() - turn, at.x() + side, at.y() + turn)
        )
        painter.drawLine(QLineF(at.x() - turn, at.y() + side, at.x() + turn, at.y() - side))
    else:
        ways = (
            ((0, -1.3), (1.2, 1), (-1.2, 1))
            if shape == "triangle"
            else ((0, -1.4), (1.4, 0), (0, 1.4), (-1.4, 0))
        )
        painter.drawPolygon(QPolygonF([QPointF(at.x() + x * side, at.y() + y * side) for x, y in ways]))
