"""Drawing how a thing stands: a shape of its own, the word, and colour third."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QBrush, QColor, QPainter, QPen, QPolygonF
from PySide6.QtWidgets import QStyledItemDelegate, QWidget

from annual_planner.desktop.colours import Colours, sign_of
from annual_planner.desktop.paged_table import SIGN_ROLE, Index
from annual_planner.desktop.theme import Theme

if TYPE_CHECKING:
    from PySide6.QtWidgets import QStyleOptionViewItem


def draw_sign(painter: QPainter, box: QRectF, word: str, colours: Colours) -> None:
    """Draw the shape for a word of standing into the box."""
    sign = sign_of(word)
    fill = QColor(str(getattr(colours, sign.colour)))
    pen = QPen(QColor(colours.outline), max(1.0, box.width() / 12))
    pen.setJoinStyle(Qt.PenJoinStyle.MiterJoin)
    painter.save()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.setPen(pen)
    painter.setBrush(fill)
    DRAW[sign.shape](painter, box, fill)
    painter.restore()


def _triangle(painter: QPainter, box: QRectF, _fill: QColor) -> None:
    top = QPointF(box.center().x(), box.top())
    painter.drawPolygon(QPolygonF([top, box.bottomRight(), box.bottomLeft()]))


def _circle(painter: QPainter, box: QRectF, _fill: QColor) -> None:
    painter.drawEllipse(box)


def _half(painter: QPainter, box: QRectF, _fill: QColor) -> None:
    painter.drawChord(box, -90 * 16, 180 * 16)
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.drawEllipse(box)


def _ring(painter: QPainter, box: QRectF, fill: QColor) -> None:
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.drawEllipse(box)
    inner = box.adjusted(box.width() * 0.3, box.height() * 0.3, -box.width() * 0.3, -box.height() * 0.3)
    painter.setBrush(fill)
    painter.setPen(Qt.PenStyle.NoPen)
    painter.drawEllipse(inner)


def _dash(painter: QPainter, box: QRectF, _fill: QColor) -> None:
    painter.drawRect(QRectF(box.left(), box.center().y() - box.height() / 7, box.width(), box.height() / 3.5))


def _cross(painter: QPainter, box: QRectF, fill: QColor) -> None:
    painter.drawRect(box)
    painter.setPen(QPen(painter.pen().color(), box.width() / 6))
    painter.drawLine(box.topLeft(), box.bottomRight())
    painter.drawLine(box.topRight(), box.bottomLeft())


def _diamond(painter: QPainter, box: QRectF, _fill: QColor) -> None:
    middle = box.center()
    corners = [
        QPointF(middle.x(), box.top()),
        QPointF(box.right(), middle.y()),
        QPointF(middle.x(), box.bottom()),
        QPointF(box.left(), middle.y()),
    ]
    painter.drawPolygon(QPolygonF(corners))


DRAW = {
    "triangle": _triangle,
    "diamond": _diamond,
    "circle": _circle,
    "half": _half,
    "ring": _ring,
    "dash": _dash,
    "cross": _cross,
}


class SignDelegate(QStyledItemDelegate):
    """Cells with the sign before the word where the column has one; a line under every row."""

    def __init__(self, theme: Theme, parent: QWidget) -> None:
        super().__init__(parent)
        self._theme = theme

    def paint(self, painter: QPainter, option: QStyleOptionViewItem, index: Index) -> None:
        """Paint the cell; the sign takes the room of one line of text at its left."""
        from PySide6.QtWidgets import QStyle  # with its many enums: not before there are rows

        option.state &= ~QStyle.StateFlag.State_HasFocus
        word = index.data(SIGN_ROLE)
        if not word:
            super().paint(painter, option, index)
            return
        room = option.fontMetrics.height()
        self._paint_indented(painter, option, index, round(room * 1.15))
        side = room * 0.62
        rect = QRectF(option.rect)
        box = QRectF(rect.left() + room * 0.4, rect.center().y() - side / 2 - 0.5, side, side)
        draw_sign(painter, box, str(word), self._theme.colours)

    def _paint_indented(self, painter: QPainter, option: QStyleOptionViewItem, index: Index, by: int) -> None:
        from PySide6.QtWidgets import QStyle, QStyleOptionViewItem

        shifted = QStyleOptionViewItem(option)
        self.initStyleOption(shifted, index)
        widget = option.widget
        text = shifted.text
        shifted.text = ""
        widget.style().drawControl(QStyle.ControlElement.CE_ItemViewItem, shifted, painter, widget)
        shifted.text = text
        shifted.rect.setLeft(shifted.rect.left() + by)
        shifted.backgroundBrush = QBrush(Qt.BrushStyle.NoBrush)
        painter.save()
        painter.setClipRect(option.rect)
        chosen = bool(shifted.state & QStyle.StateFlag.State_Selected)
        inks = self._theme.colours
        painter.setPen(QColor(inks.chosen_ink if chosen else inks.ink))
        text_room = shifted.rect.adjusted(round(shifted.fontMetrics.height() * 0.4), 0, -9, -2)
        line = shifted.fontMetrics.elidedText(text, Qt.TextElideMode.ElideRight, text_room.width())
        painter.drawText(text_room, int(shifted.displayAlignment), line)
        painter.restore()
