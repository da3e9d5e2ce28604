"""Hours flown each month: a drawing, and the table that says the same."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from decimal import Decimal

from PySide6.QtCore import QRectF, QSize, Qt
from PySide6.QtGui import QColor, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QSizePolicy, QWidget

from annual_planner.desktop.aircraft.seen import FlownMonth
from annual_planner.desktop.theme import Theme

SHOWN_MONTHS = 36
STEPS = (1, 2, 5, 10, 20, 25, 50, 100, 200)


class FlownChart(QWidget):
    """Bars of the hours of the last three years, with their mean as a line. Not read aloud: its table is."""

    def __init__(self, theme: Theme) -> None:
        super().__init__()
        self._theme = theme
        self._months: tuple[FlownMonth, ...] = ()
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Preferred)
        self.setAccessibleName("Hours flown each month, drawn")
        theme.changed.connect(self.updateGeometry)
        theme.changed.connect(self.update)

    def take(self, months: Sequence[FlownMonth]) -> None:
        """Show these months, oldest first; the last three years at most."""
        self._months = tuple(months)[-SHOWN_MONTHS:]
        self.setAccessibleDescription(spoken(self._months))
        self.setToolTip(spoken(self._months))
        self.update()

    def sizeHint(self) -> QSize:
        """Some lines of text high."""
        return QSize(self._theme.sizes.of(26), self._theme.sizes.of(11))

    def minimumSizeHint(self) -> QSize:
        """Still readable."""
        return QSize(self._theme.sizes.of(14), self._theme.sizes.of(7))

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Draw ground, scale, bars and mean."""
        if not self._months:
            return
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        line = self._theme.sizes.line
        area = QRectF(self.rect()).adjusted(line * 2.2, line * 1.4, -line * 4.5, -line * 1.6)
        most = max(month.hours for month in self._months)
        step = next((step for step in STEPS if most <= step * 4), STEPS[-1])
        top = max(step, -(-int(most * 100) // (step * 100)) * step)
        self._scale(painter, area, step, top)
        self._bars(painter, area, top)
        self._mean(painter, area, top)
        painter.end()

    def _scale(self, painter: QPainter, area: QRectF, step: int, top: int) -> None:
        inks, line = self._theme.colours, self._theme.sizes.line
        for hours in range(0, top + 1, step):
            y = area.bottom() - area.height() * hours / top
            painter.setPen(QPen(QColor(inks.rule), 1))
            painter.drawLine(int(area.left()), int(y), int(area.right()), int(y))
            painter.setPen(QColor(inks.faint))
            box = QRectF(0, y - line / 2, area.left() - line * 0.4, line)
            painter.drawText(
                box, int(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter), str(hours)
            )
        head = QRectF(area.left(), 0, area.width(), line * 1.2)
        painter.drawText(head, int(Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter), "h a month")

    def _bars(self, painter: QPainter, area: QRectF, top: int) -> None:
        inks, line = self._theme.colours, self._theme.sizes.line
        wide = area.width() / len(self._months)
        for place, month in enumerate(self._months):
            high = area.height() * float(month.hours) / top
            bar = QRectF(area.left() + place * wide + wide * 0.14, area.bottom() - high, wide * 0.72, high)
            painter.fillRect(bar, QColor(inks.accent))
            if month.month.month == 1 or place == 0:
                painter.setPen(QColor(inks.faint))
                room = QRectF(bar.left(), area.bottom() + 2, line * 4, line * 1.4)
                painter.drawText(room, int(Qt.AlignmentFlag.AlignLeft), _under(month, place))
        painter.setPen(QPen(QColor(inks.edge), 1))
        painter.drawLine(area.bottomLeft(), area.bottomRight())

    def _mean(self, painter: QPainter, area: QRectF, top: int) -> None:
        inks, line = self._theme.colours, self._theme.sizes.line
        mean = mean_hours(self._months)
        y = area.bottom() - area.height() * float(mean) / top
        painter.setPen(QPen(QColor(inks.ink), 1.2, Qt.PenStyle.DashLine))
        painter.drawLine(int(area.left()), int(y), int(area.right()), int(y))
        room = QRectF(area.right() + line * 0.3, y - line, line * 4.2, line * 2)
        painter.drawText(
            room, int(Qt.AlignmentFlag.AlignVCenter | Qt.AlignmentFlag.AlignLeft), f"mean {mean:.1f}"
        )


def _first(month: date) -> str:
    """Under the first bar: with its year where the next year's name doesn't follow at once."""
    return f"{month:%b %Y}" if month.month <= 8 else f"{month:%b}"


def _under(month: FlownMonth, place: int) -> str:
    return f"{month.month:%Y}" if month.month.month == 1 else _first(month.month) if place == 0 else ""


def mean_hours(months: Sequence[FlownMonth]) -> Decimal:
    """Mean hours of these months; 0 for none."""
    return sum((month.hours for month in months), Decimal(0)) / len(months) if months else Decimal(0)


def spoken(months: Sequence[FlownMonth]) -> str:
    """What the drawing shows, in a sentence."""
    if not months:
        return "No whole month is recorded yet."
    most = max(months, key=lambda month: month.hours)
    return (
        f"{months[0].month:%B %Y} to {months[-1].month:%B %Y}:"
        f" {mean_hours(months):.1f} hours a month on average,"
        f" at most {most.hours:.1f} in {most.month:%B %Y}."
    )
