"""Going in again: arrows from old to new place on the engine, and the same as a list in two columns."""

from __future__ import annotations

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QHBoxLayout, QVBoxLayout, QWidget

from annual_planner.desktop.annual.held import HeldList
from annual_planner.desktop.desk import Desk
from annual_planner.desktop.fields import ChoiceField
from annual_planner.desktop.flow import FlowRow
from annual_planner.desktop.least_height import LeastHeight
from annual_planner.desktop.listing import Words
from annual_planner.desktop.plugs.as_marks import arrows_of, place_marks
from annual_planner.desktop.plugs.columns import MOVES
from annual_planner.desktop.plugs.drawn_wide import DrawnWide
from annual_planner.desktop.plugs.engine_drawing import EngineDrawing
from annual_planner.desktop.plugs.engine_tab import BESIDE_LINES
from annual_planner.desktop.plugs.going_in import GOING_IN, IN_TRAY, Going, Plan, lines_of
from annual_planner.desktop.plugs.rotation_said import does_said, proposal_said
from annual_planner.desktop.split import Split
from annual_planner.desktop.widgets import button, label
from annual_planner.planning.engine_view import EngineView
from annual_planner.trade.engines import Place


class RotationTab(QWidget):
    """Where every plug goes. Without a tray the arrows show what the scheme would do."""

    scheme_wanted = Signal(str)
    moved_wanted = Signal(str)
    departs = Signal(object)
    """Another plug is wanted for that place."""
    straight = Signal(object)
    """The scheme's plug is wanted again for that place."""
    puts_in = Signal()
    pointed = Signal(object)
    wants_why = Signal()
    wants_working = Signal(object)
    """The working of the rotation that is proposed."""

    def __init__(self, desk: Desk) -> None:
        super().__init__()
        self.setAccessibleName("The rotation")
        self.view: EngineView | None = None
        self._theme = desk.theme
        self.drawing = EngineDrawing(desk.theme, "Rotation on the engine, drawn as arrows")
        self.scheme = ChoiceField("scheme", "Scheme")
        self.moved = ChoiceField(
            "moved",
            "Plugs change places",
            [
                (GOING_IN, "going in: the tray keeps old places"),
                (IN_TRAY, "in the tray: laid out as they go in"),
            ],
        )
        for field in (self.scheme, self.moved):
            field.box.setMinimumContentsLength(18)
        self.said = label("")
        self.said.setWordWrap(True)
        self.proposed = label("", faint=True)
        self.proposed.setWordWrap(True)
        tip = "How the proposed rotation was found"
        self.why_proposed = button("Why?", self._show_proposal, tip=tip, quiet=True)
        words = Words("moves", "No plugs are out", "The arrows show what the scheme would do with them.")
        self.listing: HeldList[Going] = HeldList(desk, "plugs-moves", MOVES, words, small=True)
        self.other = button("Another plug there…", lambda: self._with_place(self.departs.emit))
        self.back = button("As the rotation says", lambda: self._with_place(self.straight.emit))
        self.put = button("Put plugs in…", self.puts_in.emit, leading=True)
        self._lay_out()
        self._connect()

    def _lay_out(self) -> None:
        left = QWidget()
        left.setAccessibleName("The rotation, drawn")
        drawn = QVBoxLayout(left)
        drawn.setContentsMargins(0, 8, 6, 0)
        drawn.addWidget(DrawnWide(self.drawing), 1)
        right = QWidget()
        right.setAccessibleName("The rotation as a list")
        column = QVBoxLayout(right)
        column.setContentsMargins(10, 8, 0, 0)
        column.setSpacing(6)
        for field in (self.scheme, self.moved):
            column.addWidget(field.name)
            column.addWidget(field.editor)
        row = QHBoxLayout()
        row.addWidget(self.said, 1)
        row.addWidget(button("Why?", self.wants_why.emit, tip="How it was worked out (F4)", quiet=True))
        column.addLayout(row)
        beside = QHBoxLayout()
        beside.addWidget(self.proposed, 1)
        beside.addWidget(self.why_proposed)
        column.addLayout(beside)
        column.addWidget(self.listing, 1)
        flow = FlowRow()
        for each in (self.put, self.other, self.back):
            flow.addWidget(each)
        column.addLayout(flow)
        split = Split(self._theme, "Arrows and list", left, right, beside=BESIDE_LINES)
        split.share(7, 5)
        for part in (left, right):
            LeastHeight(part)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(0, 0, 0, 0)
        whole.addWidget(split)

    def _connect(self) -> None:
        self.scheme.left.connect(lambda: self.scheme_wanted.emit(self.scheme.value()))
        self.moved.left.connect(lambda: self.moved_wanted.emit(self.moved.value()))
        self.drawing.pointed.connect(self._from_drawing)
        self.drawing.opened.connect(lambda _at: self._with_place(self.departs.emit))
        self.listing.pointed.connect(self._from_list)
        self.listing.opened.connect(lambda _row: self._with_place(self.departs.emit))

    # -- showing ---------------------------------------------------------------------------------------

    def take(self, view: EngineView, scheme_key: str, *, may_edit: bool) -> None:
        """Show the scheme of that key, with the departures that were chosen."""
        self.view = view
        shown = {each.value.scheme.key: each for each in view.schemes}.get(scheme_key, view.scheme)
        self.scheme.offer((each.value.scheme.key, each.value.scheme.title) for each in view.schemes)
        self.scheme.put(shown.value.scheme.key)
        out = view.tray is not None
        self.moved.put(view.tray.line.moved if view.tray is not None else GOING_IN)
        moves = Plan(view).moves() if out else shown.value.scheme.moves
        self.drawing.take(
            view.engine_type, place_marks(view), arrows=arrows_of(moves, shown.value.scheme.moves)
        )
        self.listing.take(Plan(view).lines() if out else lines_of(view, shown.value.scheme.moves))
        self.said.setText(self._said(view, does_said(shown.value)))
        proposal = proposal_said(view, shown.value.scheme.key)
        self.proposed.setText(proposal)
        for part in (self.proposed, self.why_proposed):
            part.setVisible(bool(proposal))
        for each in (self.other, self.back, self.put):
            each.setVisible(may_edit)
            each.setEnabled(out)
        self.moved.box.setEnabled(may_edit)

    def _show_proposal(self) -> None:
        if self.view is not None:
            self.wants_working.emit(self.view.proposal.working)

    def _said(self, view: EngineView, does: str) -> str:
        if view.tray is None:
            return f"If it were done today: {does}"
        lines = Plan(view).lines()
        still = ", ".join(str(line.place) for line in lines if line.is_open)
        departs = sum(line.departs for line in lines)
        said = [f"Still to choose: a plug for {still}."] if still else []
        said += [f"▲ {view.tray.goes_in_refused}"] if view.tray.goes_in_refused else []
        said += [f"{departs} depart from the rotation, with a reason."] if departs else []
        said.append(does)
        return " ".join(said)

    @property
    def going(self) -> Going | None:
        """The chosen line: what goes into the chosen place."""
        rows, row = self.listing.held.rows, self.listing.current_id
        return rows[row] if 0 <= row < len(rows) else None

    def show_place(self, at: Place) -> None:
        """Show the way of the plug that is, or was, in that place."""
        if self.view is None or at not in self.view.engine_type.places:
            return
        self.drawing.choose(at)
        rows = self.listing.held.rows
        row = next((row for row, line in enumerate(rows) if line.came_from == at), -1)
        if row >= 0 and self.listing.current_id != row:
            self.listing.point_to(row)

    def _from_drawing(self, at: Place) -> None:
        self.show_place(at)
        self.pointed.emit(at)

    def _from_list(self, row: int) -> None:
        if row >= 0:
            line = self.listing.held.rows[row]
            self.drawing.choose(line.came_from or line.place)

    def _with_place(self, tell: object) -> None:
        going = self.going
        if going is not None and callable(tell):
            tell(going.place)
