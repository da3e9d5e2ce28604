"""The plug box, drawn: one compartment for each place, with the plug that lies in it."""

from __future__ import annotations

from collections.abc import Mapping

from PySide6.QtCore import QLineF, QPointF, QRectF, QSize, Qt, Signal
from PySide6.QtGui import (
    QColor,
    QFont,
    QKeyEvent,
    QMouseEvent,
    QPainter,
    QPainterPath,
    QPaintEvent,
    QPen,
)
from PySide6.QtWidgets import QApplication, QSizePolicy

from annual_planner.desktop.drawn import ARROWS
from annual_planner.desktop.plugs.drawn_places import DrawnPlaces
from annual_planner.desktop.plugs.marks import TrayPlug
from annual_planner.desktop.signs import draw_sign
from annual_planner.desktop.theme import Theme
from annual_planner.trade.engines import EngineType, Place

MOST_IN_A_LINE = 9
LEFT = Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter


class TrayDrawing(DrawnPlaces):
    """Arrow keys go from one compartment to another; Space, or dragging, takes a plug up and lays it down.

    Every exchange is told by `swapped`; nothing moves until the page shows it moved.
    """

    swapped = Signal(object, object)

    def __init__(self, theme: Theme, name: str) -> None:
        super().__init__(theme, name)
        self._engine: EngineType | None = None
        self._lies: Mapping[Place, TrayPlug] = {}
        self.taken_up: Place | None = None
        """The compartment whose plug is in the hand."""
        self._pressed: QPointF | None = None
        self._pointer = QPointF()
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Maximum)

    # -- what is shown -------------------------------------------------------------------------------

    def take(self, engine: EngineType, lies: Mapping[Place, TrayPlug]) -> None:
        """Show what lies in the box."""
        self._engine, self._lies = engine, lies
        if self.chosen not in engine.places:
            self.chosen = None
        if self.taken_up not in lies:
            self.taken_up = None
        self.say()
        self.updateGeometry()
        self.update()

    def say(self) -> None:
        """Tell a screen reader what is chosen."""
        at = self.chosen
        plug = self._lies.get(at) if at is not None else None
        said = f"compartment {at}: empty" if at is not None else "no compartment is chosen"
        said = plug.spoken(at) if plug is not None and at is not None else said
        self.setAccessibleDescription(f"{said}; in the hand" if at and self.taken_up == at else said)

    # -- size ----------------------------------------------------------------------------------------

    @property
    def _columns(self) -> int:
        count = self._engine.cylinder_count if self._engine is not None else 6
        return count if count <= MOST_IN_A_LINE else -(-count // 2)

    @property
    def _lines(self) -> int:
        return 2 if self._engine is None or self._engine.cylinder_count <= MOST_IN_A_LINE else 4

    def sizeHint(self) -> QSize:
        """Room for every compartment."""
        line = self._theme.sizes
        return QSize(line.of(self._columns * 6.4 + 1), line.of(self._lines * 5.1 + 1))

    def minimumSizeHint(self) -> QSize:
        """Still readable."""
        line = self._theme.sizes
        return QSize(line.of(self._columns * 5.3 + 1), line.of(self._lines * 5.1 + 1))

    def box_of(self, at: Place) -> QRectF:
        """The compartment of a place, in pixels."""
        assert self._engine is not None, "an engine is shown"
        line = self._theme.sizes.line
        number = sorted(self._engine.firing_order).index(at.cylinder)
        row = [each.row for each in self._engine.rows].index(at.row)
        down, across = 2 * (number // self._columns) + row, number % self._columns
        wide = min((self.width() - line) / self._columns, line * 8)
        high = (self.height() - line) / self._lines
        return QRectF(line / 2 + across * wide, line / 2 + down * high, wide, high)

    # -- painting ------------------------------------------------------------------------------------

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Draw the box and what lies in it."""
        if self._engine is None:
            return
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        boxes = {at: self.box_of(at) for at in self._engine.places}
        self._draw_rim(painter, boxes)
        for at, box in boxes.items():
            self._draw_compartment(painter, at, box)
        if self.taken_up is not None and self._pressed is not None:
            self._draw_in_hand(painter)
        painter.end()

    def _draw_rim(self, painter: QPainter, boxes: Mapping[Place, QRectF]) -> None:
        inks, line = self._theme.colours, self._theme.sizes.line
        whole = QRectF()
        for box in boxes.values():
            whole = whole.united(box)
        rim = whole.adjusted(-line * 0.35, -line * 0.35, line * 0.35, line * 0.35)
        painter.setPen(QPen(QColor(inks.ink), 1.6))
        painter.setBrush(QColor(inks.wash))
        painter.drawRoundedRect(rim, 4, 4)

    def _draw_compartment(self, painter: QPainter, at: Place, box: QRectF) -> None:
        inks, line = self._theme.colours, self._theme.sizes.line
        inner = box.adjusted(2, 2, -2, -2)
        chosen, plug = at == self.chosen, self._lies.get(at)
        in_hand = at == self.taken_up
        pen = QPen(QColor(inks.accent if chosen else inks.edge), 2.4 if chosen and self.hasFocus() else 1.2)
        if in_hand:
            pen.setStyle(Qt.PenStyle.DashLine)
        painter.setPen(pen)
        painter.setBrush(QColor(inks.chosen if chosen else inks.paper if plug else inks.board))
        painter.drawRoundedRect(inner, 3, 3)
        self._write(painter, inner.adjusted(line * 0.4, line * 0.15, 0, 0), 1.2, str(at), inks.ink, bold=True)
        if plug is None:
            self._draw_empty(painter, inner)
        elif not in_hand or self._pressed is None:
            self._draw_plug_and_words(painter, at, inner, plug)

    def _draw_empty(self, painter: QPainter, box: QRectF) -> None:
        line = self._theme.sizes.line
        painter.setPen(QPen(QColor(self._theme.colours.rule), 1.2, Qt.PenStyle.DotLine))
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.drawEllipse(box.center() + QPointF(0, line * 0.4), line * 0.8, line * 0.8)

    def _draw_plug_and_words(self, painter: QPainter, at: Place, box: QRectF, plug: TrayPlug) -> None:
        inks, line = self._theme.colours, self._theme.sizes.line
        foot = QPointF(box.right() - line * 0.85, box.top() + line * 0.35)
        draw_silhouette(painter, foot, line, inks.ink, inks.paper, gasket=plug.gasket is not False)
        text = box.adjusted(line * 0.4, line * 1.25, -line * 1.6, 0)
        ink, size = (inks.ink, 1.0) if plug.number else (inks.faint, 0.82)
        self._write(painter, text, 1.1, plug.gap_said, ink, size)
        text.translate(0, line * 1.1)
        tag = plug.tag if plug.came_from == at else f"{plug.tag} ({plug.came_from})"
        self._write(painter, text, 1.0, tag, inks.faint, 0.82)
        under = QRectF(
            box.left() + line * 0.4, box.bottom() - line * 1.3, box.width() - line * 0.5, line * 1.2
        )
        side = line * 0.62
        draw_sign(painter, QRectF(under.left(), under.center().y() - side / 2, side, side), plug.word, inks)
        self._write(painter, under.adjusted(line * 0.85, 0, 0, 0), 1.2, plug.word, inks.ink, 0.86)

    def _draw_in_hand(self, painter: QPainter) -> None:
        inks, line = self._theme.colours, self._theme.sizes.line
        top = self._pointer - QPointF(0, line * 1.5)
        draw_silhouette(painter, top, line, inks.accent, inks.chosen, gasket=False)

    def _write(
        self,
        painter: QPainter,
        box: QRectF,
        lines: float,
        text: str,
        colour: str,
        size: float = 1.0,
        *,
        bold: bool = False,
    ) -> None:
        font = QFont(self.font())
        font.setPointSizeF(self.font().pointSizeF() * size)
        font.setBold(bold)
        painter.setFont(font)
        painter.setPen(QColor(colour))
        room = QRectF(box.left(), box.top(), box.width(), self._theme.sizes.line * lines)
        shown = painter.fontMetrics().elidedText(text, Qt.TextElideMode.ElideRight, int(room.width()))
        painter.drawText(room, LEFT, shown)

    # -- pointing and moving -------------------------------------------------------------------------

    def place_at(self, point: QPointF) -> Place | None:
        """The compartment under a point."""
        places = self._engine.places if self._engine is not None else ()
        return next((at for at in places if self.box_of(at).contains(point)), None)

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Choose the compartment; from here a plug may be dragged."""
        at = self.place_at(event.position())
        if at is not None:
            self._pressed = event.position()
            self.point(at)

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        """Take the plug up once the pointer has moved far enough."""
        if self._pressed is None:
            return
        self._pointer = event.position()
        far = (self._pointer - self._pressed).manhattanLength()
        if self.taken_up is None and far >= QApplication.startDragDistance() and self.chosen in self._lies:
            self.taken_up = self.chosen
        self.update()

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        """Lay the plug down where the pointer is."""
        dragged = self._pressed is not None and self.taken_up is not None
        self._pressed = None
        if dragged:
            self._lay_down(self.place_at(event.position()))

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Arrows go on, Space takes up and lays down, Escape lets be, Enter opens."""
        step = ARROWS.get(Qt.Key(event.key()))
        if self._engine is None:
            super().keyPressEvent(event)
        elif step is not None:
            self.point(self._beside(*step))
        elif event.key() == Qt.Key.Key_Space:
            self._space()
        elif event.key() == Qt.Key.Key_Escape and self.taken_up is not None:
            self.taken_up = None
            self.update()
        elif event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter) and self.chosen is not None:
            self.opened.emit(self.chosen)
        else:
            super().keyPressEvent(event)

    def _space(self) -> None:
        if self.taken_up is not None:
            self._lay_down(self.chosen)
        else:
            self.take_up()

    def take_up(self) -> None:
        """Take the chosen plug into the hand."""
        if self.chosen in self._lies:
            self.taken_up = self.chosen
            self.say()
            self.update()

    def _lay_down(self, at: Place | None) -> None:
        up, self.taken_up = self.taken_up, None
        self.update()
        if up is not None and at is not None and at != up:
            self.swapped.emit(up, at)

    def _beside(self, across: int, down: int) -> Place:
        assert self._engine is not None, "an engine is shown"
        if self.chosen is None:
            return self._engine.places[0]
        box = self.box_of(self.chosen)
        point = box.center() + QPointF(across * box.width(), down * box.height())
        return self.place_at(point) or self.chosen

    def told_of(self, at: Place) -> str:
        """What stands in the tooltip of a compartment."""
        plug = self._lies.get(at)
        return plug.spoken(at) if plug is not None else ""


def draw_silhouette(
    painter: QPainter, top: QPointF, line: float, ink: str, paper: str, *, gasket: bool
) -> None:
    """A plug from the side, standing on its electrodes; with its gasket under the shoulder."""
    x, y = top.x(), top.y()
    painter.setPen(QPen(QColor(ink), 1.3))
    painter.setBrush(QColor(paper))
    painter.drawRoundedRect(QRectF(x - line * 0.28, y, line * 0.56, line * 0.95), 2, 2)
    hexagon = QRectF(x - line * 0.5, y + line * 0.95, line, line * 0.5)
    painter.drawRect(hexagon)
    for share in (-0.2, 0.2):
        painter.drawLine(QLineF(x + line * share, hexagon.top(), x + line * share, hexagon.bottom()))
    thread = QRectF(x - line * 0.3, hexagon.bottom() + line * 0.16, line * 0.6, line * 0.75)
    painter.drawRect(thread)
    for turn in range(1, 5):
        at = thread.top() + thread.height() * turn / 5
        painter.drawLine(QLineF(thread.left(), at, thread.right(), at - line * 0.06))
    if gasket:
        ring = QRectF(x - line * 0.44, hexagon.bottom(), line * 0.88, line * 0.15)
        painter.fillRect(ring, QColor(ink))
    nose = QPainterPath(QPointF(x - line * 0.12, thread.bottom()))
    nose.lineTo(x - line * 0.08, thread.bottom() + line * 0.2)
    nose.lineTo(x + line * 0.08, thread.bottom() + line * 0.2)
    nose.lineTo(x + line * 0.12, thread.bottom())
    painter.drawPath(nose)
    painter.drawLine(QLineF(x - line * 0.26, thread.bottom(), x - line * 0.26, thread.bottom() + line * 0.3))
