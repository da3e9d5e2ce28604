"""Painting the weeks: ink on paper; shape and words before colour."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from PySide6.QtCore import QLineF, QPointF, QRectF, Qt
from PySide6.QtGui import QBrush, QColor, QFont, QFontMetricsF, QPainter, QPen, QPolygonF

from annual_planner.desktop.colours import Colours
from annual_planner.desktop.signs import draw_sign
from annual_planner.desktop.weeks.grid import Grid
from annual_planner.planning.shop_weeks.kept import IN_TIME
from annual_planner.planning.shop_weeks.lanes import Bar
from annual_planner.planning.shop_weeks.visits import Visit

MIDDLE = Qt.AlignmentFlag.AlignVCenter
CENTRE = Qt.AlignmentFlag.AlignCenter
SHUT, NOT_SPARED = Qt.BrushStyle.BDiagPattern, Qt.BrushStyle.FDiagPattern


UPRIGHT = 0.84
"""Size of words that stand upright in a narrow bar, against that of others."""


class WeeksPainter:
    """Paints one picture; made anew for each."""

    def __init__(self, painter: QPainter, grid: Grid, inks: Colours) -> None:
        self._painter = painter
        self._grid = grid
        self._inks = inks
        self._metrics = QFontMetricsF(painter.font())
        self._small = QFont(painter.font())
        self._small.setPointSizeF(painter.font().pointSizeF() * UPRIGHT)

    # -- the ground

    def ground(self, chosen: Visit | None) -> None:
        """Lanes, the chosen airplane's window, and what is shut."""
        grid, painter, inks = self._grid, self._painter, self._inks
        if chosen is not None:
            self._window(chosen)
        for load in grid.lanes.loads:
            if load.shut:
                first = grid.x(grid.week_number(load.week.monday))
                box = QRectF(first, grid.head, grid.week_wide, grid.load_box().bottom() - grid.head)
                painter.fillRect(box, QBrush(QColor(inks.faint), SHUT))
        painter.setPen(QPen(QColor(inks.rule), 1))
        for number in range(len(grid.lanes.lanes) + 1):
            y = grid.head + number * grid.lane_high
            painter.drawLine(QLineF(0, y, grid.width, y))

    def _window(self, visit: Visit) -> None:
        """Shade earliest to latest; hatch what the owner can't spare, draw a line over what is wished."""
        grid, painter, inks = self._grid, self._painter, self._inks
        high = grid.foot - grid.head
        first, last = grid.span(visit.earliest_on, visit.latest_on)
        painter.fillRect(QRectF(first, grid.head, last - first, high), QColor(inks.chosen))
        for days in visit.blocked:
            first, last = grid.span(days.first_on, days.last_on)
            painter.fillRect(
                QRectF(first, grid.head, last - first, high), QBrush(QColor(inks.edge), NOT_SPARED)
            )
        for days in visit.wished:
            first, last = grid.span(days.first_on, days.last_on)
            painter.fillRect(QRectF(first, grid.head - 4, last - first, 4), QColor(inks.ink))

    # -- the head

    def head(self, today: date) -> None:
        """Months, the Mondays where there is room, a line for each week and one for today."""
        grid, painter, inks = self._grid, self._painter, self._inks
        line = grid.head / 2
        every = self._every()
        month = None
        for number, monday in enumerate(grid.mondays()):
            x = grid.x(number)
            begins = (monday.year, monday.month) != month
            month = (monday.year, monday.month)
            painter.setPen(QPen(QColor(inks.edge if begins else inks.rule), 1))
            painter.drawLine(QLineF(x, 0.0 if begins else line + 2, x, grid.load_box().bottom()))
            if begins:
                self._month(monday, number)
            if number % every == 0:
                painter.setPen(QColor(inks.faint))
                painter.drawText(
                    QRectF(x + 2, line, grid.week_wide * every - 2, line), MIDDLE, f"{monday.day}"
                )
        x = grid.day(today)
        painter.setPen(QPen(QColor(inks.accent), 2))
        painter.drawLine(QLineF(x, line, x, grid.load_box().bottom()))

    def _every(self) -> int:
        """How many weeks share one number of a Monday."""
        return max(1, int(-(-(self._metrics.horizontalAdvance("30") + 6) // self._grid.week_wide)))

    def _month(self, monday: date, number: int) -> None:
        grid = self._grid
        next_month = next(
            (
                later
                for later, each in enumerate(grid.mondays())
                if later > number and (each.year, each.month) != (monday.year, monday.month)
            ),
            grid.lanes.count,
        )
        room = grid.x(next_month) - grid.x(number) - 6
        words = [f"{monday:%b %Y}"] if monday.month == 1 or number == 0 else []
        words += [f"{monday:%b}", ""]
        text = next(each for each in words if self._metrics.horizontalAdvance(each) <= room)
        self._painter.setPen(QColor(self._inks.ink))
        self._painter.drawText(QRectF(grid.x(number) + 3, 0, room + 3, grid.head / 2), MIDDLE, text)

    # -- bars

    def bars(self, bars: Sequence[Bar], chosen: int | None) -> None:
        """Every bar; the chosen one last."""
        after = self._room_after(bars)
        for bar in sorted(bars, key=lambda each: each.line.key == chosen):
            self._bar(bar, bar.line.key == chosen, after[bar.line.key])

    def _room_after(self, bars: Sequence[Bar]) -> dict[int, float]:
        """Pixels to the right of each bar that no other bar of its lane takes."""
        end, room = self._grid.x(self._grid.lanes.count), dict[int, float]()
        next_left: dict[int, float] = {}
        for bar in sorted(bars, key=lambda each: each.first_on, reverse=True):
            box = self._grid.box(bar)
            room[bar.line.key] = next_left.get(bar.lane, end) - box.right()
            next_left[bar.lane] = box.left()
        return room

    def _bar(self, bar: Bar, chosen: bool, after: float) -> None:
        """A sheet with an ink edge; a sign where it doesn't stand in good time; a foot in ink when pinned."""
        painter, inks, box = self._painter, self._inks, self._grid.box(bar)
        painter.setPen(QPen(QColor(inks.accent if chosen else inks.edge), 2 if chosen else 1))
        painter.setBrush(QColor(inks.paper if chosen else inks.wash))
        painter.drawRect(box)
        if bar.line.pinned:
            painter.fillRect(QRectF(box.left(), box.bottom() - 3, box.width(), 3), QColor(inks.ink))
        room = box.adjusted(1, 2, -1, -4 if bar.line.pinned else -1)
        if bar.line.standing != IN_TIME:
            side = min(self._metrics.height() * 0.56, max(box.width() - 3, 5.0))
            place = QRectF(box.center().x() - side / 2, box.top() + 2, side, side)
            draw_sign(painter, place, bar.line.standing, inks)
            room.setTop(place.bottom() + 1)
        painter.setPen(QColor(inks.ink))
        self._named(bar.line.registration, room, box, after)

    def _named(self, words: str, room: QRectF, box: QRectF, after: float) -> None:
        """Words across where they fit, else to the right where nothing stands, else upright, else none."""
        painter, wide, high = self._painter, self._metrics.horizontalAdvance(words), self._metrics.height()
        if wide + 2 <= room.width() and high <= room.height() + 2:
            painter.drawText(room, CENTRE, words)
        elif wide + 8 <= after:
            painter.drawText(QRectF(box.right() + 4, box.top(), after - 4, box.height()), MIDDLE, words)
        elif high * UPRIGHT * 0.9 <= room.width() and wide * UPRIGHT <= room.height():
            painter.save()
            painter.setFont(self._small)
            painter.translate(room.center())
            painter.rotate(-90)
            painter.drawText(
                QRectF(-room.height() / 2, -room.width() / 2, room.height(), room.width()), CENTRE, words
            )
            painter.restore()

    def moved(self, bars: Sequence[Bar], first: int | None) -> None:
        """Where bars would be: dashed, the one that is moved in firm accent."""
        painter = self._painter
        painter.setBrush(Qt.BrushStyle.NoBrush)
        for bar in bars:
            own = bar.line.key == first
            colour = QColor(self._inks.accent if own else self._inks.ink)
            painter.setPen(QPen(colour, 2 if own else 1, Qt.PenStyle.DashLine))
            painter.drawRect(self._grid.box(bar))

    def due(self, visit: Visit) -> None:
        """The day by which the chosen airplane's annual is due: a firm line with a flag."""
        grid, painter, inks = self._grid, self._painter, self._inks
        x = grid.day(visit.due_on, ends=True)
        if not grid.left <= x <= grid.x(grid.lanes.count) + 1:
            return
        painter.setPen(QPen(QColor(inks.ink), 1.5, Qt.PenStyle.DashLine))
        painter.drawLine(QLineF(x, grid.head, x, grid.foot))
        side = self._metrics.height() * 0.45
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(QColor(inks.ink))
        y = grid.head
        painter.drawPolygon(QPolygonF([QPointF(x, y), QPointF(x - side, y + side / 2), QPointF(x, y + side)]))

    # -- loads

    def loads(self) -> None:
        """For each week planned hours, with a line at what may be planned; what is over it is hatched."""
        grid, painter, inks = self._grid, self._painter, self._inks
        strip = grid.load_box()
        most = max((max(float(each.week.hours), each.hours) for each in grid.lanes.loads), default=0.0)
        if not most:
            return

        def y(hours: float) -> float:
            return strip.bottom() - strip.height() * hours / most

        for load in grid.lanes.loads:
            x = grid.x(grid.week_number(load.week.monday))
            under = min(load.hours, load.room_hours)
            painter.setPen(QPen(QColor(inks.edge), 1))
            painter.setBrush(QColor(inks.rule))
            if under:
                painter.drawRect(QRectF(x + 1.5, y(under), grid.week_wide - 3, strip.bottom() - y(under)))
            if load.hours > under + 0.05:
                over = QRectF(x + 1.5, y(load.hours), grid.week_wide - 3, y(under) - y(load.hours))
                painter.setPen(QPen(QColor(inks.outline), 1))
                painter.setBrush(QColor(inks.bad))
                painter.drawRect(over)
            if not load.shut:
                painter.setPen(QPen(QColor(inks.ink), 1.5))
                painter.drawLine(QLineF(x, y(load.room_hours), x + grid.week_wide, y(load.room_hours)))
        painter.setPen(QPen(QColor(inks.edge), 1))
        painter.drawLine(QLineF(strip.left(), strip.bottom(), strip.right(), strip.bottom()))

    # -- names, over everything

    def names(self, left: float, *, focused: bool) -> None:
        """Names of the lanes at the edge that is seen, `left` pixels in; a firm edge while keys act here."""
        grid, painter, inks = self._grid, self._painter, self._inks
        painter.fillRect(QRectF(left, 0, grid.left, grid.height), QColor(inks.paper))
        painter.setPen(QPen(QColor(inks.edge), 1))
        painter.drawLine(QLineF(left + grid.left, 0, left + grid.left, grid.load_box().bottom()))
        if focused:
            painter.fillRect(QRectF(left, 0, 3, grid.load_box().bottom()), QColor(inks.accent))
        for number, words in enumerate(grid.lanes.lanes):
            top = grid.head + number * grid.lane_high
            painter.setPen(QPen(QColor(inks.rule), 1))
            painter.drawLine(QLineF(left, top, left + grid.left, top))
            self._name(words, QRectF(left + 8, top, grid.left - 12, grid.lane_high), inks.ink)
        painter.setPen(QPen(QColor(inks.rule), 1))
        painter.drawLine(QLineF(left, grid.foot, left + grid.left, grid.foot))
        strip = grid.load_box()
        self._name("Hours", QRectF(left + 8, strip.top(), grid.left - 12, strip.height() / 2), inks.ink)
        most = max((float(each.week.hours) for each in grid.lanes.loads), default=0.0)
        below = QRectF(left + 8, strip.center().y(), grid.left - 12, strip.height() / 2)
        self._name(f"of {most:.0f} h" if most else "", below, inks.faint)

    def _name(self, words: str, room: QRectF, ink: str) -> None:
        self._painter.setPen(QColor(ink))
        fits = self._metrics.horizontalAdvance(words) <= room.width() * 1.9
        if fits and room.height() >= 2 * self._metrics.height():
            self._painter.drawText(room, int(MIDDLE | Qt.TextFlag.TextWordWrap), words)
            return
        text = self._metrics.elidedText(words, Qt.TextElideMode.ElideRight, room.width())
        self._painter.drawText(room, MIDDLE, text)
