"""The bars on paper: working days beside each other, one row for each person, zone or card."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime, timedelta

from PySide6.QtCore import QEvent, QLineF, QRectF, QSize, Qt, QTimer, Signal
from PySide6.QtGui import QColor, QKeyEvent, QMouseEvent, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QSizePolicy, QToolTip, QWidget

from annual_planner.desktop.theme import Theme
from annual_planner.planning.timeline import Axis, Bar, axis_of, rows_of

QUARTER, HALF_DAY = timedelta(minutes=15), timedelta(hours=4)
PAUSE_MS = 350
"""Rest after a key before it is asked what a move costs."""


class Drawing(QWidget):
    """Up and Down choose a bar, Left and Right move it by a quarter-hour (with Ctrl by half a day).

    A bar that was moved, by keys or dragged, asks what it costs there. Enter agrees, Delete releases it,
    Escape puts it back.
    """

    pointed = Signal(str)
    """The job that is chosen."""
    placed = Signal(str, object)
    """A job was put on another moment."""
    released = Signal(str)
    agreed = Signal()
    """Enter: the chosen bar is to be held where it stands."""
    put_back = Signal()
    """Escape: whatever was moved goes back."""

    def __init__(self, theme: Theme) -> None:
        super().__init__()
        self._theme = theme
        self._bars: tuple[Bar, ...] = ()
        self._rows: list[tuple[str, tuple[Bar, ...]]] = []
        self._axis: Axis | None = None
        self.by = "person"
        self.chosen = ""
        self.moved_to: datetime | None = None
        self._grip: float | None = None
        self._pause = QTimer(self, singleShot=True, interval=PAUSE_MS)
        self._pause.timeout.connect(self._place)
        self.setAccessibleName("Who does what and when, drawn; the list of cards below says the same")
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.MinimumExpanding)
        theme.changed.connect(self._fit)

    def take(self, bars: Sequence[Bar], by: str) -> None:
        """Draw these bars in rows by person, zone or card."""
        self._bars, self.by = tuple(bars), by
        self._axis, self._rows = axis_of(bars), rows_of(bars, by)
        if self._grip is None and not self._pause.isActive():
            self.moved_to = None
        self._fit()

    def choose(self, job: str) -> None:
        """Choose that job's bar."""
        if job != self.chosen:
            self._pause.stop()
            self.chosen, self.moved_to = job, None
            self.update()

    def forget_move(self) -> None:
        """Show the chosen bar where it lies."""
        self._pause.stop()
        self.moved_to = self._grip = None
        self.update()

    @property
    def bar(self) -> Bar | None:
        """The chosen bar."""
        return next((bar for bar in self._bars if bar.job == self.chosen), None)

    # -- room

    def _fit(self) -> None:
        self.setMinimumSize(self.sizeHint())
        self.updateGeometry()
        self.update()

    def sizeHint(self) -> QSize:
        """Room for every row and a day no narrower than its words."""
        of = self._theme.sizes.of
        days = len(self._axis.days) if self._axis is not None else 1
        return QSize(round(self._left()) + days * of(20), of(1.8) + len(self._rows) * of(1.7) + of(0.5))

    def _left(self) -> float:
        """Width of the words of the rows."""
        return self._theme.sizes.of(15 if self.by == "card" else 9)

    def _x(self, moment: datetime, *, ends: bool = False) -> float:
        assert self._axis is not None
        place = self._axis.at(moment)
        if ends and place == int(place) and moment.date() not in self._axis.days:
            place = float(int(place))
        return self._left() + place * self._day_wide()

    def _day_wide(self) -> float:
        days = len(self._axis.days) if self._axis is not None else 1
        return max(1.0, (self.width() - self._left() - 4) / days)

    def _top(self, row: int) -> float:
        of = self._theme.sizes.of
        return of(1.8) + row * of(1.7)

    def box(self, bar: Bar, row: int) -> QRectF:
        """Where a bar is drawn: from its first quarter-hour to its last."""
        of = self._theme.sizes.of
        first = self._x(bar.pieces[0].start if bar.pieces else bar.starts)
        last = self._x(bar.pieces[-1].end if bar.pieces else bar.ends, ends=True)
        return QRectF(first, self._top(row) + of(0.2), max(last - first, 3.0), of(1.3))

    # -- painting

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Draw days, rows and bars."""
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.fillRect(self.rect(), QColor(self._theme.colours.paper))
        if self._axis is None:
            return
        self._draw_days(painter, self._axis)
        for row, (words, bars) in enumerate(self._rows):
            self._draw_words(painter, row, words)
            for bar in bars:
                self._draw_bar(painter, bar, row)
        self._draw_moved(painter)

    def _draw_days(self, painter: QPainter, axis: Axis) -> None:
        inks, of = self._theme.colours, self._theme.sizes.of
        for number, day in enumerate(axis.days):
            x = self._left() + number * self._day_wide()
            painter.setPen(QPen(QColor(inks.rule), 1))
            painter.drawLine(QLineF(x, of(0.2), x, self.height()))
            painter.setPen(QColor(inks.ink))
            words = QRectF(x + 4, 0, self._day_wide() - 6, of(1.6))
            text = self.fontMetrics().elidedText(
                f"{day:%a} {day.day} {day:%b}", Qt.TextElideMode.ElideRight, round(words.width())
            )
            painter.drawText(words, Qt.AlignmentFlag.AlignVCenter, text)

    def _draw_words(self, painter: QPainter, row: int, words: str) -> None:
        inks, of = self._theme.colours, self._theme.sizes.of
        top = self._top(row)
        painter.setPen(QPen(QColor(inks.rule), 1))
        painter.drawLine(QLineF(0, top, self.width(), top))
        painter.setPen(QColor(inks.ink))
        room = QRectF(4, top, self._left() - 10, of(1.7))
        text = self.fontMetrics().elidedText(words, Qt.TextElideMode.ElideRight, round(room.width()))
        painter.drawText(room, Qt.AlignmentFlag.AlignVCenter, text)

    def _draw_bar(self, painter: QPainter, bar: Bar, row: int) -> None:
        """A sheet with an ink edge; the critical chain has the accent as a firm line below."""
        inks, box = self._theme.colours, self.box(bar, row)
        chosen = bar.job == self.chosen
        painter.setPen(QPen(QColor(inks.accent if chosen else inks.edge), 2 if chosen else 1))
        painter.setBrush(QColor(inks.chosen if chosen else inks.wash))
        painter.drawRect(box)
        if bar.critical:
            foot = QRectF(box.left(), box.bottom() - 3, box.width(), 3)
            painter.fillRect(foot, QColor(inks.accent))
        if bar.held:
            painter.fillRect(QRectF(box.left(), box.top(), 3, box.height()), QColor(inks.ink))
        room = box.adjusted(5, 0, -2, -2)
        if self.by != "card" and room.width() > self.fontMetrics().averageCharWidth() * 3:
            painter.setPen(QColor(inks.ink))
            text = self._fitted(bar.title, round(room.width()))
            painter.drawText(room, Qt.AlignmentFlag.AlignVCenter, text)

    def _fitted(self, title: str, room: int) -> str:
        """A title, shortened; where little of it would be left, the card's number alone."""
        text = self.fontMetrics().elidedText(title, Qt.TextElideMode.ElideRight, room)
        if text == title or len(text) > 7:
            return text
        number = title.split(" ")[0]
        return number if self.fontMetrics().horizontalAdvance(number) <= room else ""

    def _draw_moved(self, painter: QPainter) -> None:
        bar = self.bar
        if bar is None or self.moved_to is None:
            return
        for row, (_, bars) in enumerate(self._rows):
            if bar in bars:
                box = self.box(bar, row)
                painter.setBrush(Qt.BrushStyle.NoBrush)
                painter.setPen(QPen(QColor(self._theme.colours.accent), 2, Qt.PenStyle.DashLine))
                painter.drawRect(QRectF(self._x(self.moved_to), box.top(), box.width(), box.height()))

    # -- choosing and moving

    def bar_at(self, x: float, y: float) -> Bar | None:
        """The bar drawn at a point; the uppermost of several."""
        for row, (_, bars) in enumerate(self._rows):
            for bar in reversed(bars):
                if self.box(bar, row).adjusted(-2, 0, 2, 0).contains(x, y):
                    return bar
        return None

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Choose the bar under the pointer and take hold of it."""
        at = event.position()
        bar = self.bar_at(at.x(), at.y())
        if bar is not None:
            self.choose(bar.job)
            self.pointed.emit(bar.job)
            self._grip = at.x() - self._x(bar.starts)

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        """Show where the bar would be."""
        if self._grip is None or self._axis is None or self.bar is None:
            return
        place = (event.position().x() - self._grip - self._left()) / self._day_wide()
        moment = self._axis.moment(place)
        if moment != self.bar.starts or self.moved_to is not None:
            self.moved_to = moment
            self.update()

    def mouseReleaseEvent(self, _event: QMouseEvent) -> None:
        """Let go: ask what it costs there."""
        self._grip = None
        self._place()

    def _place(self) -> None:
        self._pause.stop()
        if self.bar is not None and self.moved_to is not None:
            self.placed.emit(self.chosen, self.moved_to)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Choose, move, pin and release by keys."""
        key, far = event.key(), bool(event.modifiers() & Qt.KeyboardModifier.ControlModifier)
        if key in (Qt.Key.Key_Up, Qt.Key.Key_Down):
            self._choose_next(1 if key == Qt.Key.Key_Down else -1)
        elif key in (Qt.Key.Key_Left, Qt.Key.Key_Right):
            step = HALF_DAY if far else QUARTER
            self.shift(step if key == Qt.Key.Key_Right else -step)
        elif key in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self.agreed.emit()
        elif key == Qt.Key.Key_Delete and self.bar is not None:
            self.released.emit(self.chosen)
        elif key == Qt.Key.Key_Escape:
            self.forget_move()
            self.put_back.emit()
        else:
            super().keyPressEvent(event)

    def _choose_next(self, way: int) -> None:
        order = list(dict.fromkeys(bar.job for _, bars in self._rows for bar in bars))
        if order:
            place = order.index(self.chosen) + way if self.chosen in order else 0
            self.choose(order[min(max(place, 0), len(order) - 1)])
            self.pointed.emit(self.chosen)

    def shift(self, by: timedelta) -> None:
        """Move the chosen bar by open time; after a moment of rest it asks what that costs.

        What leaves the day comes out at the next or the last day shown.
        """
        bar, axis = self.bar, self._axis
        if bar is None or axis is None:
            return
        open_hours = axis.closes - axis.opens
        days = by.total_seconds() / 3600 / open_hours
        self.moved_to = axis.moment(max(0.0, axis.at(self.moved_to or bar.starts) + days))
        self._pause.start()
        self.update()

    def event(self, event: QEvent) -> bool:
        """Say the whole of a bar under the pointer."""
        if event.type() == QEvent.Type.ToolTip:
            at = self.mapFromGlobal(self.cursor().pos())
            bar = self.bar_at(at.x(), at.y())
            if bar is not None:
                said = f"{bar.title}\n{bar.starts:%a %d %b %H:%M} to {bar.ends:%a %d %b %H:%M}\n{bar.waits}"
                QToolTip.showText(self.cursor().pos(), said, self)
        return super().event(event)
