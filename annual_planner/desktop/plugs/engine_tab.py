"""The engine as it stands: drawing, the chosen place in words, and the table that says the same."""

from __future__ import annotations

from dataclasses import replace

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QHBoxLayout, QVBoxLayout, QWidget

from annual_planner.desktop.annual.held import HeldList
from annual_planner.desktop.desk import Desk
from annual_planner.desktop.least_height import LeastHeight
from annual_planner.desktop.listing import Words
from annual_planner.desktop.plugs.as_marks import cylinder_marks, place_marks
from annual_planner.desktop.plugs.columns import PLACES, life_lines
from annual_planner.desktop.plugs.drawn_wide import DrawnWide
from annual_planner.desktop.plugs.engine_drawing import EngineDrawing
from annual_planner.desktop.plugs.set_said import set_said
from annual_planner.desktop.split import Split
from annual_planner.desktop.widgets import button, label
from annual_planner.planning.engine_view import EngineView, PlaceView
from annual_planner.trade.engines import Place

BESIDE_LINES = 46
"""From that width, in lines of text, the table stands beside the drawing."""


class EngineTab(QWidget):
    """Drawing, and beside or below it the chosen plug's life over the table of all places."""

    pointed = Signal(object)
    opened = Signal(object)
    wants_working = Signal(object)
    """The working of the sentence about all plugs."""

    def __init__(self, desk: Desk) -> None:
        super().__init__()
        self.setAccessibleName("The engine and its plugs")
        self.view: EngineView | None = None
        self._theme = desk.theme
        self.drawing = EngineDrawing(desk.theme, "Engine with its plugs, drawn")
        self.legend = label("", faint=True)
        self.legend.setWordWrap(True)
        self.about = label("", section=True)
        self.about.setWordWrap(True)
        self.life = label("")
        self.life.setWordWrap(True)
        self.life.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
        self.whole_set = label("")
        self.whole_set.setWordWrap(True)
        words = Words("places", "No places", "The engine type says which places it has.")
        self.listing: HeldList[PlaceView] = HeldList(desk, "plugs-places", PLACES, words, small=True)
        self._lay_out()
        self.drawing.pointed.connect(self._from_drawing)
        self.drawing.opened.connect(self.opened)
        self.listing.pointed.connect(self._from_list)
        self.listing.opened.connect(lambda row: self.opened.emit(self.listing.held.rows[row].place))

    def _lay_out(self) -> None:
        left = QWidget()
        left.setAccessibleName("The engine, drawn")
        drawn = QVBoxLayout(left)
        drawn.setContentsMargins(0, 8, 6, 0)
        drawn.addWidget(DrawnWide(self.drawing), 1)
        drawn.addWidget(self.legend)
        right = QWidget()
        right.setAccessibleName("The chosen place, and all places")
        said = QVBoxLayout(right)
        said.setContentsMargins(10, 8, 0, 0)
        said.setSpacing(4)
        said.addWidget(self.about)
        said.addWidget(self.life)
        said.addWidget(self.listing, 1)
        row = QHBoxLayout()
        row.addWidget(self.whole_set, 1)
        tip = "How many plugs reach the next annual, and what it costs"
        self.set_why = button("Why?", self._show_set_why, tip=tip, quiet=True)
        row.addWidget(self.set_why)
        said.addLayout(row)
        split = Split(self._theme, "Drawing and table", left, right, beside=BESIDE_LINES)
        split.share(1, 1)
        for part in (left, right):
            LeastHeight(part)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.addWidget(split)

    def take(self, view: EngineView) -> None:
        """Show an engine."""
        self.view = view
        radial = view.engine_type.layout.is_radial
        seen = "Seen from the front" if radial else "Seen from above, propeller at the top"
        hidden = view.engine_type.rows[1].row.words
        self.legend.setText(
            f"{seen}; gaps in inches, compression in psi. A dotted outline is a {hidden} plug, a round one a"
            " plug that is out."
        )
        self.drawing.take(view.engine_type, place_marks(view), cylinder_marks(view))
        self.listing.take(rows_of(view))
        self.whole_set.setText(set_said(view))
        self.set_why.setVisible(view.outlook is not None)
        self.show_place(self.drawing.chosen or view.engine_type.places[0])

    def _show_set_why(self) -> None:
        if self.view is not None and self.view.outlook is not None:
            self.wants_working.emit(self.view.outlook.working)

    def show_place(self, at: Place) -> None:
        """Show that place in drawing, words and table."""
        if self.view is None or at not in self.view.engine_type.places:
            return
        self.drawing.choose(at)
        place = self.view.engine_type.places.index(at)
        if self.listing.current_id != place:
            self.listing.point_to(place)
        row = self.listing.held.rows[place]
        self.about.setText(_about(row))
        self.life.setText("\n".join(life_lines(row)) or "No look at this plug is written down.")

    def _from_drawing(self, at: Place) -> None:
        self.show_place(at)
        self.pointed.emit(at)

    def _from_list(self, row: int) -> None:
        if row >= 0 and self.view is not None:
            at = self.listing.held.rows[row].place
            if at != self.drawing.chosen:
                self.show_place(at)
                self.pointed.emit(at)


def _about(row: PlaceView) -> str:
    where = f"Cylinder {row.place.cylinder} {row.place.row.words}"
    if row.plug is None:
        return f"{where}: no plug"
    where = where if row.stay is not None else f"Out of {where.lower()}"
    run = f", run {row.plug.run_hours:.0f} h" if row.plug.run_hours is not None else ""
    return f"{where}: {row.plug.tag}, {row.plug.type_title}{run}"


def rows_of(view: EngineView) -> tuple[PlaceView, ...]:
    """Every place with its plug; for one that is emptied, the plug that came out of it, without a stay."""
    slots = {slot.place: slot for slot in (view.tray.slots if view.tray is not None else ())}
    return tuple(
        replace(each, plug=slots[each.place].plug, stay=None, reach=None) if each.place in slots else each
        for each in view.places
    )
