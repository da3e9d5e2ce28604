"""All cylinders over the years in one look: small drawings side by side, and a grid of the numbers."""

from __future__ import annotations

from dataclasses import dataclass

from PySide6.QtCore import QLineF, QPointF, QRectF, QSize, Qt, Signal
from PySide6.QtGui import QColor, QFont, QKeyEvent, QMouseEvent, QPainter, QPaintEvent, QPen, QResizeEvent
from PySide6.QtWidgets import QSizePolicy, QSplitter, QVBoxLayout, QWidget

from annual_planner.desktop.annual.held import HeldList
from annual_planner.desktop.column_room import LAST_RESORT
from annual_planner.desktop.columns import Column, day_text, hours_text
from annual_planner.desktop.desk import Desk
from annual_planner.desktop.least_rows import LeastRows
from annual_planner.desktop.listing import Words
from annual_planner.desktop.plugs.as_marks import judged_word
from annual_planner.desktop.plugs.pictures_of import compression_picture
from annual_planner.desktop.plugs.trend_chart import draw_mark
from annual_planner.desktop.plugs.trend_picture import Picture, Run
from annual_planner.desktop.signs import draw_sign
from annual_planner.desktop.theme import Theme
from annual_planner.planning.engine_view import EngineView, TestView


def _psi(number: int, aside: int) -> Column[TestView]:
    def text(test: TestView) -> str:
        reading = test.reading(number)
        return "" if reading is None else f"{reading.line.reading_psi:g}"

    def sign(test: TestView) -> str:
        reading = test.reading(number)
        word = judged_word(reading) if reading is not None else ""
        return "" if word in ("within limits", "not judged") else word

    def by(test: TestView) -> float:
        reading = test.reading(number)
        return reading.line.reading_psi if reading is not None else 0.0

    return Column(
        f"c{number}", f"Cyl {number}", text, f"c{number}", 7, right=True, sign=sign, by=by, aside=aside
    )


def _spread(test: TestView) -> str:
    return f"{test.judged.value.spread_psi:g}" if test.judged is not None else ""


def grid_columns(cylinders: int) -> tuple[Column[TestView], ...]:
    """Day, hours, the spread, and one column for each cylinder: the last of them steps aside first."""
    first: tuple[Column[TestView], ...] = (
        Column(
            "on", "Tested", lambda row: day_text(row.line.tested_on), "on", 12, by=lambda r: r.line.tested_on
        ),
        Column(
            "hours",
            "Engine (h)",
            lambda row: hours_text(row.line.engine_hours),
            "hours",
            12,
            right=True,
            aside=2,
        ),
    )
    spread: Column[TestView] = Column("spread", "Spread (psi)", _spread, "spread", 12, right=True, aside=1)
    numbers = range(1, cylinders + 1)
    return (*first, spread, *(_psi(number, LAST_RESORT + cylinders - number) for number in numbers))


@dataclass(frozen=True, slots=True)
class Small:
    """One small drawing: its run, number and word."""

    cylinder: int
    run: Run
    word: str


