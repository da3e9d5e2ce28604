"""Where compressions and gaps are heading over engine hours: a drawing, and the table of the same points."""

from __future__ import annotations

from dataclasses import dataclass

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QHBoxLayout, QSplitter, QVBoxLayout, QWidget

from annual_planner.desktop.annual.held import HeldList
from annual_planner.desktop.column_room import LAST_RESORT
from annual_planner.desktop.columns import Column
from annual_planner.desktop.desk import Desk
from annual_planner.desktop.fields import ChoiceField
from annual_planner.desktop.flow import FlowRow
from annual_planner.desktop.listing import Words
from annual_planner.desktop.plugs.pictures_of import compression_picture, gap_picture, held_plugs
from annual_planner.desktop.plugs.trend_chart import TrendChart
from annual_planner.desktop.plugs.trend_picture import Picture, Point
from annual_planner.desktop.widgets import button, label
from annual_planner.planning.engine_view import EngineView
from annual_planner.trade.working import Working

COMPRESSION, GAP = "compression", "gap"


@dataclass(frozen=True, slots=True)
class PointRow:
    """One point of a chart as a row of its table."""

    run: str
    hours: str
    value: str
    said: str
    key: int


POINTS: tuple[Column[PointRow], ...] = (
    Column("run", "Of", lambda row: row.run, "run", 14),
    Column("hours", "Engine (h)", lambda row: row.hours, "hours", 12, right=True, aside=LAST_RESORT),
    Column("value", "Value", lambda row: row.value, "value", 10, right=True),
    Column("said", "What", lambda row: row.said, "said", 44, aside=1),
)


class TrendsTab(QWidget):
    """One cylinder or plug stands out among the others; what is forecast of it is said in words too."""

    opens_test = Signal(int)
    opens_look = Signal(int)
    """A look at a plug: the place of its plug is to be shown. Carries the plug's id."""
    wants_why = Signal()

    def __init__(self, desk: Desk) -> None:
        super().__init__()
        self.setAccessibleName("Trends")
        self.view: EngineView | None = None
        self._of: int | None = None
        self.what = ChoiceField("what", "Show", [(COMPRESSION, "Compression"), (GAP, "Gap of each plug")])
        self.which = ChoiceField("which", "Look at")
        for field in (self.what, self.which):
            field.box.setMinimumContentsLength(15)
        self.said = label("")
        self.said.setWordWrap(True)
        self.chart = TrendChart(desk.theme, "Trend over engine hours, drawn")
        words = Words("points", "Nothing was measured yet", "Tests and looks stand here once they are made.")
        self.points: HeldList[PointRow] = HeldList(desk, "plugs-points", POINTS, words, small=True)
        self._lay_out()
        self._connect()

    def _lay_out(self) -> None:
        choices = FlowRow()
        for field in (self.what, self.which):
            choices.addWidget(field.name)
            choices.addWidget(field.editor)
        row = QHBoxLayout()
        row.addWidget(self.said, 1)
        row.addWidget(button("Why?", self.wants_why.emit, tip="How it was worked out (F4)", quiet=True))
        split = QSplitter(Qt.Orientation.Vertical)
        split.setAccessibleName("Chart and table")
        split.setChildrenCollapsible(False)
        split.addWidget(self.chart)
        split.addWidget(self.points)
        split.setSizes([420, 190])
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 8, 0, 0)
        column.addLayout(choices)
        column.addLayout(row)
        column.addWidget(split, 1)

    def _connect(self) -> None:
        self.what.left.connect(self._other_kind)
        self.which.left.connect(self._draw)
        self.chart.opened.connect(self._open)
        self.chart.turned.connect(self._turn)
        self.points.opened.connect(lambda row: self._open(self.points.held.rows[row].key))

    # -- showing ---------------------------------------------------------------------------------------

    def take(self, view: EngineView) -> None:
        """Show an engine."""
        other, self._of = self._of != view.assembly_id, view.assembly_id
        self.view = view
        self._offer()
        if other and self.what.value() == COMPRESSION:
            self.which.put(weakest(view))
        self._draw()

    def _other_kind(self) -> None:
        self._offer()
        self._draw()

    def _offer(self) -> None:
        if self.view is None:
            return
        if self.what.value() == COMPRESSION:
            self.which.offer((each.cylinder, f"Cylinder {each.cylinder}") for each in self.view.cylinders)
        else:
            self.which.offer((plug.plug_id, f"{at}  {plug.tag}") for at, plug in held_plugs(self.view))

    def _draw(self) -> None:
        if self.view is None:
            return
        if self.what.value() == COMPRESSION:
            picture, said = compression_picture(self.view, self.which.value())
        else:
            picture, said = gap_picture(self.view, self.which.value())
        self.chart.take(picture)
        self.said.setText(said)
        self.points.take(rows_of(picture))

    def show_cylinder(self, cylinder: int) -> None:
        """Let that cylinder stand out."""
        self.what.put(COMPRESSION)
        self._offer()
        self.which.put(cylinder)
        self._draw()

    def show_plug(self, plug_id: int) -> None:
        """Let the gap of that plug stand out."""
        self.what.put(GAP)
        self._offer()
        self.which.put(plug_id)
        self._draw()

    def working(self) -> Working | None:
        """How the trend that stands out was worked out."""
        if self.view is None:
            return None
        if self.what.value() == COMPRESSION:
            found = self.view.cylinder(self.which.value() or 0)
            return found.trend.working if found is not None and found.trend is not None else None
        plug = next((each for _at, each in held_plugs(self.view) if each.plug_id == self.which.value()), None)
        return plug.wear.working if plug is not None and plug.wear is not None else None

    def _turn(self, step: int) -> None:
        box = self.which.box
        box.setCurrentIndex((box.currentIndex() + step) % max(1, box.count()))
        self._draw()

    def _open(self, key: int) -> None:
        if self.what.value() == COMPRESSION:
            self.opens_test.emit(key)
        else:
            self.opens_look.emit(self.which.value() or 0)


def weakest(view: EngineView) -> int:
    """The cylinder whose newest reading is the lowest; the first one where none was read."""
    read = [
        (each.latest.line.reading_psi, each.cylinder) for each in view.cylinders if each.latest is not None
    ]
    return min(read, default=(0.0, 1))[1]


def rows_of(picture: Picture) -> list[PointRow]:
    """The points of the runs that stand out, else of all, newest first."""
    loud = [run for run in picture.runs if run.loud] or list(picture.runs)
    return [_row(run.name, point, picture) for run in loud for point in reversed(run.points)]


def _row(run: str, point: Point, picture: Picture) -> PointRow:
    value = f"{point.value:.{picture.places}f} {picture.short_unit}"
    return PointRow(run, f"{point.hours:.1f}", value, point.said, point.key)
