"""Bays against weeks, drawn; choosing, moving and releasing a visit by pointer and by keys."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, timedelta

from PySide6.QtCore import QEvent, QObject, QRectF, QSize, Qt, Signal
from PySide6.QtGui import QColor, QHelpEvent, QKeyEvent, QMouseEvent, QPainter, QPaintEvent
from PySide6.QtWidgets import QSizePolicy, QToolTip, QWidget

from annual_planner.desktop.theme import Theme
from annual_planner.desktop.weeks.columns import closed_text, day_word, room_text, week_text
from annual_planner.desktop.weeks.grid import Grid
from annual_planner.desktop.weeks.paint import WeeksPainter
from annual_planner.planning.shop_weeks.kept import VisitLine
from annual_planner.planning.shop_weeks.lanes import Bar, Lanes
from annual_planner.planning.shop_weeks.visits import Visit

NONE = Lanes(date(2000, 1, 3), (), (), ())
A_MONTH = 4
"""Weeks that an arrow with Ctrl moves by."""


class WeeksDrawing(QWidget):
    """Up and Down choose a visit, Left and Right move it by a week (with Ctrl by four).

    Enter asks what that costs and then keeps it, Delete releases a pin, Escape puts it back. A bar can be
    dragged.
    """

    pointed = Signal(int)
    """The airplane that is chosen."""
    placed = Signal(int, object)
    """An airplane was put into the week of a Monday."""
    released = Signal(int)
    put_back = Signal()

    def __init__(self, theme: Theme, today: date) -> None:
        super().__init__()
        self._theme = theme
        self._today = today
        self.lanes = NONE
        self.scale = "half-year"
        self.chosen: int | None = None
        self._line: VisitLine | None = None
        self.moved_to: date | None = None
        self.tried: tuple[Bar, ...] = ()
        self._grip: float | None = None
        self.setAccessibleName("Bays against weeks, drawn; the list of visits below says the same")
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.MinimumExpanding)
        theme.changed.connect(self._fit)

    # -- what is drawn

    def take(self, lanes: Lanes, today: date) -> None:
        """Draw this plan; what was about to move is put back."""
        self.lanes, self._today = lanes, today
        self.forget_move()
        self._fit()

    def show_scale(self, scale: str) -> None:
        """Draw a quarter, half a year or the year in the room there is."""
        self.scale = scale
        self._fit()

    def choose(self, line: VisitLine | None) -> None:
        """Choose that visit and show its window."""
        key = line.key if line is not None else None
        if key != self.chosen:
            self.forget_move()
        self.chosen, self._line = key, line
        self.setAccessibleDescription(spoken(line) if line is not None else "no visit is chosen")
        self.update()

    def show_tried(self, monday: date, bars: Sequence[Bar]) -> None:
        """Show dashed where bars would be."""
        self.moved_to, self.tried = monday, tuple(bars)
        self.update()

    def forget_move(self) -> None:
        """Show nothing but the plan."""
        self.moved_to, self.tried, self._grip = None, (), None
        self.update()

    @property
    def bar(self) -> Bar | None:
        """The chosen bar."""
        return next((bar for bar in self.lanes.bars if bar.line.key == self.chosen), None)

    def chosen_box(self) -> QRectF | None:
        """Where the chosen bar is drawn."""
        return self.grid.box(self.bar) if self.bar is not None else None

    def box_of(self, key: int) -> QRectF:
        """Where an airplane's bar is drawn. LookupError for one that has none."""
        for bar in self.lanes.bars:
            if bar.line.key == key:
                return self.grid.box(bar)
        raise LookupError(key)

    @property
    def grid(self) -> Grid:
        """Where things lie now."""
        holder = self.parentWidget()
        seen = holder.width() if holder is not None else 0
        return Grid(self.lanes, self._theme.sizes, self.width(), self.height(), self.scale, seen)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Fit the weeks of the scale into another width."""
        if event.type() == QEvent.Type.Resize and watched is self.parentWidget():
            self._fit()
        return super().eventFilter(watched, event)

    def _fit(self) -> None:
        self.setMinimumSize(self.sizeHint())
        self.updateGeometry()
        self.update()

    def sizeHint(self) -> QSize:
        """Room for every lane and for weeks of the chosen scale."""
        return QSize(*self.grid.least)

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Draw it all; the names stay at the edge that is seen."""
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        inks = self._theme.colours
        painter.fillRect(self.rect(), QColor(inks.paper))
        if not self.lanes.loads and not self.lanes.bars:
            return
        visit = self._line.visit if self._line is not None else None
        ink = WeeksPainter(painter, self.grid, inks)
        ink.ground(visit)
        ink.head(self._today)
        ink.loads()
        ink.bars(self.lanes.bars, self.chosen)
        if visit is not None:
            ink.due(visit)
        ink.moved(self.tried or self._ghost(), self.chosen)
        ink.names(max(0, -self.pos().x()), focused=self.hasFocus())

    def _ghost(self) -> tuple[Bar, ...]:
        """The chosen bar in the week it is moved to, before it is known what that costs."""
        bar, monday = self.bar, self.moved_to
        if bar is None or monday is None:
            return ()
        by = monday - (bar.line.week_on or monday)
        return (Bar(bar.line, bar.lane, bar.first_on + by, bar.last_on + by),)

    # -- pointer

    def _under(self, x: float, y: float) -> Bar | None:
        grid = self.grid
        if x < grid.left + max(0, -self.pos().x()):
            return None
        hits = (bar for bar in self.lanes.bars if grid.box(bar).adjusted(-1, 0, 1, 0).contains(x, y))
        return next(hits, None)

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Choose the bar under the pointer and take hold of it."""
        at = event.position()
        bar = self._under(at.x(), at.y())
        if bar is not None and event.button() == Qt.MouseButton.LeftButton:
            self.pointed.emit(bar.line.key)
            self._grip = at.x()

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        """Show the week the bar would be in."""
        bar = self.bar
        if self._grip is None or bar is None or bar.line.week_on is None:
            return
        weeks = round((event.position().x() - self._grip) / self.grid.week_wide)
        self._move_to(bar.line.week_on + timedelta(weeks=weeks), exactly=True)

    def mouseReleaseEvent(self, _event: QMouseEvent) -> None:
        """Let go: ask what it costs there."""
        held, self._grip = self._grip is not None, None
        bar = self.bar
        if held and bar is not None and self.moved_to is not None and not self.tried:
            if self.moved_to == bar.line.week_on:
                self.put_back.emit()
            else:
                self.placed.emit(bar.line.key, self.moved_to)

    # -- keys

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Choose, move, pin and release by keys."""
        key, far = event.key(), bool(event.modifiers() & Qt.KeyboardModifier.ControlModifier)
        bar = self.bar
        if key in (Qt.Key.Key_Up, Qt.Key.Key_Down):
            self._choose_next(1 if key == Qt.Key.Key_Down else -1)
        elif key in (Qt.Key.Key_Left, Qt.Key.Key_Right) and bar is not None:
            step = A_MONTH if far else 1
            self._shift(step if key == Qt.Key.Key_Right else -step)
        elif key in (Qt.Key.Key_Return, Qt.Key.Key_Enter) and bar is not None:
            self.placed.emit(bar.line.key, self.moved_to or bar.line.week_on)
        elif key in (Qt.Key.Key_Delete, Qt.Key.Key_Backspace) and bar is not None:
            self.released.emit(bar.line.key)
        elif key == Qt.Key.Key_Escape and self.moved_to is not None:
            self.put_back.emit()
        else:
            super().keyPressEvent(event)

    def _choose_next(self, way: int) -> None:
        order = [bar.line.key for bar in self.lanes.bars]
        if order:
            place = order.index(self.chosen) + way if self.chosen in order else 0
            self.pointed.emit(order[min(max(place, 0), len(order) - 1)])

    def _shift(self, by: int) -> None:
        bar = self.bar
        here = self.moved_to or (bar.line.week_on if bar is not None else None)
        if here is not None:
            self._move_to(here + timedelta(weeks=by), way=1 if by > 0 else -1)

    def _move_to(self, monday: date, *, way: int = 1, exactly: bool = False) -> None:
        """Move to a week that is planned and open; a shut one is stepped over by keys."""
        open_weeks = [each.week.monday for each in self.lanes.loads if not each.shut]
        if monday not in open_weeks:
            if exactly or not open_weeks:
                return
            beyond = [each for each in open_weeks if (each > monday) == (way > 0)] or open_weeks
            monday = min(beyond, key=lambda each: abs(each - monday))
        if monday != self.moved_to:
            self.moved_to, self.tried = monday, ()
            self.update()

    def event(self, event: QEvent) -> bool:
        """Say what is under the pointer; watch what it is shown in, whose width decides that of a week."""
        holder = self.parentWidget()
        if event.type() == QEvent.Type.ParentChange and holder is not None:
            holder.installEventFilter(self)
        if isinstance(event, QHelpEvent) and event.type() == QEvent.Type.ToolTip:
            said = self._said_at(event.pos().x(), event.pos().y())
            QToolTip.showText(event.globalPos(), said, self) if said else QToolTip.hideText()
            return True
        return super().event(event)

    def _said_at(self, x: float, y: float) -> str:
        bar = self._under(x, y)
        if bar is not None:
            return spoken(bar.line)
        monday = self.grid.monday_at(x) if x > self.grid.left else None
        load = next((each for each in self.lanes.loads if each.week.monday == monday), None)
        if load is None:
            return ""
        hours = f"{load.hours:.0f} h planned, {load.room_hours:.0f} h may be, {load.week.hours:.0f} h in all"
        closed = f"\nClosed {closed_text(load)}" if load.week.closed else ""
        return f"Week of {week_text(load.week.monday)}: {room_text(load)}\n{hours}{closed}"


def spoken(line: VisitLine) -> str:
    """A visit in words: where it stands, when, and what that gives up."""
    placed, visit = line.placed, line.visit
    if placed.first_on is None:
        when = "no week yet" if line.week_on is None else f"week of {week_text(line.week_on)}, no bay free"
    else:
        when = f"{placed.bay}, {day_word(placed.first_on)} to {day_word(placed.last_on)}"
    window = f"may come {week_text(visit.earliest_on)} to {week_text(visit.latest_on)}"
    pinned = "pinned" if line.pinned else ""
    parts = (f"{line.registration}: {when}", pinned, line.why or line.standing, window, _due(visit))
    return "; ".join(each for each in parts if each)


def _due(visit: Visit) -> str:
    return "" if visit.due_on == visit.latest_on else f"due {week_text(visit.due_on)}"
