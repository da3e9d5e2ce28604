"""Starts the program's window on a fleet, or on the first page."""

from __future__ import annotations

import gc
import logging
import sys
import traceback
from collections.abc import Callable, Iterator, Sequence
from datetime import date
from importlib import import_module
from pathlib import Path
from types import TracebackType
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, QSettings, Qt, QTimer
from PySide6.QtWidgets import QApplication, QWidget

from annual_planner.desktop.desk import Desk, LoadLibrary
from annual_planner.desktop.jobs import Jobs
from annual_planner.desktop.opener import FleetFacts, Opener, facts_of, opened, today_of
from annual_planner.desktop.places import PLACES, Place
from annual_planner.desktop.theme import Theme
from annual_planner.desktop.who import Who
from annual_planner.desktop.window import MainWindow
from annual_planner.trade.refused import Refused

if TYPE_CHECKING:
    from annual_planner.desktop.first_run import FirstRun
    from annual_planner.library.shelf import Library
    from annual_planner.store.session import Fleet

log = logging.getLogger(__name__)
NAME = "annual-planner"
CALM_AFTER_MS = 3000
LOG_AFTER_MS = 200
"""The first painting comes before the file of the log."""
OPEN_AFTER_MS = 10
"""The rows seen at a glance are painted before the fleet is opened."""
STEP_MS = 2
"""Between two imports at rest, so that what came in meanwhile gets its turn."""
LOCK_S = 0.0002
"""How long a worker that computes keeps Python's lock. Many a call of Qt lets it go and then waits for it:
Python's own 5 ms would add up while a page is built."""
NEW_DAY_MS = 300_000
"""How often the program looks whether a new day has begun."""


def run(
    fleet: str | Path | Fleet | None = None,
    load_library: LoadLibrary | None = None,
    today: date | None = None,
    argv: Sequence[str] = (),
) -> int:
    """Open the window and stay until it is closed; gives the exit status.

    Without a fleet, the one used last is opened, or the first page is shown. Whoever starts the program turns
    the garbage collector off before the first import of Qt; `calm_collector` turns it on.
    """
    app = application(argv)
    program = Program(app, QSettings(NAME, NAME), load_library, today)
    sys.excepthook = program.fault
    program.start(fleet)
    QTimer.singleShot(CALM_AFTER_MS, lambda: settle(PLACES, program.read_ahead))
    try:
        return app.exec()
    finally:
        program.close()


def settle(left: Sequence[Place], then: Callable[[], object], steps: Iterator[str] | None = None) -> None:
    """Import what these places' pages need, one module a turn of the event loop; then calm the collector."""
    step = None if steps is None else next(steps, None)
    if step is not None:
        import_module(step)
        QTimer.singleShot(STEP_MS, lambda: settle(left, then, steps))
    elif left:
        QTimer.singleShot(0, lambda: settle(left[1:], then, left[0].steps()))
    else:
        meet_widgets()
        calm_collector()
        then()


def meet_widgets() -> None:
    """Let the binding make its classes of all kinds of widgets now.

    It makes them when it first has to find out of which kind a widget of Qt's own is; the page that asked for
    the widget would stand still meanwhile.
    """
    from PySide6.QtWidgets import QScrollArea

    QScrollArea().viewport()


def calm_collector() -> None:
    """Leave what was made at the start out of later garbage collections, and collect more seldom.

    A full collection stops every thread; with the whole program in it, a query for 100,000 rows, which starts
    several, made the window stand still for 100 ms and more. During the start nothing is worth collecting.
    """
    gc.freeze()
    gc.enable()
    gc.set_threshold(20_000, 20, 50)


def application(argv: Sequence[str] = ()) -> QApplication:
    """The one QApplication, named for the desktop."""
    running = QApplication.instance()
    if isinstance(running, QApplication):
        return running
    QApplication.setHighDpiScaleFactorRoundingPolicy(Qt.HighDpiScaleFactorRoundingPolicy.PassThrough)
    app = QApplication([NAME, "-style", "fusion", *argv])
    sys.setswitchinterval(LOCK_S)
    app.setApplicationName(NAME)
    app.setApplicationDisplayName("Annual Planner")
    app.setDesktopFileName("annual-planner")  # the name of the desktop entry
    return app


def data_folder() -> Path:
    """Where fleets and logs of this person lie."""
    from PySide6.QtCore import QStandardPaths

    place = QStandardPaths.writableLocation(QStandardPaths.StandardLocation.AppLocalDataLocation)
    folder = Path(place)
    folder.mkdir(parents=True, exist_ok=True)
    return folder


