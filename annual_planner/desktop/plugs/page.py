"""The page of an engine's plugs and cylinders."""

from __future__ import annotations

from collections.abc import Callable
from typing import cast

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QButtonGroup, QHBoxLayout, QPushButton, QStackedWidget, QVBoxLayout, QWidget

from annual_planner.desktop.columns import hours_text
from annual_planner.desktop.desk import Desk
from annual_planner.desktop.form import Form, Scrolled
from annual_planner.desktop.page import AskWhy, Page
from annual_planner.desktop.plugs.compare_tab import CompareTab
from annual_planner.desktop.plugs.compression_tab import CompressionTab
from annual_planner.desktop.plugs.doings import Doings
from annual_planner.desktop.plugs.engine_tab import EngineTab
from annual_planner.desktop.plugs.facts import Facts, read_facts
from annual_planner.desktop.plugs.going_in import IN_TRAY, Plan
from annual_planner.desktop.plugs.rooms import empty
from annual_planner.desktop.plugs.rotation_tab import RotationTab
from annual_planner.desktop.plugs.seen import Seen, read_seen
from annual_planner.desktop.plugs.tabs import TabsLater
from annual_planner.desktop.plugs.tray_tab import TrayTab
from annual_planner.desktop.plugs.trends_tab import TrendsTab
from annual_planner.desktop.plugs.why import why_here
from annual_planner.desktop.widgets import Blank, label
from annual_planner.planning.engine_view import EngineView
from annual_planner.trade.engines import Place
from annual_planner.trade.working import Working

TABS = ("engine", "tray", "rotation", "compression", "trends", "compare")


