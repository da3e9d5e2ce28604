"""What comes first when the program starts."""

import os
import subprocess
import sys
from pathlib import Path

import pytest
from PySide6.QtCore import QEvent, QObject
from pytestqt.qtbot import QtBot

from annual_planner.desktop.opener import Opener
from tests.desktop.conftest import MakeProgram


class Watch(QObject):
    """Notes that something was painted."""

    def __init__(self, told: list[str]) -> None:
        super().__init__()
        self._told = told

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:  # noqa: N802 - the name is Qt's
        if event.type() == QEvent.Type.Paint:
            self._told.append("painted")
        return False


def test_a_fleet_known_from_the_last_time_is_opened_after_the_first_painting(
    make_program: MakeProgram, fleet_file: Path, qtbot: QtBot, monkeypatch: pytest.MonkeyPatch
) -> None:
    before = make_program()
    before.start(fleet_file)
    before.close()
    told: list[str] = []
    fill = Opener.fill

    def noted(opener: Opener, where: str) -> None:
        told.append("opened")
        fill(opener, where)

    monkeypatch.setattr(Opener, "fill", noted)
    program = make_program()
    program.start(fleet_file)
    watch = Watch(told)
    window = program.window
    assert window is not None
    window.rail.person.installEventFilter(watch)
    qtbot.waitUntil(lambda: "opened" in told and window.desk.jobs.awaited == ())
    assert told.index("painted") < told.index("opened")
    assert told.count("opened") == 1


STARTED = """
import linecache, sys
from pathlib import Path
from annual_planner.desktop.app import Program, application
from PySide6.QtCore import QSettings, QTimer
app = application()
folder = Path(sys.argv[2])
program = Program(app, QSettings(str(folder / "kept.ini"), QSettings.Format.IniFormat), folder=folder)
program.start(sys.argv[1])
def look():
    table = program.window.page.airplanes.table
    if table.rowCount() and table.row_at(0) is not None:
        print(*sorted(sys.modules))
        program.close()
        kept = [path for path in linecache.cache if path.endswith(".py")]
        ours = [path for path in kept if "annual_planner" in path or "sqlalchemy" in path]
        app.exit(len(ours))
    else:
        QTimer.singleShot(5, look)
QTimer.singleShot(0, look)
sys.exit(app.exec())
"""
WAITS = (
    "PIL",
    "alembic",
    "argon2",
    "cryptography",
    "holidays",
    "numpy",
    "openpyxl",
    "ortools",
    "pint",
    "psycopg",
    "pydantic",
    "pypdfium2",
    "pyqtgraph",
    "reportlab",
    "scipy",
    "multiprocessing",
    "_ssl",
    "_hashlib",
    "asyncio.events",
    "importlib.metadata._meta",
    "annual_planner.paper",
    "annual_planner.store.tables",
    "annual_planner.store.plug_mappings",
    "annual_planner.store.doing_mappings",
    "annual_planner.store.record_mappings",
    "annual_planner.store.shop_mappings",
    "annual_planner.desktop.annual.page",
    "annual_planner.desktop.aircraft.page",
    ").split(",
)
"""What no list of airplanes needs, so the start does without."""


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("started")


def start(sample: Path, folder: Path) -> subprocess.CompletedProcess[str]:
    around = {**os.environ, "PYTHONPATH": os.pathsep.join(sys.path), "QT_QPA_PLATFORM": "offscreen"}
    words = [sys.executable, "-c", STARTED, str(sample), str(folder)]
    return subprocess.run(words, env=around, capture_output=True, text=True, timeout=60, check=False)


@pytest.fixture(scope="module")
def started(sample: Path, folder: Path) -> subprocess.CompletedProcess[str]:
    """The program in a process of its own, ended as soon as the first rows are there."""
    return start(sample, folder)


def test_the_rows_of_a_fleet_known_from_the_last_time_are_shown_before_sqlalchemy_is_there(
    started: subprocess.CompletedProcess[str], sample: Path, folder: Path
) -> None:
    assert started.returncode == 0
    again = start(sample, folder)
    loaded = set(again.stdout.split())
    assert "annual_planner.store.glance" in loaded, again.stderr
    assert [name for name in loaded if name.partition(".")[0] in ("sqlalchemy", "alembic")] == []


def test_the_first_rows_are_shown_without_importing_what_they_do_not_need(
    started: subprocess.CompletedProcess[str],
) -> None:
    loaded = set(started.stdout.split())
    assert {"sqlalchemy.orm", "annual_planner.desktop.fleet_page"} <= loaded, started.stderr
    assert [name for name in WAITS if name in loaded] == []


def test_imports_after_qt_are_pythons_own_and_keep_no_source(
    started: subprocess.CompletedProcess[str],
) -> None:
    assert started.returncode == 0, started.stderr
