"""The bars on paper: working days beside each other, one row for each person, zone or card."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime, timedelta

from PySide6.QtCore import QEvent, QPointF, QRectF, QSize, Qt, QTimer, Signal
from PySide6.QtGui import QColor, QKeyEvent, QMouseEvent, QPainter, QPaintEvent, QWheelEvent
from PySide6.QtWidgets import QSizePolicy, QToolTip, QWidget

from annual_planner.desktop.annual.timeline.painting import Painting
from annual_planner.desktop.theme import Theme
from annual_planner.planning.crew.open_time import said_moment
from annual_planner.planning.timeline import Axis, Bar, axis_of, rows_of

QUARTER, HALF_DAY = timedelta(minutes=15), timedelta(hours=4)
NARROWEST, WIDEST, WIDER = 0.5, 6.0, 1.5
"""Widths of a day, as multiples of the ordinary one, and one step of them."""

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
    looked_at = Signal(QRectF)
    """Where the chosen bar is drawn, to be brought into view."""
    agreed = Signal()
    """Enter: the chosen bar is to be held where it stands."""
    put_back = Signal()
    """Escape: whatever was moved goes back."""

    def __init__(self, theme: Theme) -> None:
        super().__init__()
        self._theme = theme
        self._bars: tuple[Bar, ...] = ()
        self.rows: list[tuple[str, tuple[Bar, ...]]] = []
        self.axis: Axis | None = None
        self.by = "person"
        self.wide = 1.0
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
        self.axis, self.rows = axis_of(bars), rows_of(bars, by)
        if self._grip is None and not self._pause.isActive():
            self.moved_to = None
        self._fit()

    def choose(self, job: str) -> None:
        """Choose that job's bar."""
        if job != self.chosen:
            self._pause.stop()
            self.chosen, self.moved_to = job, None
            self._look_at_chosen()
            self.update()

    def widen(self, times: float) -> None:
        """Draw the days wider, or narrower."""
        self.wide = min(max(self.wide * times, NARROWEST), WIDEST)
        self._fit()
        QTimer.singleShot(0, self, self._look_at_chosen)

    def _look_at_chosen(self) -> None:
        for row, (_, bars) in enumerate(self.rows):
            for bar in bars:
                if bar.job == self.chosen:
                    self.looked_at.emit(self.box(bar, row))
                    return

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
        days = len(self.axis.days) if self.axis is not None else 1
        return QSize(
            round(self.left) + round(days * of(20) * self.wide), of(1.8) + len(self.rows) * of(1.7) + of(0.5)
        )

    @property
    def left(self) -> float:
        """Width of the words of the rows."""
        return self._theme.sizes.of(15 if self.by == "card" else 9)

    @property
    def seen_from(self) -> QPointF:
        """The corner that is in view: names and days stand beside it, however far it is scrolled."""
        return QPointF(self.visibleRegion().boundingRect().topLeft())

    def x_of(self, moment: datetime, *, ends: bool = False) -> float:
        """Where a moment lies; an end on a day that is not drawn stands at the end of the day before."""
        assert self.axis is not None
        place = self.axis.at(moment)
        if ends and place == int(place) and moment.date() not in self.axis.days:
            place = float(int(place))
        return self.left + place * self.day_wide

    @property
    def day_wide(self) -> float:
        """Width of a day."""
        days = len(self.axis.days) if self.axis is not None else 1
        return max(1.0, (self.width() - self.left - 4) / days)

    def top_of(self, row: int) -> float:
        """Upper edge of a row."""
        of = self._theme.sizes.of
        return of(1.8) + row * of(1.7)

    def box(self, bar: Bar, row: int) -> QRectF:
        """Where a bar is drawn: from its first quarter-hour to its last."""
        of = self._theme.sizes.of
        first = self.x_of(bar.pieces[0].start if bar.pieces else bar.starts)
        last = self.x_of(bar.pieces[-1].end if bar.pieces else bar.ends, ends=True)
        return QRectF(first, self.top_of(row) + of(0.2), max(last - first, 3.0), of(1.3))

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Draw days, rows and bars."""
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.fillRect(self.rect(), QColor(self._theme.colours.paper))
        if self.axis is not None:
            Painting(self, painter, self._theme, self.axis).paint()

    # -- choosing and moving

    def bar_at(self, x: float, y: float) -> Bar | None:
        """The bar drawn at a point; the uppermost of several. None under the names and the days."""
        seen = self.seen_from
        if x < seen.x() + self.left - 2 or y < seen.y() + self.top_of(0):
            return None
        for row, (_, bars) in enumerate(self.rows):
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
            self._grip = at.x() - self.x_of(bar.starts)

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        """Show where the bar would be."""
        if self._grip is None or self.axis is None or self.bar is None:
            return
        place = (event.position().x() - self._grip - self.left) / self.day_wide
        moment = self.axis.moment(place)
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

    def wheelEvent(self, event: QWheelEvent) -> None:
        """With Ctrl, draw the days wider or narrower; else scroll."""
        if event.modifiers() & Qt.KeyboardModifier.ControlModifier:
            self.widen(WIDER if event.angleDelta().y() > 0 else 1 / WIDER)
        else:
            super().wheelEvent(event)

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
        order = list(dict.fromkeys(bar.job for _, bars in self.rows for bar in bars))
        if order:
            place = order.index(self.chosen) + way if self.chosen in order else 0
            self.choose(order[min(max(place, 0), len(order) - 1)])
            self.pointed.emit(self.chosen)

    def shift(self, by: timedelta) -> None:
        """Move the chosen bar by open time; after a moment of rest it asks what that costs.

        What leaves the day comes out at the next or the last day shown.
        """
        bar, axis = self.bar, self.axis
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
                when = f"{said_moment(bar.starts)} to {said_moment(bar.ends)}"
                said = f"{bar.title}\n{when}\n{bar.waits}"
                QToolTip.showText(self.cursor().pos(), said, self)
        return super().event(event)
