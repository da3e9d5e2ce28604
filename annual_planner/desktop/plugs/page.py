"""The page of an engine's plugs and cylinders."""

from __future__ import annotations

from PySide6.QtWidgets import QHBoxLayout, QPushButton, QStackedWidget, QVBoxLayout, QWidget

from annual_planner.desktop.columns import hours_text
from annual_planner.desktop.desk import Desk
from annual_planner.desktop.form import Form, Scrolled
from annual_planner.desktop.page import AskWhy, Page
from annual_planner.desktop.parts import offer_turning
from annual_planner.desktop.plugs.doings import Doings
from annual_planner.desktop.plugs.engine_tabs import EngineTabs
from annual_planner.desktop.plugs.facts import Facts, read_facts
from annual_planner.desktop.plugs.in_sight import KeysInSight
from annual_planner.desktop.plugs.rooms import empty
from annual_planner.desktop.plugs.seen import Seen, read_seen
from annual_planner.desktop.plugs.why import why_here
from annual_planner.desktop.widgets import Blank, label
from annual_planner.planning.engine_view import EngineView
from annual_planner.trade.engines import Place
from annual_planner.trade.refused import Refused
from annual_planner.trade.working import Working

LEAST_LINES_FOR_BOTH = 20
"""A lower place, in lines of text, shows an open form alone."""


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
        self.about = label("", faint=True)
        self.about.setWordWrap(True)
        self.body.addWidget(self.about)
        self.engines = QHBoxLayout()
        self.body.addLayout(self.engines)
        self.tabs = EngineTabs(desk)
        self.blank = Blank()
        self.drawer: Scrolled | None = None
        self._stack = QStackedWidget()
        self._fill()
        self.doings = Doings(self)
        offer_turning(self, self.tabs)
        KeysInSight(self)
        self._follow_tabs()
        self._show_nothing()

    def _fill(self) -> None:
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

    def _follow_tabs(self) -> None:
        """Do what the tabs ask for, those that are made later too."""
        tabs, doings = self.tabs, self.doings
        tabs.scheme_of = doings.scheme_key
        tabs.made.connect(doings.follow_made)
        tabs.turned.connect(self._turned)
        tabs.pointed.connect(doings.follow)
        tabs.wants_why.connect(self._ask_why)
        tabs.wants_working.connect(self.wants_working)

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
        self.tabs.take(None)
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
        return self.tabs.engine.drawing.chosen

    def focus_here(self) -> None:
        """Put the keys on the main thing of the tab in front."""
        if self.drawer is not None or self.view is None:
            return
        self._turned()

    def _turned(self) -> None:
        """Another tab is in front: it shows the engine, and the keys act on its main thing."""
        self.tabs.fill_front()
        if self.view is not None:
            self.tabs.focus_front()
        self.doings.follow()

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
        if isinstance(error, Refused) and error.passing:
            self.failed(error)  # so that it is asked for again
            if self.seen is not None:
                return
        self.seen = None
        self.tabs.take(None)
        self.heading.setText(self.title)
        self.about.setText("")
        said = str(getattr(error, "said", "")) or "The engine could not be read"
        remedy = str(getattr(error, "remedy", "")) or "Nothing was lost."
        self.blank.show_state(said, remedy, "Try again", self.refresh)
        self._stack.setCurrentWidget(self.blank)
        self.doings.enable(False)

    def _learn(self, facts: Facts) -> None:
        self.facts = facts
        self.tabs.learn(facts)

    def _take(self, seen: Seen) -> None:
        if seen.aircraft_id != self.aircraft_id:
            return
        self.seen, self.position = seen, seen.position
        self._say_which(seen)
        self._offer_engines(seen)
        self.tabs.take(seen.view)
        if seen.view is None:
            self._say_first(seen)
            return
        self.doings.enable(True)
        if self.drawer is None or self._stack.currentWidget() is self.blank:
            self._stack.setCurrentWidget(self._shown)

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

    # -- forms -----------------------------------------------------------------------------------------

    @property
    def drawer_form(self) -> QWidget | None:
        """The form that is open."""
        return self.drawer.widget() if self.drawer is not None else None

    def open_form(self, form: Form, *, whole: bool = False) -> None:
        """Show a form above the tabs, or in their place; so too where the window is low."""
        self.close_form()
        whole = whole or self._stack.height() < self.desk.theme.sizes.of(LEAST_LINES_FOR_BOTH)
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
