"""Found and closed month by month as bars, how many were open as a line; a table says the same."""

from __future__ import annotations

from PySide6.QtCore import QLineF, QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QBrush, QColor, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QSizePolicy, QWidget

from annual_planner.desktop.plugs.trend_chart import ticks
from annual_planner.desktop.theme import Theme
from annual_planner.store.review_rows import FlowMonth


class FlowChart(QWidget):
    """Bars told apart by filling, a line with dots; colour comes third."""

    def __init__(self, theme: Theme) -> None:
        super().__init__()
        self._theme = theme
        self.months: tuple[FlowMonth, ...] = ()
        self.setAccessibleName("Discrepancies found, closed and open, month by month")
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)
        theme.changed.connect(self.updateGeometry)
        theme.changed.connect(self.update)

    def take(self, months: tuple[FlowMonth, ...]) -> None:
        """Show these months."""
        self.months = months
        last = f"{months[-1].open_at_end} open at the end of {months[-1].first_day:%B %Y}" if months else ""
        self.setAccessibleDescription(f"{last}; the table beside it says the same." if last else "")
        self.update()

    def sizeHint(self) -> QSize:
        """Some lines of text high."""
        return QSize(self._theme.sizes.of(30), self._theme.sizes.of(16))

    def minimumSizeHint(self) -> QSize:
        """Still readable."""
        return QSize(self._theme.sizes.of(18), self._theme.sizes.of(10))

    @property
    def area(self) -> QRectF:
        """Where the bars stand."""
        line = self._theme.sizes.line
        return QRectF(self.rect()).adjusted(line * 2.6, line * 2.0, -line * 0.8, -line * 1.8)

    @property
    def top_count(self) -> int:
        """The count at the upper edge."""
        most = max((max(m.opened, m.closed, m.open_at_end) for m in self.months), default=0)
        return max(4, round(most * 1.1) + 1)

    def spot(self, month: float, count: float) -> QPointF:
        """Where a count of a month stands, in pixels; the middle of the month's room."""
        area = self.area
        wide = area.width() / max(1, len(self.months))
        return QPointF(
            area.left() + wide * (month + 0.5), area.bottom() - area.height() * count / self.top_count
        )

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Draw scale, bars, line and key."""
        if not self.months:
            return
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.fillRect(self.area, QColor(self._theme.colours.paper))
        self._draw_scale(painter)
        self._draw_bars(painter)
        self._draw_line(painter)
        self._draw_key(painter)
        painter.end()

    def _fills(self) -> tuple[QBrush, QBrush]:
        inks = self._theme.colours
        return QBrush(QColor(inks.edge), Qt.BrushStyle.BDiagPattern), QBrush(QColor(inks.edge))

    def _draw_scale(self, painter: QPainter) -> None:
        inks, line, area = self._theme.colours, self._theme.sizes.line, self.area
        counts = ticks(0, self.top_count, area.height() / (line * 2))
        for count in (each for each in counts if each.is_integer()):
            y = self.spot(0, count).y()
            painter.setPen(QPen(QColor(inks.rule), 1))
            painter.drawLine(QLineF(area.left(), y, area.right(), y))
            painter.setPen(QColor(inks.faint))
            box = QRectF(0, y - line / 2, area.left() - line * 0.4, line)
            painter.drawText(box, Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter, f"{count:g}")
        every = max(1, round(line * 4.6 * len(self.months) / max(1.0, area.width())))
        painter.setPen(QColor(inks.faint))
        for place in range(len(self.months) - 1, -1, -every):
            at = self.spot(place, 0)
            box = QRectF(at.x() - line * 3, area.bottom() + line * 0.3, line * 6, line * 1.2)
            painter.drawText(box, Qt.AlignmentFlag.AlignHCenter, f"{self.months[place].first_day:%b %y}")

    def _draw_bars(self, painter: QPainter) -> None:
        inks, area = self._theme.colours, self.area
        wide = area.width() / len(self.months) * 0.36
        painter.setPen(QPen(QColor(inks.edge), 1))
        found, closed = self._fills()
        for place, month in enumerate(self.months):
            for count, fill, left in ((month.opened, found, -wide), (month.closed, closed, 0.0)):
                if count:
                    top = self.spot(place, count)
                    painter.setBrush(fill)
                    painter.drawRect(QRectF(top.x() + left, top.y(), wide, area.bottom() - top.y()))

    def _draw_line(self, painter: QPainter) -> None:
        inks, line = self._theme.colours, self._theme.sizes.line
        spots = [self.spot(place, month.open_at_end) for place, month in enumerate(self.months)]
        painter.setPen(QPen(QColor(inks.accent), 2))
        painter.drawPolyline(spots)
        painter.setBrush(QColor(inks.paper))
        for at in spots:
            painter.drawEllipse(at, line * 0.2, line * 0.2)

    def _draw_key(self, painter: QPainter) -> None:
        inks, line = self._theme.colours, self._theme.sizes.line
        left, metrics = self.area.left(), painter.fontMetrics()
        found, closed = self._fills()
        for words, fill in (("found", found), ("closed", closed), ("open at the end", None)):
            box = QRectF(left, line * 0.55, line * 0.9, line * 0.7)
            painter.setPen(QPen(QColor(inks.edge if fill else inks.accent), 1 if fill else 2))
            if fill is None:
                painter.drawLine(QLineF(box.left(), box.center().y(), box.right(), box.center().y()))
            else:
                painter.setBrush(fill)
                painter.drawRect(box)
            painter.setPen(QColor(inks.ink))
            room = QRectF(
                box.right() + line * 0.4, line * 0.3, metrics.horizontalAdvance(words) + 4, line * 1.2
            )
            painter.drawText(room, Qt.AlignmentFlag.AlignVCenter, words)
            left = room.right() + line