class SmallDrawings(QWidget):
    """One panel for each cylinder, all to one scale, with the limit across; a click opens its trend."""

    opened = Signal(int)

    def __init__(self, theme: Theme) -> None:
        super().__init__()
        self._theme = theme
        self._picture = Picture((), "", 0)
        self._panels: tuple[Small, ...] = ()
        self.chosen = 1
        self.setAccessibleName("Compression of all cylinders, drawn side by side")
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)
        theme.changed.connect(self.updateGeometry)
        theme.changed.connect(self.update)

    def take(self, picture: Picture, panels: tuple[Small, ...]) -> None:
        """Show these panels."""
        self._picture, self._panels = picture, panels
        said = [f"{p.cylinder}: {p.run.points[-1].value:g} {p.word}" for p in panels if p.run.points]
        self.setAccessibleDescription("; ".join(said) or "no test yet")
        self.updateGeometry()
        self.update()

    @property
    def _columns(self) -> int:
        count = max(1, len(self._panels))
        wanted = 3 if count in (5, 6, 9) else min(4, count) if count <= 8 else 5
        most = max(1, min(wanted, int(self.width() / (self._theme.sizes.line * 14))))
        return -(-count // -(-count // most))

    @property
    def _lines(self) -> int:
        return -(-len(self._panels) // self._columns) if self._panels else 1

    def sizeHint(self) -> QSize:
        """Room for every panel."""
        return QSize(self._theme.sizes.of(40), self._theme.sizes.of(7.5 * self._lines))

    def minimumSizeHint(self) -> QSize:
        """Still readable."""
        return QSize(self._theme.sizes.of(14), self._theme.sizes.of(5.2 * self._lines))

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Fewer beside each other need more height."""
        super().resizeEvent(event)
        if event.size().width() != event.oldSize().width():
            self.updateGeometry()

    def box_of(self, place: int) -> QRectF:
        """Where a panel stands, in pixels."""
        wide, high = self.width() / self._columns, self.height() / self._lines
        down, across = divmod(place, self._columns)
        return QRectF(across * wide, down * high, wide, high).adjusted(4, 4, -4, -4)

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Draw every panel."""
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        for place, panel in enumerate(self._panels):
            self._draw_panel(painter, self.box_of(place), panel)
        painter.end()

    def _draw_panel(self, painter: QPainter, box: QRectF, panel: Small) -> None:
        inks, line = self._theme.colours, self._theme.sizes.line
        chosen = panel.cylinder == self.chosen
        painter.setPen(QPen(QColor(inks.accent if chosen and self.hasFocus() else inks.rule), 1.4))
        painter.setBrush(QColor(inks.paper))
        painter.drawRoundedRect(box, 2, 2)
        head = QRectF(box.left() + line * 0.5, box.top() + line * 0.25, box.width() - line, line * 1.3)
        self._write(painter, head, f"Cylinder {panel.cylinder}", bold=True)
        if not panel.run.points:
            return
        last = panel.run.points[-1].value
        word = f"{last:g} psi  {panel.word}"
        measure = painter.fontMetrics().horizontalAdvance
        if measure(f"Cylinder {panel.cylinder}  {word}") + line * 2.2 > head.width():
            word = f"{last:g} psi"  # the sign beside it says the rest, and the grid below
        self._write(painter, head, word, right=True)
        wide = painter.fontMetrics().horizontalAdvance(word)
        side = line * 0.62
        sign = QRectF(head.right() - wide - line, head.center().y() - side / 2, side, side)
        draw_sign(painter, sign, panel.word, inks)
        self._draw_line(painter, box.adjusted(line * 0.8, line * 1.9, -line * 0.8, -line * 0.7), panel.run)

    def _draw_line(self, painter: QPainter, area: QRectF, run: Run) -> None:
        inks, line = self._theme.colours, self._theme.sizes.line
        first, last, low, high = self._span()

        def spot(hours: float, value: float) -> QPointF:
            return QPointF(
                area.left() + area.width() * (hours - first) / (last - first),
                area.bottom() - area.height() * (value - low) / (high - low),
            )

        for value, words in self._picture.limits:
            y = spot(first, value).y()
            painter.setPen(QPen(QColor(inks.ink), 1.2, Qt.PenStyle.DashLine))
            painter.drawLine(QLineF(area.left(), y, area.right(), y))
            above = QRectF(area.left(), y - line * 1.15, area.width(), line * 1.1)
            self._write(painter, above, words, right=True)
        spots = [spot(point.hours, point.value) for point in run.points]
        painter.setPen(QPen(QColor(inks.accent), 1.8))
        for place in range(1, len(spots)):
            if not run.points[place].breaks:
                painter.drawLine(QLineF(spots[place - 1], spots[place]))
        painter.setBrush(QColor(inks.paper))
        for at in spots:
            draw_mark(painter, at, line * 0.22, "circle")

    def _span(self) -> tuple[float, float, float, float]:
        points = [point for run in self._picture.runs for point in run.points]
        values = [point.value for point in points] + [value for value, _words in self._picture.limits]
        hours = [point.hours for point in points]
        return min(hours), max(max(hours), min(hours) + 1), min(values) - 1, max(values) + 1

    def _write(
        self, painter: QPainter, box: QRectF, text: str, *, right: bool = False, bold: bool = False
    ) -> None:
        font = QFont(self.font())
        font.setBold(bold)
        painter.setFont(font)
        painter.setPen(QColor(self._theme.colours.ink))
        side = Qt.AlignmentFlag.AlignRight if right else Qt.AlignmentFlag.AlignLeft
        painter.drawText(box, Qt.AlignmentFlag.AlignVCenter | side, text)

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Open the trend of the cylinder under the pointer."""
        for place, panel in enumerate(self._panels):
            if self.box_of(place).contains(event.position()):
                self.chosen = panel.cylinder
                self.opened.emit(panel.cylinder)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Arrow keys go from panel to panel; Enter opens the trend."""
        steps = {
            Qt.Key.Key_Left: -1,
            Qt.Key.Key_Right: 1,
            Qt.Key.Key_Up: -self._columns,
            Qt.Key.Key_Down: self._columns,
        }
        step = steps.get(Qt.Key(event.key()))
        if step is not None and 1 <= self.chosen + step <= len(self._panels):
            self.chosen += step
            self.update()
        elif event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter) and self._panels:
            self.opened.emit(self.chosen)
        else:
            super().keyPressEvent(event)


class CompareTab(QWidget):
    """Small drawings over the grid of numbers; both open what they show."""

    opens_cylinder = Signal(int)
    opens_test = Signal(int)

    def __init__(self, desk: Desk) -> None:
        super().__init__()
        self.setAccessibleName("All cylinders")
        self._desk = desk
        self.small = SmallDrawings(desk.theme)
        self.grid: HeldList[TestView] | None = None
        self._split = QSplitter(Qt.Orientation.Vertical)
        self._split.setAccessibleName("Drawings and numbers")
        self._split.setChildrenCollapsible(False)
        self._split.addWidget(self.small)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 8, 0, 0)
        column.addWidget(self._split)
        self.small.opened.connect(self.opens_cylinder)
        self._cylinders = 0

    def take(self, view: EngineView) -> None:
        """Show an engine."""
        self._fit(view.engine_type.cylinder_count)
        picture, _said = compression_picture(view, None)
        panels = []
        for number, run in enumerate(picture.runs, start=1):
            found = view.cylinder(number)
            latest = found.latest if found is not None else None
            panels.append(Small(number, run, judged_word(latest) if latest is not None else "no test"))
        self.small.take(picture, tuple(panels))
        if self.grid is not None:
            self.grid.take(view.tests)

    def _fit(self, cylinders: int) -> None:
        """Give the grid a column for each cylinder."""
        if cylinders == self._cylinders:
            return
        if self.grid is not None:
            self.grid.setParent(None)
            self.grid.deleteLater()
        self._cylinders = cylinders
        words = Words("tests", "No compression test yet", "Each test is a line here, each cylinder a column.")
        grid: HeldList[TestView] = HeldList(
            self._desk, f"plugs-grid-{cylinders}", grid_columns(cylinders), words
        )
        for part in (
            grid.search,
            grid.count,
        ):  # what stands above the rows then is which columns stepped aside
            part.hide()
        LeastRows(grid)
        grid.opened.connect(lambda row: self.opens_test.emit(grid.held.rows[row].line.test_id))
        self.grid = grid
        self._split.addWidget(grid)
        self._split.setStretchFactor(0, 3)
        self._split.setStretchFactor(1, 2)
