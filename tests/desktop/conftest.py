"""The window on a copy of the sample fleet, with settings and folders of each test's own."""

import os

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")

import shutil
import threading
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from PySide6.QtCore import QSettings, SignalInstance
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot
from pytestqt.wait_signal import SignalBlocker

from annual_planner.desktop import fleet_watch
from annual_planner.desktop.app import Program
from annual_planner.desktop.window import MainWindow

MakeProgram = Callable[[], Program]
LONG_MS = 60_000
"""A last resort: a busy machine may need long for what takes a moment on another."""
CALM_LOOKS = 3
"""Looks, 10 ms apart, that find no job: an answer often asks the next question a turn of the loop later."""


class PatientBot(QtBot):
    """Waits for a condition as long as a busy machine may need for it."""

    def waitUntil(  # noqa: N802 - the name is pytest-qt's
        self, callback: Callable[[], bool | None], *, timeout: int = LONG_MS
    ) -> None:
        super().waitUntil(callback, timeout=timeout)

    def waitSignal(self, signal: SignalInstance, *, timeout: int = LONG_MS, **more: Any) -> SignalBlocker:  # noqa: N802
        return super().waitSignal(signal, timeout=timeout, **more)


@pytest.fixture
def qtbot(qapp: QApplication, request: pytest.FixtureRequest) -> QtBot:
    return PatientBot(request)


@pytest.fixture
def fleet_file(sample: Path, tmp_path: Path) -> Path:
    return Path(shutil.copy(sample, tmp_path / "shop.fleet"))


@pytest.fixture
def make_program(
    qapp: QApplication, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> Iterator[MakeProgram]:
    """Starts the program as often as a test wants, always on the same settings; ends what it started."""
    # On a slow machine it would come into the middle of a test, and say where the machine keeps its files.
    monkeypatch.setattr(fleet_watch, "LOOK_AFTER_MS", 100 * LONG_MS)
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
    left = [thread.name for thread in set(threading.enumerate()) - before if not _ends(thread)]
    assert not left, f"threads left behind: {left}"


def _ends(thread: threading.Thread) -> bool:
    thread.join(LONG_MS / 1000)
    return not thread.is_alive()


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
    """Wait until every question of the window is answered, and none follows from the answers."""
    calm = 0

    def at_rest() -> bool:
        nonlocal calm
        calm = 0 if window.desk.jobs.awaited else calm + 1
        return calm >= CALM_LOOKS

    qtbot.waitUntil(at_rest, timeout=LONG_MS)
