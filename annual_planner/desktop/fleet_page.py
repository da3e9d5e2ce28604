"""Fleet: airplanes by what comes first, and what is due across all of them."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import cached_property
from typing import TYPE_CHECKING, TypedDict

from PySide6.QtCore import Qt
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QMenu, QSplitter, QTabWidget

from annual_planner.desktop.airplane_sheet import AirplaneSummary
from annual_planner.desktop.desk import Desk
from annual_planner.desktop.fleet_columns import STATES, due_columns, fleet_columns
from annual_planner.desktop.later import Later
from annual_planner.desktop.listing import Listing, Words
from annual_planner.desktop.page import AskWhy, Page
from annual_planner.desktop.source import FleetSource, Query

if TYPE_CHECKING:
    from pathlib import Path

    from annual_planner.store.rows import DueLine, FleetLine
    from annual_planner.store.session import Work
    from annual_planner.store.sorting import Then
    from annual_planner.trade.working import Working

AIRPLANES = Words(
    "airplanes",
    "No airplanes yet",
    "This is where the airplanes stand that you look after, first things first. "
    "One that another keeper handed over is taken in from the File menu.",
    "Add an airplane",
)
OWN = Words(
    "airplanes", "No airplane of yours", "Pick your name at the foot of the rail to see your airplanes."
)
DUES = Words(
    "requirements", "Nothing is due", "Requirements of all airplanes stand here, what comes first on top."
)


class _Asked(TypedDict):
    """What both lists ask the fleet for."""

    order: str
    descending: bool
    search: str
    state: str
    owner_id: int | None
    then: Then | None


class FleetPage(Page):
    """Two lists: airplanes, with a summary of the chosen one, and the due list across the fleet."""

    place = "fleet"
    title = "Fleet"
    listens = frozenset({"aircraft", "reading", "requirement", "compliance", "due", "package", "person"})

    def __init__(self, desk: Desk) -> None:
        super().__init__(desk)
        self.tabs = QTabWidget()
        self.tabs.setDocumentMode(True)
        self.tabs.tabBar().setDrawBase(False)
        self.tabs.setAccessibleName("Airplanes or due list")
        self.tabs.tabBar().setAccessibleName("Airplanes or due list")
        self.airplanes = self._airplane_list()
        self.summary = AirplaneSummary(desk)
        split = QSplitter(Qt.Orientation.Horizontal)
        split.setChildrenCollapsible(False)
        split.addWidget(self.airplanes)
        split.addWidget(self.summary)
        split.setStretchFactor(0, 1)
        split.setAccessibleName("Airplanes and summary")
        self.tabs.addTab(split, "Airplanes")
        self.tabs.addTab(Later(lambda: self.dues, "Due list"), "Due list")
        self.body.addWidget(self.tabs, 1)
        self._add_actions()
        self._connect()

    def _asked(self, query: Query) -> _Asked:
        """What the person may see of what was asked for."""
        return {
            "order": query.order or "comes_first",
            "descending": query.descending,
            "search": query.search,
            "state": query.state,
            "owner_id": self.desk.who.person.sees_owner_id,
            "then": query.then,
        }

    def _airplane_list(self) -> Listing[FleetLine]:
        def ids(work: Work, query: Query) -> list[int]:
            from annual_planner.store import fleet_reads

            return fleet_reads.fleet_ids(work, **self._asked(query))

        def rows(work: Work, wanted: Sequence[int]) -> list[FleetLine]:
            from annual_planner.store import fleet_reads

            return list(fleet_reads.fleet_lines(work, wanted))

        source = FleetSource(self.desk.jobs, self, ids, rows, lambda line: line.aircraft_id)
        columns = fleet_columns(self.desk.today)
        return Listing(
            self.desk, "fleet", columns, source, AIRPLANES, states=STATES, next_step=self.add_airplane
        )

    @cached_property
    def dues(self) -> Listing[DueLine]:
        """The due list, made when it is first turned to."""

        def ids(work: Work, query: Query) -> list[int]:
            from annual_planner.store import fleet_reads

            return fleet_reads.due_ids(work, **self._asked(query))

        def rows(work: Work, wanted: Sequence[int]) -> list[DueLine]:
            from annual_planner.store import fleet_reads

            return list(fleet_reads.due_lines(work, wanted))

        def count(work: Work) -> int:
            from annual_planner.store import fleet_reads

            return fleet_reads.due_count(work, owner_id=self.desk.who.person.sees_owner_id)

        source = FleetSource(self.desk.jobs, self, ids, rows, lambda line: line.requirement_id, count=count)
        made = Listing(self.desk, "due", due_columns(self.desk.today), source, DUES, states=STATES)
        made.opened.connect(lambda _id: self.open_airplane())
        made.pointed.connect(lambda _id: self._allow())
        made.table.dataChanged.connect(self._allow)
        made.answered.connect(made.choose_first)
        made.fill_menu = self._due_menu
        return made

    def _add_actions(self) -> None:
        self.open_action = self.action(
            "&Open airplane",
            self.open_airplane,
            key="Ctrl+Return",
            tip="Its times, dues and history",
            drawing="aircraft",
        )
        self.plugs_action = self.action(
            "Plu&gs and cylinders",
            self.open_plugs,
            key="Ctrl+Shift+Y",
            tip="The plugs, tray, compression and trends of its engine",
            drawing="plugs",
        )
        self.plan_action = self.action(
            "&Plan annual", self.plan_annual, key="Ctrl+P", tip="Plan the annual of the chosen airplane",
            drawing="plan", button=True, leading=True, edits=True,
        )  # fmt: skip
        self.add_action = self.action(
            "&Add airplane…", self.add_airplane, key="Ctrl+Shift+N", tip="Add an airplane to the fleet",
            drawing="add", button=True, edits=True,
        )  # fmt: skip
        self.action("Airpla&nes", lambda: self.tabs.setCurrentIndex(0), key="Ctrl+Alt+1", drawing="fleet")
        self.action("&Due list", lambda: self.tabs.setCurrentIndex(1), key="Ctrl+Alt+2", drawing="due")
        self.action(
            "&Columns…",
            self._choose_columns,
            key="Ctrl+Shift+C",
            tip="Which columns are shown",
            drawing="columns",
        )

    def _connect(self) -> None:
        self.airplanes.opened.connect(lambda aircraft_id: self.goes.emit("aircraft", aircraft_id))
        self.airplanes.pointed.connect(lambda _id: self._point())
        self.airplanes.table.dataChanged.connect(self._point)
        self.airplanes.answered.connect(self._tell_count)
        self.airplanes.fill_menu = self._airplane_menu
        self.summary.wants_open.connect(self.open_airplane)
        self.summary.wants_plan.connect(self.plan_annual)
        self.summary.wants_why.connect(lambda: self.wants_working.emit(self.why()))
        self.tabs.currentChanged.connect(self._turn_tab)

    # -- what the window asks of a page -------------------------------------------------------------

    def ask(self) -> None:
        """Ask for the list that is shown; the other one when it is turned to."""
        own = self.desk.who.person.role == "owner"
        self.heading.setText("My airplanes" if own else "Fleet")
        self.airplanes.say(OWN if own else AIRPLANES)
        self.shown.ask()

    def glance(self) -> Callable[[Path], object] | None:
        """The head of the fleet list, where all of it is wanted as it comes."""
        narrowed = self.tabs.currentIndex() != 0 or self.airplanes.table.query != Query()
        return None if narrowed or self.desk.who.person.sees_owner_id is not None else _glance_at

    def take_glance(self, seen: object) -> None:
        """Show the head of the fleet list."""
        from annual_planner.store.glance import Glance

        if isinstance(seen, Glance):
            self.airplanes.table.show_early(seen.ids, {line.aircraft_id: line for line in seen.lines})

    @property
    def shown(self) -> Listing[FleetLine] | Listing[DueLine]:
        """The list of the tab in front."""
        return self.airplanes if self.tabs.currentIndex() == 0 else self.dues

    def show_subject(self, subject: object) -> None:
        """'airplanes', 'due', or either with a row: 'airplanes:12'."""
        tab, _, row = str(subject).partition(":")
        self.tabs.setCurrentIndex(1 if tab == "due" else 0)
        if row.lstrip("-").isdigit():
            self.shown.point_to(int(row))

    @property
    def subject(self) -> object:
        """The tab in front and its current row."""
        tab = "airplanes" if self.tabs.currentIndex() == 0 else "due"
        return f"{tab}:{self.shown.current_id}" if self.shown.current_id >= 0 else tab

    def search_here(self) -> None:
        """Search the list in front."""
        self.shown.search.setFocus(Qt.FocusReason.ShortcutFocusReason)
        self.shown.search.selectAll()

    def why(self) -> AskWhy | Working | None:
        """Why the chosen requirement, or what comes first on the chosen airplane, falls due then."""
        if self.shown.current_id < 0:
            return None
        row_id = self.shown.current_id
        if self.tabs.currentIndex() == 1:
            return lambda work: _why_due(work, row_id, self.desk)
        return lambda work: _why_first(work, row_id, self.desk)

    def focus_here(self) -> None:
        """The keys act on the list in front."""
        self.shown.view.setFocus(Qt.FocusReason.OtherFocusReason)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Give a narrow window to the list alone: Enter opens the airplane, which says the same."""
        super().resizeEvent(event)
        self.summary.setVisible(self.width() > self.desk.theme.sizes.of(44))

    # -- what a person can do -------------------------------------------------------------------------

    @property
    def chosen_aircraft_id(self) -> int:
        """Airplane of the current row; -1 for none."""
        if self.tabs.currentIndex() == 0:
            return self.airplanes.current_id
        line = self.dues.current
        return line.aircraft_id if line is not None else -1

    @property
    def aircraft_here(self) -> int | None:
        """Airplane of the current row."""
        return self.chosen_aircraft_id if self.chosen_aircraft_id >= 0 else None

    def open_airplane(self) -> None:
        """Go to the chosen airplane."""
        if self.chosen_aircraft_id >= 0:
            self.goes.emit("aircraft", self.chosen_aircraft_id)

    def open_plugs(self) -> None:
        """Go to the plugs and cylinders of the chosen airplane."""
        if self.chosen_aircraft_id >= 0:
            self.goes.emit("plugs", self.chosen_aircraft_id)

    def plan_annual(self) -> None:
        """Go to the open annual of the chosen airplane, or to planning a new one."""
        aircraft_id = self.chosen_aircraft_id
        if aircraft_id < 0:
            self.strip.say("No airplane is chosen.", "Choose one in the list, then plan its annual.")
            return
        line = self.airplanes.table.row_of(aircraft_id)
        package_id = line.open_package_id if line is not None else None
        self.goes.emit("annual", f"plan:{aircraft_id}" if package_id is None else package_id)

    def add_airplane(self) -> None:
        """Go to the form for a new airplane."""
        self.goes.emit("aircraft", "add")

    def _choose_columns(self) -> None:
        self.shown.view.column_menu().popup(self.shown.mapToGlobal(self.shown.rect().center()))

    def _airplane_menu(self, menu: QMenu, aircraft_id: int) -> None:
        self.airplanes.point_to(aircraft_id)
        self._shared_menu(menu)

    def _due_menu(self, menu: QMenu, requirement_id: int) -> None:
        self.dues.point_to(requirement_id)
        self._shared_menu(menu)

    def _shared_menu(self, menu: QMenu) -> None:
        menu.addAction(self.open_action)
        menu.addAction(self.plan_action)
        menu.addAction(self.plugs_action)
        menu.addAction("Why?").triggered.connect(lambda: self.wants_working.emit(self.why()))

    # -- following -------------------------------------------------------------------------------------

    def _point(self) -> None:
        self.summary.show_line(self.airplanes.current)
        self._allow()

    def _allow(self) -> None:
        some = self.chosen_aircraft_id >= 0
        self.open_action.setEnabled(some)
        self.plugs_action.setEnabled(some)
        self.plan_action.setEnabled(some)
        self.moved.emit()

    def _turn_tab(self) -> None:
        self.shown.ask()
        self._allow()

    def _tell_count(self) -> None:
        self.tell_under(f"As of {self.desk.today:%A}, {self.desk.today.day} {self.desk.today:%B %Y}")
        self.airplanes.choose_first()


def _glance_at(path: Path) -> object:
    from annual_planner.store.glance import glance_at

    return glance_at(path)


def _why_due(work: Work, requirement_id: int, desk: Desk) -> Working:
    from annual_planner.records.due_state import explain_due

    return explain_due(work, requirement_id, desk.today)


def _why_first(work: Work, aircraft_id: int, desk: Desk) -> Working:
    """The working of what comes first on that airplane."""
    from annual_planner.records.due_state import explain_due
    from annual_planner.store.fleet_reads import due_ids
    from annual_planner.trade.refused import Refused

    ids = due_ids(work, aircraft_id=aircraft_id)
    if not ids:
        raise Refused("This airplane has no requirements yet.", "Take them on in the place Aircraft.")
    return explain_due(work, ids[0], desk.today)
