"""The main window: rail, places, menus, messages, the working panel and the foot."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import cached_property, partial
from typing import TYPE_CHECKING

import shiboken6
from PySide6.QtCore import QByteArray, Qt, QTimer, Signal
from PySide6.QtGui import QCloseEvent, QKeyEvent, QPaintEvent, QShowEvent
from PySide6.QtWidgets import (
    QApplication,
    QFrame,
    QHBoxLayout,
    QMainWindow,
    QStackedWidget,
    QVBoxLayout,
    QWidget,
)

from annual_planner.desktop.actions import ACTIONS
from annual_planner.desktop.desk import Desk
from annual_planner.desktop.history import History, Stop
from annual_planner.desktop.icons import icon
from annual_planner.desktop.menus import Menus
from annual_planner.desktop.opener import FleetFacts
from annual_planner.desktop.page import Page
from annual_planner.desktop.places import PLACES, Place, open_to
from annual_planner.desktop.rail import Rail
from annual_planner.desktop.status_area import StatusArea
from annual_planner.desktop.who import FIRST_PLACE
from annual_planner.desktop.widgets import Strip, button, label

if TYPE_CHECKING:
    from annual_planner.desktop.working_panel import WorkingPanel
    from annual_planner.store.rows import PersonLine
    from annual_planner.store.session import Work

OF_ONE_AIRPLANE = ("aircraft", "plugs")
"""Places that show the airplane chosen in the place before, unless something else is asked for."""
STATE_VERSION = 1
LEAST_LINES = (22, 14)
"""Least width and height of a place, in lines of text."""
KEPT_SUBJECTS: dict[str, type[int | str]] = {"number": int, "words": str}
"""Kinds of subject that are kept from one start to the next, by the name they are kept under."""
DRAW_AFTER_MS = 150
"""Icons within menus come after the first rows."""
UNSEEN_MS = 500
"""A window that isn't painted by then won't be looked at soon."""


class MainWindow(QMainWindow):
    """One window on one fleet."""

    wants_fleet = Signal(str)
    """Another fleet is wanted: 'new', 'open' or 'sample'."""
    closed = Signal()
    painted = Signal()
    """The window has been painted for the first time: what could wait may begin."""

    def __init__(self, desk: Desk, facts: FleetFacts, log_folder: str = "") -> None:
        super().__init__()
        self.desk = desk
        self._facts = facts
        self.log_folder = log_folder
        self._places = PLACES
        self._pages: dict[str, Page] = {}
        self._history = History()
        self._popups: dict[str, QWidget] = {}
        self._unpainted = self._undrawn = True
        self.setWindowTitle(f"{facts.name} – Annual Planner" if facts.name else "Annual Planner")
        self.setAccessibleName("Annual Planner")
        self.rail = Rail(desk, self._places)
        self.stack = QStackedWidget()
        self.stack.setObjectName("places")
        self.stack.setAccessibleName("Place")
        self.strip = Strip()
        self.status = StatusArea(desk.jobs)
        self.menus = Menus(self.menuBar(), desk.theme, self._does(), self)
        self.menus.add_places(self._places, self.go)
        self._offer_places()
        self._lay_out()
        self._connect()
        self._restore()
        self._follow_trail()
        self._follow_look()

    # -- putting together ----------------------------------------------------------------------------

    def _does(self) -> dict[str, Callable[[], object]]:
        """What each action of the menus does; what isn't said here is imported when it is first asked for."""
        jobs, theme = self.desk.jobs, self.desk.theme
        late: dict[str, Callable[[], object]] = {each.name: partial(self._act, each.name) for each in ACTIONS}
        return late | {
            "new": lambda: self.wants_fleet.emit("new"),
            "open": lambda: self.wants_fleet.emit("open"),
            "sample": lambda: self.wants_fleet.emit("sample"),
            "quit": self.close,
            "undo": lambda: jobs.undo(self),
            "redo": lambda: jobs.redo(self),
            "find": lambda: self.page.search_here(),
            "back": lambda: self._step(self._history.back()),
            "forward": lambda: self._step(self._history.forward()),
            "next": lambda: self._neighbour(1),
            "previous": lambda: self._neighbour(-1),
            "why": self.show_why,
            "refresh": lambda: self.page.refresh(),
            "larger": theme.larger,
            "smaller": theme.smaller,
            "ordinary": theme.ordinary,
            "bench": lambda: theme.set_bench(self.menus.actions["bench"].isChecked()),
            "system": lambda: theme.set_scheme("system"),
            "light": lambda: theme.set_scheme("light"),
            "dark": lambda: theme.set_scheme("dark"),
            "help": lambda: self.show_help(self.page.place),
            "keys": lambda: self.show_help("keys"),
            "limits": lambda: self.show_help("limits"),
        }

    def _act(self, name: str) -> None:
        from annual_planner.desktop.window_acts import ACTS

        ACTS[name](self)

    def _lay_out(self) -> None:
        middle = QWidget()
        middle.setAccessibleName("Fleet and places")
        column = QVBoxLayout(middle)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        if self._facts.demo:
            column.addWidget(self._demo_line())
        column.addWidget(self.strip)
        row = QHBoxLayout()
        row.setSpacing(0)
        row.addWidget(self.rail)
        row.addWidget(self.stack, 1)
        column.addLayout(row, 1)
        self.setCentralWidget(middle)
        self.setStatusBar(self.status)
        self.menuBar().setAccessibleName("Menus")
        self.menus.actions["backup"].setEnabled(not self._facts.where.startswith("postgresql"))
        self.menus.actions["logs"].setVisible(bool(self.log_folder))

    def _demo_line(self) -> QFrame:
        frame = QFrame()
        frame.setObjectName("demo")
        frame.setAccessibleName("Sample fleet")
        row = QHBoxLayout(frame)
        row.setContentsMargins(14, 3, 14, 3)
        said = "Sample fleet: everything in it is invented. Nothing here is a record of a real airplane."
        text = label(said)
        text.setWordWrap(True)
        row.addWidget(text, 1)
        row.addWidget(button("Start my own fleet", lambda: self.wants_fleet.emit("new"), quiet=True))
        return frame

    def _connect(self) -> None:
        jobs = self.desk.jobs
        self.rail.chosen.connect(self.go)
        self.strip.let_go.connect(lambda: self.page.focus_here())
        app = QApplication.instance()
        assert isinstance(app, QApplication), "a window is shown by a program with windows"
        app.focusChanged.connect(self._keys_moved)
        jobs.trail.moved.connect(self._follow_trail)
        jobs.refused.connect(self.strip.refuse)
        jobs.broke.connect(self._broke)
        jobs.changed.connect(self._changed)
        self.desk.theme.changed.connect(self._follow_look)
        self.desk.who.changed.connect(self._other_person)

    # -- places ------------------------------------------------------------------------------------------

    @property
    def where(self) -> str:
        """Where the fleet lies: a path or a server's address."""
        return self._facts.where

    @property
    def page(self) -> Page:
        """The place that is shown."""
        shown = self.stack.currentWidget()
        if not isinstance(shown, Page):
            raise LookupError("no place is shown yet")
        return shown

    def page_of(self, name: str) -> Page:
        """The page of a place, made on first use. KeyError for a place this program hasn't."""
        if name not in self._pages:
            place = {place.name: place for place in self._places}[name]
            self._pages[name] = self._make(place)
        return self._pages[name]

    def _make(self, place: Place) -> Page:
        page = place.make(self.desk)
        page.goes.connect(self.go)
        page.wants_working.connect(lambda asked: self.panel.show_working(asked))
        page.moved.connect(lambda: self._history.amend(page.place, page.subject))
        self.stack.addWidget(page)
        if not self._undrawn:
            page.draw_actions()
        return page

    def go(self, name: str, subject: object = None) -> None:
        """Show a place and, with a subject, that subject in it; Back returns."""
        if name not in {place.name for place in self.open_places()}:
            return
        self._show(name, self._chosen_before() if subject is None and name in OF_ONE_AIRPLANE else subject)
        self._history.visit(name, self.page.subject)
        self._follow_history()

    def _chosen_before(self) -> int | None:
        shown = self.stack.currentWidget()
        return shown.aircraft_here if isinstance(shown, Page) else None

    def _show(self, name: str, subject: object) -> None:
        page = self.page_of(name)
        if subject is not None:
            page.show_subject(subject)
        self.stack.setCurrentWidget(page)
        self.rail.show_place(name)
        self.menus.show_here(page)
        page.focus_here()

    def _keys_moved(self, left: QWidget | None, now: QWidget | None) -> None:
        """Notice that the keys left the place because what they acted on was put away."""
        page = self.stack.currentWidget()
        if not isinstance(page, Page) or left is None or now is None or not page.isAncestorOf(left):
            return
        if self.isAncestorOf(now) and not page.isAncestorOf(now):
            QTimer.singleShot(0, self, partial(self._keys_back, page, left, now))

    def _keys_back(self, page: Page, left: QWidget, now: QWidget) -> None:
        """Bring the keys back to their place, unless a person went away from it."""
        gone = not shiboken6.isValid(left) or not left.isVisible()
        if gone and self.stack.currentWidget() is page and QApplication.focusWidget() is now:
            page.focus_here()

    def _step(self, stop: Stop | None) -> None:
        if stop is not None:
            self._show(*stop)
            self._follow_history()

    def _neighbour(self, step: int) -> None:
        names = [place.name for place in self.open_places()]
        self.go(names[(names.index(self.page.place) + step) % len(names)])

    def go_to_anything(self) -> None:
        """Open the box for everything."""
        self._act("goto")

    # -- panels and messages --------------------------------------------------------------------------

    @cached_property
    def panel(self) -> WorkingPanel:
        """The panel that shows workings, made on first use, in the place where it was last."""
        from annual_planner.desktop.working_panel import WorkingPanel

        made = WorkingPanel(self.desk)
        made.closed.connect(lambda: self.page.focus_here())
        self.addDockWidget(Qt.DockWidgetArea.RightDockWidgetArea, made)
        self.restoreDockWidget(made)
        made.hide()
        return made

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Escape puts away what was shown beside the work: a message first, then the working."""
        if event.key() != Qt.Key.Key_Escape or not self._put_away():
            super().keyPressEvent(event)

    def _put_away(self) -> bool:
        shown = [strip for strip in (*self.page.findChildren(Strip), self.strip) if strip.isVisible()]
        if shown:
            shown[0].put_away()
        elif "panel" in self.__dict__ and self.panel.isVisible():
            self.panel.put_away()
        else:
            return False
        return True

    def show_why(self) -> None:
        """Show the working behind what is selected here."""
        asked = self.page.why()
        if asked is None:
            self.page.strip.say(*self.page.why_not())
        else:
            self.panel.show_working(asked)

    def show_help(self, name: str) -> None:
        """Open the help at that page."""
        from annual_planner.desktop.help_window import HelpWindow

        window = self.popup("help", lambda: HelpWindow(self))
        if isinstance(window, HelpWindow):
            window.show_page(name)

    def popup(self, name: str, make: Callable[[], QWidget]) -> QWidget:
        """The window kept beside this one under that name, made where it wasn't yet; closed with it."""
        if name not in self._popups:
            self._popups[name] = make()
        return self._popups[name]

    def _broke(self, said: str, report: str) -> None:
        from annual_planner.desktop.report_window import ReportWindow

        self.strip.say(said, "The window stays usable.", ReportWindow(report, self).open)

    def _changed(self, kinds: frozenset[str]) -> None:
        if "person" in kinds:
            self._ask_people()

    # -- following what changes elsewhere ---------------------------------------------------------------

    def _follow_trail(self) -> None:
        trail = self.desk.jobs.trail
        for name, entry in (("undo", trail.undo), ("redo", trail.redo)):
            action = self.menus.actions[name]
            action.setEnabled(entry is not None)
            word = f"&{name.capitalize()}"
            action.setText(f"{word} {entry.says}" if entry else word)

    def _follow_look(self) -> None:
        theme = self.desk.theme
        wide, high = (theme.sizes.of(lines) for lines in LEAST_LINES)
        self.stack.setMinimumSize(wide, high)  # a place then leaves out what has no room
        self.menus.actions[theme.scheme].setChecked(True)
        self.menus.actions["bench"].setChecked(theme.bench)
        if not self._undrawn:
            self._draw_logo()

    def _draw_logo(self) -> None:
        self.setWindowIcon(icon("logo", self.desk.theme.colours.accent, large=True))

    def _follow_history(self) -> None:
        self.menus.actions["back"].setEnabled(self._history.can_back)
        self.menus.actions["forward"].setEnabled(self._history.can_forward)

    def open_places(self) -> list[Place]:
        """The places that the person at the window is shown."""
        return [place for place in self._places if open_to(place, self.desk.who.person.role)]

    def _offer_places(self) -> None:
        shown = self.open_places()
        for place in self._places:
            self.menus.actions[f"go-{place.name}"].setVisible(place in shown)
        self.menus.actions["take_in"].setVisible(self.desk.who.person.may_edit)

    def _other_person(self) -> None:
        self._offer_places()
        place, subject = FIRST_PLACE[self.desk.who.person.role]
        self.go(place, subject)

    def _ask_people(self) -> None:
        def people(work: Work) -> Sequence[PersonLine]:
            from annual_planner.store import fleet_reads

            return fleet_reads.people(work)

        self.desk.jobs.read(people, self, self.rail.take_people, topic="people")

    # -- kept from one start to the next -----------------------------------------------------------------

    def showEvent(self, event: QShowEvent) -> None:
        """Begin what could wait even where nothing is painted, as in a window that starts out minimized."""
        super().showEvent(event)
        QTimer.singleShot(UNSEEN_MS, self, self._after_paint)

    def paintEvent(self, event: QPaintEvent) -> None:
        """The rest of the window is painted in the same turn of the event loop; the next one is free."""
        super().paintEvent(event)
        if self._unpainted:
            QTimer.singleShot(0, self, self._after_paint)

    def _after_paint(self) -> None:
        """Do what could wait, once: icons of the menus, people, the fleet."""
        if self._unpainted:
            self._unpainted = False
            self.painted.emit()
            self._ask_people()
            QTimer.singleShot(DRAW_AFTER_MS, self, self._draw_rest)

    def _draw_rest(self) -> None:
        """Draw the icons that no first painting shows."""
        self._undrawn = False
        self.menus.draw()
        for page in self._pages.values():
            page.draw_actions()
        self._draw_logo()

    def _restore(self) -> None:
        settings, line = self.desk.settings, self.fontMetrics().height()
        self.resize(line * 72, line * 44)
        geometry, state = settings.value("window/geometry"), settings.value("window/state")
        if isinstance(geometry, QByteArray):
            self.restoreGeometry(geometry)
        if isinstance(state, QByteArray):
            self.restoreState(state, STATE_VERSION)
        place, subject = _kept_stop(settings.value("window/place"), self._facts.where)
        names = {place.name for place in self.open_places()}
        if place not in names:
            place, subject = FIRST_PLACE[self.desk.who.person.role]
        self.go(place, subject)

    def _keep(self) -> None:
        settings = self.desk.settings
        settings.setValue("window/geometry", self.saveGeometry())
        settings.setValue("window/state", self.saveState(STATE_VERSION))
        subject = self.page.subject
        kind = next((name for name, made in KEPT_SUBJECTS.items() if type(subject) is made), "")
        settings.setValue("window/place", [self._facts.where, self.page.place, kind, str(subject)])
        settings.sync()

    def closeEvent(self, event: QCloseEvent) -> None:
        """Keep the place, finish what is being written, end every job."""
        self._keep()
        for popup in self._popups.values():
            popup.close()
        self.desk.jobs.close()
        super().closeEvent(event)
        self.closed.emit()


def _kept_stop(kept: object, where: str) -> tuple[str, object]:
    """Place and subject kept for this fleet; another fleet's subject would mean nothing here."""
    if not isinstance(kept, list) or len(kept) != 4 or kept[0] != where:
        return "", None
    _where, place, kind, subject = (str(each) for each in kept)
    return place, KEPT_SUBJECTS[kind](subject) if kind in KEPT_SUBJECTS else None
