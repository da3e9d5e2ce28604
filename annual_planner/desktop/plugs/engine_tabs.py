"""The tabs of one engine: engine, tray, rotation, compression, trends, all cylinders."""

from __future__ import annotations

from collections.abc import Callable
from typing import cast

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QWidget

from annual_planner.desktop.desk import Desk
from annual_planner.desktop.parts import TabsLater
from annual_planner.desktop.plugs.compare_tab import CompareTab
from annual_planner.desktop.plugs.compression_tab import CompressionTab
from annual_planner.desktop.plugs.engine_tab import EngineTab
from annual_planner.desktop.plugs.facts import Facts
from annual_planner.desktop.plugs.going_in import IN_TRAY, Plan
from annual_planner.desktop.plugs.rotation_tab import RotationTab
from annual_planner.desktop.plugs.tray_tab import TrayTab
from annual_planner.desktop.plugs.trends_tab import TrendsTab
from annual_planner.planning.engine_view import EngineView
from annual_planner.trade.engines import Place


class EngineTabs(TabsLater):
    """Each tab is made, and shows the engine, when somebody first looks at it or needs it."""

    wants_why = Signal()
    wants_working = Signal(object)
    """A working of its own, beside that of what is chosen."""
    made = Signal(QWidget)
    """A part that was just made: what it asks for can be followed."""
    pointed = Signal()
    """A place was pointed at."""

    def __init__(self, desk: Desk) -> None:
        super().__init__("Parts of plugs and cylinders")
        self._desk = desk
        self.view: EngineView | None = None
        self.facts: Facts | None = None
        self.scheme_of: Callable[[EngineView], str] = lambda view: view.scheme_key
        """Which scheme the rotation shows."""
        self._waiting: set[str] = set()
        """Tabs that don't show the engine yet."""
        for name, words, make in (
            ("engine", "Engine", self._make_engine),
            ("tray", "Tray", self._make_tray),
            ("rotation", "Rotation", self._make_rotation),
            ("compression", "Compression", self._make_compression),
            ("trends", "Trends", self._make_trends),
            ("compare", "All cylinders", self._make_compare),
        ):
            self.add_later(name, words, make)

    # -- each made when it is first needed -------------------------------------------------------------

    def _make_engine(self) -> QWidget:
        tab = EngineTab(self._desk)
        tab.pointed.connect(self.point)
        tab.opened.connect(self.open_place)
        tab.wants_working.connect(self.wants_working)
        return tab

    def _make_tray(self) -> QWidget:
        tab = TrayTab(self._desk)
        tab.pointed.connect(self.point)
        tab.wants_why.connect(self.wants_why)
        if self.facts is not None:
            tab.learn(self.facts)
        self.made.emit(tab)
        return tab

    def _make_rotation(self) -> QWidget:
        tab = RotationTab(self._desk)
        tab.pointed.connect(self.point)
        tab.wants_working.connect(self.wants_working)
        tab.wants_why.connect(self.wants_why)
        self.made.emit(tab)
        return tab

    def _make_compression(self) -> QWidget:
        tab = CompressionTab(self._desk)
        if self.facts is not None:
            tab.learn(self.facts.safety, self.facts.ladder, self.facts.cautions)
        self.made.emit(tab)
        return tab

    def _make_trends(self) -> QWidget:
        tab = TrendsTab(self._desk)
        tab.opens_test.connect(self.open_test)
        tab.opens_look.connect(self.open_plug)
        tab.wants_why.connect(self.wants_why)
        return tab

    def _make_compare(self) -> QWidget:
        tab = CompareTab(self._desk)
        tab.opens_cylinder.connect(self.open_cylinder)
        tab.opens_test.connect(self.open_test)
        return tab

    @property
    def engine(self) -> EngineTab:
        """The engine as it stands."""
        return cast(EngineTab, self._shown("engine"))

    @property
    def tray(self) -> TrayTab:
        """The plug box."""
        return cast(TrayTab, self._shown("tray"))

    @property
    def rotation(self) -> RotationTab:
        """Where every plug goes."""
        return cast(RotationTab, self._shown("rotation"))

    @property
    def compression(self) -> CompressionTab:
        """Tests, and the entry of a new one."""
        return cast(CompressionTab, self._shown("compression"))

    @property
    def trends(self) -> TrendsTab:
        """Where one cylinder or plug leads."""
        return cast(TrendsTab, self._shown("trends"))

    @property
    def compare(self) -> CompareTab:
        """All cylinders beside each other."""
        return cast(CompareTab, self._shown("compare"))

    # -- showing ---------------------------------------------------------------------------------------

    def learn(self, facts: Facts) -> None:
        """Take what the library says about looks, steps and cautions."""
        self.facts = facts
        if self.is_made("tray"):
            self.tray.learn(facts)
        if self.is_made("compression"):
            self.compression.learn(facts.safety, facts.ladder, facts.cautions)

    def take(self, view: EngineView | None) -> None:
        """Show an engine; the tabs that nobody looks at wait. None: none is shown."""
        self.view = view
        self._waiting = set(self.names) if view is not None else set()
        if view is None:
            return
        self.fill_front()
        out = len(view.tray.slots) if view.tray is not None else 0
        self.setTabText(self.index_of("tray"), f"Tray ({out} out)" if out else "Tray")

    def fill_front(self) -> None:
        """Show the engine on the tab in front; the others wait until somebody looks at them."""
        if self.view is not None:
            self._shown(self.name_in_front)

    def _shown(self, name: str) -> QWidget:
        """A tab that shows the engine, whether or not somebody looks at it."""
        part = self.get(name)
        if self.view is not None and name in self._waiting:
            self._waiting.discard(name)
            self._show_on(name, self.view)
        return part

    def _show_on(self, name: str, view: EngineView) -> None:
        may_edit = self._desk.who.person.may_edit
        if name == "tray":
            moved = Plan(view).moves() if view.tray is not None and view.tray.line.moved == IN_TRAY else {}
            self.tray.take(view, moved, may_edit=may_edit)
        elif name == "rotation":
            self.rotation.take(view, self.scheme_of(view), may_edit=may_edit)
        elif name == "compression":
            self.compression.take(view, may_edit=may_edit)
        elif name == "engine":
            self.engine.take(view)
        elif name == "trends":
            self.trends.take(view)
        else:
            self.compare.take(view)

    def focus_front(self) -> None:
        """Put the keys on the main thing of the tab in front."""
        name = self.name_in_front
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

    # -- one thing chosen on every tab -----------------------------------------------------------------

    def point(self, at: Place) -> None:
        """Point at a place on every tab that shows places."""
        if self.engine.drawing.chosen != at:
            self.engine.show_place(at)
        if self.is_made("rotation") and self.rotation.drawing.chosen != at:
            self.rotation.show_place(at)
        self.pointed.emit()

    def open_place(self, at: Place) -> None:
        """From the engine: to the check of a plug that is out, else to the trend of its gap."""
        view = self.view
        slot = view.tray.slot(at) if view is not None and view.tray is not None else None
        if slot is not None:
            self.show_part(self.tray)
            self.tray.show_slot(slot)
            self.tray.start()
        elif view is not None and (plug := view.at(at).plug) is not None:
            self.show_part(self.trends)
            self.trends.show_plug(plug.plug_id)

    def open_test(self, test_id: int) -> None:
        """Show one compression test."""
        self.show_part(self.compression)
        self.compression.open_test(test_id)

    def open_plug(self, plug_id: int) -> None:
        """Show where a plug sits."""
        view = self.view
        if view is None:
            return
        at = next((each.place for each in view.places if each.plug and each.plug.plug_id == plug_id), None)
        if at is not None:
            self.show_part(self.engine)
            self.engine.show_place(at)

    def open_cylinder(self, cylinder: int) -> None:
        """Show where the readings of a cylinder lead."""
        self.show_part(self.trends)
        self.trends.show_cylinder(cylinder)
