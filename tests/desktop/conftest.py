"""The window on a copy of the sample fleet, with settings and folders of each test's own."""

import os

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")

import shutil
import threading
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from PySide6.QtCore import QSettings
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from annual_planner.desktop.app import Program
from annual_planner.desktop.window import MainWindow
from demo_fleet.loader import build_demo

MakeProgram = Callable[[], Program]


@pytest.fixture(scope="session")
def sample(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The sample fleet, built once; tests work on copies."""
    path = tmp_path_factory.mktemp("sample") / "sample.fleet"
    build_demo(path)
    return path


@pytest.fixture
def fleet_file(sample: Path, tmp_path: Path) -> Path:
    return Path(shutil.copy(sample, tmp_path / "shop.fleet"))


@pytest.fixture
def make_program(qapp: QApplication, tmp_path: Path) -> Iterator[MakeProgram]:
    """Starts the program as often as a test wants, always on the same settings; ends what it started."""
    made: list[Program] = []
    before = set(threading.enumerate())

    def make() -> Program:
        settings = QSettings(str(tmp_path / "kept.ini"), QSettings.Format.IniFormat)
        made.append(Program(qapp, settings, folder=tmp_path / "data"))
        return made[-1]

    yield make
    for program in made:
        program.close()
        program.theme.set_percent(100)
        program.theme.deleteLater()
        for shown in (program.window, program.first):
            if shown is not None:
                shown.deleteLater()
    qapp.processEvents()
    left = [thread.name for thread in set(threading.enumerate()) - before if thread.is_alive()]
    assert not left, f"threads left behind: {left}"


@pytest.fixture
def program(make_program: MakeProgram) -> Program:
    return make_program()


@pytest.fixture
def window(program: Program, fleet_file: Path, qtbot: QtBot) -> MainWindow:
    """The main window on the sample, its first list read."""
    program.start(fleet_file)
    assert program.window is not None
    settle(qtbot, program.window)
    return program.window


def settle(qtbot: QtBot, window: MainWindow) -> None:
    """Wait until every question of the window is answered."""

    def quiet() -> None:
        assert not window.desk.jobs.awaited

    qtbot.wait(10)
    qtbot.waitUntil(quiet, timeout=10_000)
    qtbot.wait(10)
    qtbot.waitUntil(quiet, timeout=10_000)
