"""Paints the plan: days and names that stay in view, and a sheet with an ink edge for each bar."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING

from PySide6.QtCore import QLineF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPen

from annual_planner.desktop.theme import Theme
from annual_planner.planning.timeline import Axis, Bar

if TYPE_CHECKING:
    from annual_planner.desktop.annual.timeline.drawing import Drawing


def day_words(day: date) -> str:
    """A day as it stands above its bars: Mon 4 May."""
    return f"{day:%a} {day.day} {day:%b}"


class Painting:
    """One painting of a drawing."""

    def __init__(self, on: Drawing, painter: QPainter, theme: Theme, axis: Axis) -> None:
        self.on, self.painter, self.theme, self.axis = on, painter, theme, axis

    def paint(self) -> None:
        """Rules, bars, then what stands still above them."""
        self._draw_rules()
        for row, (_, bars) in enumerate(self.on.rows):
            for bar in bars:
                self._draw_bar(bar, row)
        self._draw_moved()
        self._draw_names()
        self._draw_days()

    def _draw_rules(self) -> None:
        self.painter.setPen(QPen(QColor(self.theme.colours.rule), 1))
        for number in range(len(self.axis.days)):
            x = self.on.left + number * self.on.day_wide
            self.painter.drawLine(QLineF(x, 0, x, self.on.height()))
        for row in range(len(self.on.rows)):
            self.painter.drawLine(QLineF(0, self.on.top_of(row), self.on.width(), self.on.top_of(row)))

    def _draw_days(self) -> None:
        inks, of, seen = self.theme.colours, self.theme.sizes.of, self.on.seen_from
        self.painter.fillRect(QRectF(0, seen.y(), self.on.width(), of(1.8)), QColor(inks.paper))
        last = seen.x() + self.on.left
        for number, day in enumerate(self.axis.days):
            x, ends = (self.on.left + (number + more) * self.on.day_wide for more in (0, 1))
            self.painter.setPen(QPen(QColor(inks.rule), 1))
            self.painter.drawLine(QLineF(x, seen.y() + of(0.2), x, seen.y() + of(1.8)))
            self.painter.setPen(QColor(inks.ink))
            starts = max(x, last) + 4
            self._write(QRectF(starts, seen.y(), ends - starts - 2, of(1.6)), day_words(day))
        self.painter.fillRect(QRectF(seen.x(), seen.y(), self.on.left - 1, of(1.8)), QColor(inks.paper))

    def _draw_names(self) -> None:
        inks, of, left = self.theme.colours, self.theme.sizes.of, self.on.seen_from.x()
        self.painter.fillRect(QRectF(left, 0, self.on.left - 1, self.on.height()), QColor(inks.paper))
        for row, (words, _) in enumerate(self.on.rows):
            top = self.on.top_of(row)
            self.painter.setPen(QPen(QColor(inks.rule), 1))
            self.painter.drawLine(QLineF(left, top, left + self.on.left, top))
            self.painter.setPen(QColor(inks.ink))
            self._write(QRectF(left + 4, top, self.on.left - 10, of(1.7)), words)

    def _write(self, room: QRectF, words: str) -> None:
        if room.width() > 0:
            text = self.painter.fontMetrics().elidedText(
                words, Qt.TextElideMode.ElideRight, round(room.width())
            )
            self.painter.drawText(room, Qt.AlignmentFlag.AlignVCenter, text)

    def _draw_bar(self, bar: Bar, row: int) -> None:
        """A sheet with an ink edge; the critical chain has the accent as a firm line below."""
        inks, box = self.theme.colours, self.on.box(bar, row)
        chosen = bar.job == self.on.chosen
        self.painter.setPen(QPen(QColor(inks.accent if chosen else inks.edge), 2 if chosen else 1))
        self.painter.setBrush(QColor(inks.chosen if chosen else inks.wash))
        self.painter.drawRect(box)
        if bar.critical:
            foot = QRectF(box.left(), box.bottom() - 3, box.width(), 3)
            self.painter.fillRect(foot, QColor(inks.accent))
        if bar.held:
            self.painter.fillRect(QRectF(box.left(), box.top(), 3, box.height()), QColor(inks.ink))
        room = box.adjusted(5, 0, -2, -2)
        if self.on.by != "card" and room.width() > self.painter.fontMetrics().averageCharWidth() * 3:
            self.painter.setPen(QColor(inks.ink))
            text = self._fitted(bar.title, round(room.width()))
            self.painter.drawText(room, Qt.AlignmentFlag.AlignVCenter, text)

    def _fitted(self, title: str, room: int) -> str:
        """A title, shortened; where little of it would be left, the card's number alone."""
        text = self.painter.fontMetrics().elidedText(title, Qt.TextElideMode.ElideRight, room)
        if text == title or len(text) > 7:
            return text
        number = title.split(" ")[0]
        return number if self.painter.fontMetrics().horizontalAdvance(number) <= room else ""

    def _draw_moved(self) -> None:
        bar = self.on.bar
        if bar is None or self.on.moved_to is None:
            return
        for row, (_, bars) in enumerate(self.on.rows):
            if bar in bars:
                box = self.on.box(bar, row)
                self.painter.setBrush(Qt.BrushStyle.NoBrush)
                self.painter.setPen(QPen(QColor(self.theme.colours.accent), 2, Qt.PenStyle.DashLine))
                self.painter.drawRect(
                    QRectF(self.on.x_of(self.on.moved_to), box.top(), box.width(), box.height())
                )
