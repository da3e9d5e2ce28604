"""An engine from above (a radial from the front), with each plug where it sits."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from PySide6.QtCore import QEvent, QPointF, QRectF, QSize, Qt
from PySide6.QtGui import (
    QColor,
    QFont,
    QKeyEvent,
    QMouseEvent,
    QPainter,
    QPaintEvent,
)

from annual_planner.desktop.drawn import ARROWS
from annual_planner.desktop.plugs.drawn_places import DrawnPlaces
from annual_planner.desktop.plugs.marks import Arrow, CylinderMark, PlaceMark
from annual_planner.desktop.plugs.paint import Ink, draw_arrow, draw_engine, draw_plug, hexagon
from annual_planner.desktop.plugs.shape import Shape, Spot, neighbour, shape_of
from annual_planner.desktop.signs import draw_sign
from annual_planner.desktop.theme import Theme
from annual_planner.trade.engines import EngineType, Place

LEFT, RIGHT = Qt.AlignmentFlag.AlignLeft, Qt.AlignmentFlag.AlignRight
MIDDLE = Qt.AlignmentFlag.AlignVCenter
NOTHING = PlaceMark()


class EngineDrawing(DrawnPlaces):
    """Shows marks at places and cylinders; a click, or the arrow keys, go to a place; Enter opens it.

    A screen reader hears the chosen place; everything else is in the table beside it.
    """

    def __init__(self, theme: Theme, name: str) -> None:
        super().__init__(theme, name)
        self._name = name
        self._engine: EngineType | None = None
        self._shape: Shape | None = None
        self._closest = 0.0
        self._marks: Mapping[Place, PlaceMark] = {}
        self._cylinders: Mapping[int, CylinderMark] = {}
        self._arrows: tuple[Arrow, ...] = ()
        self._hovered: Place | None = None
        self.setMouseTracking(True)

    # -- what is shown ---------------------------------------------------------------------------------

    def take(
        self,
        engine: EngineType,
        marks: Mapping[Place, PlaceMark],
        cylinders: Mapping[int, CylinderMark] | None = None,
        arrows: Sequence[Arrow] = (),
    ) -> None:
        """Show this engine with these marks; the chosen place stays where the engine still has it."""
        if self._engine is not engine:
            self._engine, self._shape = engine, shape_of(engine)
            self._closest = self._shape.closest
            if self.chosen not in engine.places:
                self.chosen = None
        self._marks, self._cylinders, self._arrows = marks, cylinders or {}, tuple(arrows)
        self.say()
        self.updateGeometry()
        self.update()

    def say(self) -> None:
        """Tell a screen reader what is chosen."""
        at = self.chosen
        said = "no place is chosen" if at is None else self._marks.get(at, NOTHING).spoken(at)
        going = next((each.new for each in self._arrows if each.old == at), None)
        self.setAccessibleDescription(said if going is None else f"{said}, goes to {going}")

    # -- size --------------------------------------------------------------------------------------------

    def sizeHint(self) -> QSize:
        """Room for every word, and the engine beside them."""
        return QSize(self._theme.sizes.of(34), self._theme.sizes.of(22))

    def minimumSizeHint(self) -> QSize:
        """As large as keeps the words of neighbours apart."""
        of, shape = self._theme.sizes.of, self._shape
        if shape is None:
            return QSize(of(20), of(12))
        wide, high = shape.right - shape.left, shape.bottom - shape.top
        if shape.radial:
            return QSize(of(15 + 2.6 * wide), of(5.4 + 2.6 * high))
        spacing = 2.5 if shape.upright else 4.7
        return QSize(of(15 + 2.4 * wide), of(0.6 + spacing * high))

    def _words_wide(self) -> float:
        return self._theme.sizes.line * 7.4

    def _scale(self, shape: Shape) -> tuple[float, QPointF]:
        """Pixels per spacing, and where the drawing's 0, 0 stands."""
        line = self._theme.sizes.line
        over = line * 2.6 if shape.radial else line * 0.3
        wide = self.width() - 2 * self._words_wide()
        high = self.height() - 2 * over
        scale = max(10.0, min(wide / (shape.right - shape.left), high / (shape.bottom - shape.top)))
        middle_x, middle_y = (shape.left + shape.right) / 2, (shape.top + shape.bottom) / 2
        origin = QPointF(self.width() / 2 - middle_x * scale, self.height() / 2 - middle_y * scale)
        return scale, origin

    def point_of(self, at: Place) -> QPointF:
        """Where a place stands, in pixels."""
        assert self._shape is not None, "an engine is shown"
        scale, origin = self._scale(self._shape)
        spot = next(each for each in self._shape.spots if each.place == at)
        return QPointF(origin.x() + spot.x * scale, origin.y() + spot.y * scale)

    def _radius(self, scale: float) -> float:
        return max(self._theme.sizes.line * 0.36, scale * 0.125)

    # -- painting ------------------------------------------------------------------------------------

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Draw engine, arrows, plugs and words."""
        if self._shape is None:
            return
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        ink = Ink(painter, self._theme.colours, *self._scale(self._shape))
        draw_engine(ink, self._shape)
        self._draw_numbers(ink, self._shape)
        for spot in self._shape.spots:
            self._draw_spot(ink, spot)
        self._draw_arrows(ink)
        for spot in self._shape.spots:
            self._draw_words(ink, spot)
        painter.end()

    def _draw_numbers(self, ink: Ink, shape: Shape) -> None:
        painter, line = ink.painter, self._theme.sizes.line
        for barrel in shape.barrels:
            back = 0.0 if shape.upright else -0.36 * barrel.half_long
            middle = ink.at(barrel.x + barrel.way_x * back, barrel.y + barrel.way_y * back)
            mark = self._cylinders.get(barrel.number)
            plate = QRectF(middle.x() - line * 0.75, middle.y() - line * 0.7, line * 1.5, line * 1.4)
            ink.pen(ink.inks.paper, 0)
            ink.fill(ink.inks.paper)
            painter.drawRoundedRect(plate, 3, 3)
            self._write(painter, plate, str(barrel.number), ink.inks.ink, 1.15, bold=True)
            if mark is not None and mark.number:
                under = plate.adjusted(-line * 1.2, line * 1.1, line * 1.2, line * 1.1)
                painter.drawRoundedRect(under.adjusted(line * 0.5, line * 0.1, -line * 0.5, 0), 3, 3)
                self._write(painter, under, mark.number, ink.inks.ink, 0.86)

    def _draw_spot(self, ink: Ink, spot: Spot) -> None:
        middle, radius = ink.at(spot.x, spot.y), self._radius(ink.scale)
        mark = self._marks.get(spot.place, NOTHING)
        if spot.place in (self.chosen, self._hovered):
            chosen = spot.place == self.chosen
            ink.pen(ink.inks.accent, 2.4 if chosen and self.hasFocus() else 1.4)
            ink.fill(ink.inks.chosen if chosen else None)
            ink.painter.drawPolygon(hexagon(middle, radius * 1.5))
        draw_plug(ink, middle, radius, far=spot.far, out=mark.out)
        if mark.word:
            side = radius * 0.95
            box = QRectF(middle.x() - side / 2, middle.y() - side / 2, side, side)
            draw_sign(ink.painter, box, mark.word, ink.inks)

    def _draw_words(self, ink: Ink, spot: Spot) -> None:
        line, mark = self._theme.sizes.line, self._marks.get(spot.place, NOTHING)
        anchor, wide = ink.at(spot.words_x, spot.words_y), self._words_wide() - line * 0.3
        first = f"{spot.place}  {mark.number}".rstrip()
        colour = ink.inks.accent if spot.place == self.chosen else ink.inks.ink
        if spot.side == 0:
            up = -2.45 if spot.words_y < 0 else 0.25
            box = QRectF(anchor.x() - wide, anchor.y() + line * (up + spot.line * 1.1), wide * 2, line * 1.1)
            self._write(ink.painter, box, f"{first}   {mark.said}".rstrip(), colour, 0.94)
            return
        align, box = LEFT if spot.side > 0 else RIGHT, self.words_beside(spot)
        head = QRectF(box.left(), box.top(), box.width(), line * 1.1)
        self._write(ink.painter, head, first, colour, 1.0, align, bold=True)
        if not self._crowded(ink.scale):
            self._write(ink.painter, head.translated(0, line), mark.said, ink.inks.faint, 0.88, align)

    def words_beside(self, spot: Spot) -> QRectF:
        """Where the words of a plug stand that has them left or right of it, in pixels."""
        assert self._shape is not None, "an engine is shown"
        scale, origin = self._scale(self._shape)
        line, wide = self._theme.sizes.line, self._words_wide() - self._theme.sizes.line * 0.3
        x, y = origin.x() + spot.words_x * scale, origin.y() + spot.words_y * scale
        lines, radial = 1.05 if self._crowded(scale) else 2.1, self._shape.radial
        # A radial's words of both plugs stand together, so that they hang above and below their middle.
        down = lines * (spot.line - 1) + 0.05 if radial else -lines / 2
        return QRectF(x if spot.side > 0 else x - wide, y + line * down, wide, line * lines)

    def _crowded(self, scale: float) -> bool:
        """Two lines for each plug would run into each other: the sign and the table keep the word."""
        assert self._shape is not None, "an engine is shown"
        needed = 4.1 if self._shape.radial else 1.95  # a radial's words of both plugs stand together
        return self._closest * scale < self._theme.sizes.line * needed

    def _write(
        self,
        painter: QPainter,
        box: QRectF,
        text: str,
        colour: str,
        size: float,
        align: Qt.AlignmentFlag = Qt.AlignmentFlag.AlignHCenter,
        *,
        bold: bool = False,
    ) -> None:
        font = QFont(self.font())
        font.setPointSizeF(self.font().pointSizeF() * size)
        font.setBold(bold)
        painter.setFont(font)
        painter.setPen(QColor(colour))
        painter.drawText(box, MIDDLE | align, text)

    def _draw_arrows(self, ink: Ink) -> None:
        """All arrows thin; that of the chosen plug, and the one that comes there, stand out."""
        radius = self._radius(ink.scale)
        loud = {self.chosen, self._hovered} - {None}
        for arrow in sorted(self._arrows, key=lambda each: each.old in loud or each.new in loud):
            old, new = self.point_of(arrow.old), self.point_of(arrow.new)
            told = arrow.old in loud
            colour = ink.inks.accent if told else ink.inks.bad if arrow.departs else ink.inks.edge
            draw_arrow(ink, old, new, radius, colour, 2.6 if told else 1.7 if arrow.new in loud else 1.0)

    # -- pointing ------------------------------------------------------------------------------------

    def place_at(self, point: QPointF) -> Place | None:
        """The place under a point; plugs have a target of at least the usual size."""
        if self._shape is None:
            return None
        scale, _origin = self._scale(self._shape)
        near = max(self._radius(scale) * 1.5, self._theme.sizes.target / 2)
        found, best = None, near
        for spot in self._shape.spots:
            off = self.point_of(spot.place) - point
            far = (off.x() ** 2 + off.y() ** 2) ** 0.5
            if far <= best:
                found, best = spot.place, far
        return found

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Choose the plug under the pointer."""
        at = self.place_at(event.position())
        if at is not None:
            self.point(at)

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        """Mark the plug under the pointer."""
        at = self.place_at(event.position())
        if at != self._hovered:
            self._hovered = at
            self.update()

    def leaveEvent(self, event: QEvent) -> None:
        """Nothing is under the pointer any more."""
        self._hovered = None
        self.update()
        super().leaveEvent(event)

    def told_of(self, at: Place) -> str:
        """What stands in the tooltip of a place."""
        said = self._marks.get(at, NOTHING).spoken(at)
        return said[:1].upper() + said[1:]

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Arrow keys go to the next plug that way; a digit to that cylinder; Enter opens."""
        way = ARROWS.get(Qt.Key(event.key()))
        if self._shape is None or self._engine is None:
            super().keyPressEvent(event)
        elif way is not None:
            first = self._engine.places[0]
            self.point(first if self.chosen is None else neighbour(self._shape, self.chosen, *way))
        elif event.text().isdecimal() and event.text() in {str(n) for n in self._engine.firing_order}:
            self.point(next(at for at in self._engine.places if at.cylinder == int(event.text())))
        elif event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter) and self.chosen is not None:
            self.opened.emit(self.chosen)
        else:
            super().keyPressEvent(event)
