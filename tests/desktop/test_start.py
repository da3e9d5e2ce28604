"""What comes first when the program starts."""

from concurrent.futures import Future
from pathlib import Path

import pytest
from PySide6.QtCore import QEvent, QObject
from pytestqt.qtbot import QtBot

from annual_planner.desktop.opener import Opener
from annual_planner.store.session import Fleet
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

    def noted(opener: Opener, where: str, awaited: Future[Fleet]) -> None:
        told.append("opened")
        fill(opener, where, awaited)

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