class PlugsPage(Page):
    """One engine of an airplane: its plugs, the tray, the rotation, compression and trends."""

    place = "plugs"
    title = "Plugs and cylinders"
    listens = frozenset({"plug", "compression", "aircraft", "reading", "package"})

    def __init__(self, desk: Desk) -> None:
        super().__init__(desk)
        self.aircraft_id: int | None = None
        self.position = 1
        self.seen: Seen | None = None
        self.facts: Facts | None = None
        self.plan = Plan()
        self.about = label("", faint=True)
        self.about.setWordWrap(True)
        self.body.addWidget(self.about)
        self.engines = QHBoxLayout()
        self._engine_group = QButtonGroup(self)
        self.body.addLayout(self.engines)
        self.tabs = TabsLater("Parts of plugs and cylinders")
        self.blank = Blank()
        self.drawer: Scrolled | None = None
        self._waiting: set[str] = set()
        """Tabs that don't show the engine yet."""
        self._stack = QStackedWidget()
        self._fill()
        self.doings = Doings(self)
        self.tabs.turned.connect(self._turned)
        self._show_nothing()

    # -- putting together --------------------------------------------------------------------------

    def _fill(self) -> None:
        for name, words, make in (
            ("engine", "Engine", self._make_engine),
            ("tray", "Tray", self._make_tray),
            ("rotation", "Rotation", self._make_rotation),
            ("compression", "Compression", self._make_compression),
            ("trends", "Trends", self._make_trends),
            ("compare", "All cylinders", self._make_compare),
        ):
            self.tabs.add_later(name, words, make)
        self._shown = QWidget()
        self._shown.setAccessibleName("The engine")
        self._column = QVBoxLayout(self._shown)
        self._column.setContentsMargins(0, 0, 0, 0)
        self._column.addWidget(self.tabs, 1)
        self._column.addStretch(0)
        self._stack.setAccessibleName("The engine, or what to do first")
        self._stack.addWidget(self.blank)
        self._stack.addWidget(self._shown)
        self.body.addWidget(self._stack, 1)

    # -- the tabs, each made when it is first looked at ------------------------------------------------

    def _make_engine(self) -> QWidget:
        tab = EngineTab(self.desk)
        tab.pointed.connect(self._point)
        tab.opened.connect(self._open_place)
        return tab

    def _make_tray(self) -> QWidget:
        tab = TrayTab(self.desk)
        tab.pointed.connect(self._point)
        tab.wants_why.connect(self._ask_why)
        self.doings.follow_tray(tab)
        if self.facts is not None:
            tab.entry.says = self.facts.says
        return tab

    def _make_rotation(self) -> QWidget:
        tab = RotationTab(self.desk, self.plan)
        tab.pointed.connect(self._point)
        tab.wants_why.connect(self._ask_why)
        self.doings.follow_rotation(tab)
        return tab

    def _make_compression(self) -> QWidget:
        tab = CompressionTab(self.desk)
        self.doings.follow_compression(tab)
        if self.facts is not None:
            tab.learn(self.facts.safety, self.facts.ladder, self.facts.cautions)
        return tab

    def _make_trends(self) -> QWidget:
        tab = TrendsTab(self.desk)
        tab.opens_test.connect(self._open_test)
        tab.opens_look.connect(self._open_plug)
        tab.wants_why.connect(self._ask_why)
        return tab

    def _make_compare(self) -> QWidget:
        tab = CompareTab(self.desk)
        tab.opens_cylinder.connect(self._open_cylinder)
        tab.opens_test.connect(self._open_test)
        return tab

    @property
    def engine(self) -> EngineTab:
        """The engine as it stands."""
        return cast(EngineTab, self._tab("engine"))

    @property
    def tray(self) -> TrayTab:
        """The plug box."""
        return cast(TrayTab, self._tab("tray"))

    @property
    def rotation(self) -> RotationTab:
        """Where every plug goes."""
        return cast(RotationTab, self._tab("rotation"))

    @property
    def compression(self) -> CompressionTab:
        """Tests, and the entry of a new one."""
        return cast(CompressionTab, self._tab("compression"))

    @property
    def trends(self) -> TrendsTab:
        """Where one cylinder or plug leads."""
        return cast(TrendsTab, self._tab("trends"))

    @property
    def compare(self) -> CompareTab:
        """All cylinders beside each other."""
        return cast(CompareTab, self._tab("compare"))

    def _tab(self, name: str) -> QWidget:
        """A tab that shows the engine, whether or not somebody looks at it."""
        part = self.tabs.get(name)
        view = self.view
        if view is not None and name in self._waiting:
            self._waiting.discard(name)
            self._show_on(name, view)
        return part

    def _ask_why(self) -> None:
        asked = self.why()
        if asked is not None:
            self.wants_working.emit(asked)

    # -- what the window asks ------------------------------------------------------------------------

    def ask(self) -> None:
        """Read the engine again."""
        if self.aircraft_id is None:
            self._show_nothing()
            return
        aircraft_id, position, today, desk = self.aircraft_id, self.position, self.desk.today, self.desk
        owner_id = desk.who.person.sees_owner_id
        if self.seen is None:
            self.blank.show_state("Reading the engine …")
            self._stack.setCurrentWidget(self.blank)
        if self.facts is None:
            desk.jobs.long(
                lambda _p: read_facts(desk.library()), self, self._learn, self.failed, topic="facts"
            )
        desk.jobs.read(
            lambda work: read_seen(work, aircraft_id, position, owner_id, desk.library(), today),
            self,
            self._take,
            self._gone,
            topic="seen",
        )

    def show_subject(self, subject: object) -> None:
        """Show an airplane's first engine by its id, or [id, position of the engine]."""
        if isinstance(subject, list | tuple) and len(subject) == 2:
            self._change_to(int(subject[0]), int(subject[1]))
        elif isinstance(subject, int) and subject != self.aircraft_id:
            self._change_to(subject, 1)
        if self.stale and self.isVisible():
            self.refresh()

    def _change_to(self, aircraft_id: int, position: int) -> None:
        if (aircraft_id, position) == (self.aircraft_id, self.position):
            return
        self.close_form()
        self.strip.put_away()
        self.aircraft_id, self.position, self.seen = aircraft_id, position, None
        self.moved.emit()
        self.stale = True

    @property
    def subject(self) -> object:
        """The airplane and the position of the engine."""
        return None if self.aircraft_id is None else [self.aircraft_id, self.position]

    @property
    def aircraft_here(self) -> int | None:
        """The airplane whose engine is shown."""
        return self.aircraft_id

    @property
    def view(self) -> EngineView | None:
        """The engine that is shown."""
        return self.seen.view if self.seen is not None else None

    @property
    def place_chosen(self) -> Place | None:
        """The place that is pointed at."""
        return self.engine.drawing.chosen

    def focus_here(self) -> None:
        """Put the keys on the main thing of the tab in front."""
        if self.drawer is not None or self.view is None:
            return
        self._turned()

    def _turned(self) -> None:
        """Another tab is in front: it shows the engine, and the keys act on its main thing."""
        self._fill_front()
        if self.view is not None:
            self._focus_front(self.tabs.name_in_front)
        self.doings.follow()

    def _focus_front(self, name: str) -> None:
        if name == "tray":
            self.tray.start()
            return
        mains: dict[str, Callable[[], QWidget]] = {
            "engine": lambda: self.engine.drawing,
            "rotation": lambda: self.rotation.drawing,
            "compression": lambda: self.compression.tests.view,
            "trends": lambda: self.trends.chart,
            "compare": lambda: self.compare.small,
        }
        mains[name]().setFocus(Qt.FocusReason.OtherFocusReason)

    def why(self) -> AskWhy | Working | None:
        """The working behind what is chosen on the tab in front."""
        return why_here(self) if self.view is not None else None

    # -- showing ---------------------------------------------------------------------------------------

    def _show_nothing(self) -> None:
        self.heading.setText(self.title)
        self.about.setText("")
        self.blank.show_state(
            "No airplane is chosen",
            "Choose one in the fleet list, then come back here; or press Ctrl+K and type its registration.",
            "Go to the fleet list",
            lambda: self.goes.emit("fleet", "airplanes"),
        )
        self._stack.setCurrentWidget(self.blank)
        self.doings.enable(False)

    def _gone(self, error: Exception) -> None:
        self.seen = None
        self.heading.setText(self.title)
        self.about.setText("")
        said = str(getattr(error, "said", "")) or "The engine could not be read"
        remedy = str(getattr(error, "remedy", "")) or "Nothing was lost."
        self.blank.show_state(said, remedy, "Try again", self.refresh)
        self._stack.setCurrentWidget(self.blank)
        self.doings.enable(False)

    def _learn(self, facts: Facts) -> None:
        self.facts = facts
        if self.tabs.is_made("tray"):
            self.tray.entry.says = facts.says
            self.tray.entry.follow()
        if self.tabs.is_made("compression"):
            self.compression.learn(facts.safety, facts.ladder, facts.cautions)

    def _take(self, seen: Seen) -> None:
        if seen.aircraft_id != self.aircraft_id:
            return
        self.seen, self.position = seen, seen.position
        self._say_which(seen)
        self._offer_engines(seen)
        if seen.view is None:
            self._say_first(seen)
            return
        self.show_view(seen.view)
        self.doings.enable(True)
        if self.drawer is None or self._stack.currentWidget() is self.blank:
            self._stack.setCurrentWidget(self._shown)

    def show_view(self, view: EngineView) -> None:
        """Show the engine on every tab, with the choices of the plan."""
        self.plan.follow(view.tray)
        self._waiting = set(TABS)
        self._fill_front()
        out = len(view.tray.slots) if view.tray is not None else 0
        self.tabs.setTabText(self.tabs.index_of("tray"), f"Tray ({out} out)" if out else "Tray")

    def _fill_front(self) -> None:
        """Show the engine on the tab in front; the others wait until somebody looks at them."""
        if self.view is not None:
            self._tab(self.tabs.name_in_front)

    def _show_on(self, name: str, view: EngineView) -> None:
        may_edit = self.desk.who.person.may_edit
        if name == "tray":
            moved = self.plan.moves(view) if view.tray is not None and view.tray.line.moved == IN_TRAY else {}
            self.tray.take(view, moved, may_edit=may_edit)
        elif name == "rotation":
            self.rotation.take(view, self.doings.scheme_key(view), may_edit=may_edit)
        elif name == "compression":
            self.compression.take(view, may_edit=may_edit)
        elif name == "engine":
            self.engine.take(view)
        elif name == "trends":
            self.trends.take(view)
        else:
            self.compare.take(view)

    def _say_which(self, seen: Seen) -> None:
        engine = seen.engine
        many = f", engine {seen.position}" if len(seen.engines) > 1 else ""
        self.heading.setText(f"{seen.registration}  Plugs and cylinders{many}")
        said = [engine.title] if engine is not None else []
        if seen.view is not None:
            said += [seen.view.engine_type.title, f"firing order {_order(seen.view)}"]
        if engine is not None and engine.hours_now is not None:
            said += [f"{hours_text(engine.hours_now)} h"]
        self.about.setText("  ·  ".join(text for text in said if text))

    def _offer_engines(self, seen: Seen) -> None:
        """A chip for each engine of an airplane that has more than one."""
        empty(self.engines)
        if len(seen.engines) < 2:
            return
        for engine in seen.engines:
            chip = QPushButton(f"Engine {engine.position}")
            chip.setProperty("chip", True)
            chip.setCheckable(True)
            chip.setChecked(engine.position == seen.position)
            chip.setAccessibleName(f"Engine {engine.position}, {engine.title}")
            chip.setToolTip(engine.title)
            chip.clicked.connect(lambda _on, at=engine.position: self.show_engine(at))
            self.engines.addWidget(chip)
        self.engines.addStretch(1)

    def show_engine(self, position: int) -> None:
        """Show another engine of the same airplane."""
        if self.aircraft_id is not None:
            self.show_subject([self.aircraft_id, position])

    def _say_first(self, seen: Seen) -> None:
        """Say what is missing before plugs can be shown."""
        self.doings.enable(False)
        if seen.engine is None:
            self.blank.show_state(
                "This airplane has no engine in its records",
                "Engines are added with the airplane's assemblies.",
                "Open the airplane",
                lambda: self.goes.emit("aircraft", self.aircraft_id),
            )
        else:
            may_edit = self.desk.who.person.may_edit
            self.blank.show_state(
                f"Of which type is {seen.engine.title or 'this engine'}?",
                "The type says where its cylinders stand, how it fires, which plugs it takes and by which"
                " limit its compression is judged.",
                "Choose its type" if may_edit else "",
                self.doings.start_type,
            )
        if self.drawer is None:
            self._stack.setCurrentWidget(self.blank)

    # -- one thing chosen on every tab -----------------------------------------------------------------

    def _point(self, at: Place) -> None:
        if self.engine.drawing.chosen != at:
            self.engine.show_place(at)
        if self.tabs.is_made("rotation") and self.rotation.drawing.chosen != at:
            self.rotation.show_place(at)
        self.doings.follow()

    def _open_place(self, at: Place) -> None:
        """From the engine: to the check of a plug that is out, else to the trend of its gap."""
        view = self.view
        slot = view.tray.slot(at) if view is not None and view.tray is not None else None
        if slot is not None:
            self.tabs.show_part(self.tray)
            self.tray.show_slot(slot)
            self.tray.start()
        elif view is not None and (plug := view.at(at).plug) is not None:
            self.tabs.show_part(self.trends)
            self.trends.show_plug(plug.plug_id)

    def _open_test(self, test_id: int) -> None:
        self.tabs.show_part(self.compression)
        self.compression.open_test(test_id)

    def _open_plug(self, plug_id: int) -> None:
        view = self.view
        if view is None:
            return
        at = next((each.place for each in view.places if each.plug and each.plug.plug_id == plug_id), None)
        if at is not None:
            self.tabs.show_part(self.engine)
            self.engine.show_place(at)

    def _open_cylinder(self, cylinder: int) -> None:
        self.tabs.show_part(self.trends)
        self.trends.show_cylinder(cylinder)

    # -- forms -----------------------------------------------------------------------------------------

    @property
    def drawer_form(self) -> QWidget | None:
        """The form that is open."""
        return self.drawer.widget() if self.drawer is not None else None

    def open_form(self, form: Form, *, whole: bool = False) -> None:
        """Show a form above the tabs, or in their place."""
        self.close_form()
        self.strip.put_away()
        self.drawer = Scrolled(form, snug=not whole)
        self._column.insertWidget(0, self.drawer)
        self.tabs.setVisible(not whole and self.view is not None)
        self._stack.setCurrentWidget(self._shown)
        form.start()

    def close_form(self) -> None:
        """Put the form away; the tab in front has the keys again."""
        drawer, self.drawer = self.drawer, None
        if drawer is None:
            return
        self._column.removeWidget(drawer)
        drawer.hide()
        drawer.deleteLater()
        self.tabs.show()
        self._stack.setCurrentWidget(self._shown if self.view is not None else self.blank)
        self.focus_here()


def _order(view: EngineView) -> str:
    return "-".join(str(number) for number in view.engine_type.firing_order)