class Program(QObject):
    """Holds the window that is open, and replaces it when another fleet is wanted."""

    def __init__(
        self,
        app: QApplication,
        settings: QSettings,
        load_library: LoadLibrary | None = None,
        today: date | None = None,
        folder: Path | None = None,
    ) -> None:
        super().__init__()
        self._app = app
        self._settings = settings
        self._load_library = load_library or _shipped_library
        self._today = today
        self._folder = folder or data_folder()
        QTimer.singleShot(LOG_AFTER_MS, self, self._log_to_file)
        self.theme = Theme(app, settings)
        self.theme.apply()
        self.window: MainWindow | None = None
        self.first: FirstRun | None = None
        self._fleet: Fleet | None = None
        self._opener: Opener | None = None
        self._fixed_today = ""
        self._new_day = QTimer(self)
        self._new_day.timeout.connect(self._look_at_day)
        self._new_day.start(NEW_DAY_MS)

    def start(self, fleet: str | Path | Fleet | None = None) -> None:
        """Show the fleet given, the one used last, or the first page."""
        if fleet is not None and not isinstance(fleet, str | Path):
            self.show(fleet, str(fleet.path or ""))
            return
        where = str(fleet) if fleet else str(self._settings.value("fleet/last", ""))
        known = self._kept_facts(where)
        if not where or not (fleet or where.startswith("postgresql") or Path(where).exists()):
            self.show_first()
        elif known is not None:
            self._show_known(known)
        else:
            self._open_and_show(where)

    def _open_and_show(self, where: str) -> None:
        if where.startswith("postgres") and "://" in where:
            self.show_first()
            if self.first is not None:
                self.first.call(where)  # a server may take its time
            return
        try:
            self.show(opened(where), where)
        except Refused as refused:
            self.show_first()
            if self.first is not None:
                self.first.failed(refused)

    def _show_known(self, facts: FleetFacts) -> None:
        """Paint the window first and open the fleet behind it: its facts are known from the last time."""
        window = self._window(None, facts)
        window.painted.connect(lambda: self._open_behind(window, facts.where))
        self._replace(window, None)

    def _open_behind(self, window: MainWindow, where: str) -> None:
        """Open the fleet behind the painted window, after a glance at its file where that fills the page."""
        look = None if where.startswith("postgresql") else window.page.glance()
        if look is None:
            self._opening().fill(where)
        else:
            self._opening().glance(where, look)

    def _glanced(self, where: str, seen: object) -> None:
        """Show what the glance saw; once that is painted, open the fleet, which keeps the processor busy."""
        window = self.window
        if window is None or window.where != where or window.desk.jobs.is_open:
            return  # another fleet was wanted meanwhile
        if seen is not None:
            window.page.take_glance(seen)
        QTimer.singleShot(OPEN_AFTER_MS, window, lambda: self._opening().fill(where))

    def _arrive(self, fleet: Fleet, facts: FleetFacts) -> None:
        """The awaited fleet is open. Where its facts have changed meanwhile, the window is made anew."""
        self._opening().claim(fleet)
        self._fleet = fleet
        if self.window is not None:
            self.window.desk.jobs.take(fleet)
        if facts != self._kept_facts(facts.where):
            self.show(fleet, facts.where)
        elif self.window is not None:
            self._bring_forward(self.window.desk.jobs)
            self._watch(self.window)

    def _miss(self, error: Exception) -> None:
        """The awaited fleet can't be opened: back to the first page, which says why."""
        window, self.window = self.window, None
        self.show_first()
        if self.first is not None:
            self.first.failed(error)
        if window is not None:
            window.close()
            window.deleteLater()

    def show(self, fleet: Fleet, where: str) -> None:
        """Show the window on an open fleet; what was shown before is closed."""
        if self._opener is not None:
            self._opener.claim(fleet)
        if fleet.path is None and where:
            from annual_planner.store.server import without_password

            where = without_password(where)
        facts = facts_of(fleet, where)
        self._settings.setValue("fleet/last", where)
        self._settings.setValue("fleet/facts", [*facts[:2], "demo" if facts.demo else "", facts.fixed_today])
        window = self._window(fleet, facts)
        self._replace(window, fleet)
        self._bring_forward(window.desk.jobs)
        self._watch(window)

    def _watch(self, window: MainWindow) -> None:
        from annual_planner.desktop.fleet_watch import watch_later

        watch_later(window.desk.jobs, window.strip)

    def _bring_forward(self, jobs: Jobs) -> None:
        jobs.bring_forward(self._day())

    def _day(self) -> date:
        return self._today or today_of(self._fixed_today)

    def _look_at_day(self) -> None:
        """Count from the new day once midnight has passed."""
        if self.window is not None and self._fleet is not None and self._day() != self.window.desk.jobs.today:
            self._bring_forward(self.window.desk.jobs)

    def _replace(self, window: MainWindow, fleet: Fleet | None) -> None:
        before, old = self.window, self._fleet
        self.window, self._fleet = window, fleet
        window.show()
        for shown in (before, self.first):
            if shown is not None:
                shown.close()
                shown.deleteLater()
        self.first = None
        if old is not None and old is not fleet:
            old.close()

    def _kept_facts(self, where: str) -> FleetFacts | None:
        kept = self._settings.value("fleet/facts")
        if not isinstance(kept, list) or len(kept) != len(FleetFacts._fields):
            return None
        name, kept_where, demo, fixed_today = (str(each) for each in kept)
        return FleetFacts(name, where, bool(demo), fixed_today) if where and kept_where == where else None

    def _window(self, fleet: Fleet | None, facts: FleetFacts) -> MainWindow:
        who = Who(self._settings, self)
        self._fixed_today = facts.fixed_today
        jobs = Jobs(fleet, lambda: who.person.by, self._day(), may_edit=lambda: who.person.may_edit)
        desk = Desk(jobs, self.theme, self._settings, who, self._load_library)
        window = MainWindow(desk, facts, str(self._folder / "log"))
        window.wants_fleet.connect(self.choose)
        self.theme.dress(window)
        return window

    def read_ahead(self) -> None:
        """Read the library while nothing else is done; a fault in it is told where the library is wanted."""
        if self.window is not None:
            self.window.desk.with_library(self.window, lambda _library: None, lambda _error: None)

    def show_first(self) -> None:
        """Show the first page."""
        from annual_planner.desktop.first_run import FirstRun

        self.first = FirstRun(self.theme, self._folder)
        last = str(self._settings.value("fleet/last", ""))
        self.first.server.setText(last if "://" in last else "")
        self.first.wants_sample.connect(lambda: self._opening().open_sample(self._folder / "sample.fleet"))
        self.first.wants_open.connect(lambda where: self._opening().open(where))
        self.first.wants_new.connect(lambda where: self._opening().open(where, create=True))
        self.theme.dress(self.first)
        self.first.show()

    def choose(self, which: str) -> None:
        """Another fleet is wanted from the open window's menu."""
        if which == "sample":
            self._opening().open_sample(self._folder / "sample.fleet")
            return
        from PySide6.QtWidgets import QFileDialog

        ask = QFileDialog.getSaveFileName if which == "new" else QFileDialog.getOpenFileName
        title = "Start a new fleet" if which == "new" else "Open a fleet"
        path, _ = ask(self._shown(), title, str(self._folder), "Fleet file (*.fleet);;All files (*)")
        if path:
            whole = path if Path(path).suffix or which == "open" else f"{path}.fleet"
            self._opening().open(whole, create=which == "new")

    def close(self) -> None:
        """End what runs, let the fleet go."""
        if self.window is not None:
            self.window.close()
        if self.first is not None:
            self.first.close()
        if self._opener is not None:
            self._opener.close()
        if self._fleet is not None:
            self._fleet.close()
            self._fleet = None

    def fault(self, kind: type[BaseException], error: BaseException, trace: TracebackType | None) -> None:
        """Take a fault that nothing else took: log it and offer the report; the window stays usable."""
        report = "".join(traceback.format_exception(kind, error, trace))
        log.error("%s", report)
        if self.window is not None:
            self.window.desk.jobs.broke.emit("Something went wrong in the program. Nothing was lost.", report)
        else:
            sys.__excepthook__(kind, error, trace)

    def _opening(self) -> Opener:
        if self._opener is None:
            self._opener = Opener(self)
            self._opener.opened.connect(self.show)
            self._opener.failed.connect(self._failed)
            self._opener.glanced.connect(self._glanced)
            self._opener.arrived.connect(self._arrive)
            self._opener.missed.connect(self._miss)
        return self._opener

    def _failed(self, error: Exception) -> None:
        if not isinstance(error, Refused):
            log.error("%s", "".join(traceback.format_exception(error)))
        if self.first is not None:
            self.first.failed(error)
        elif self.window is not None:
            said = getattr(error, "said", "") or "The fleet could not be opened."
            self.window.strip.say(said, getattr(error, "remedy", ""))

    def _shown(self) -> QWidget | None:
        return self.window or self.first

    def _log_to_file(self) -> None:
        from annual_planner.desktop.log_file import log_to

        log_to(self._folder / "log")


def _shipped_library() -> Library:
    from annual_planner.library.shelf import load_library

    return load_library()
