"""The place of the shop's weeks, planned before or never."""

from __future__ import annotations

from pathlib import Path

import pytest
from pytestqt.qtbot import QtBot

from annual_planner.desktop.app import Program
from annual_planner.desktop.weeks import proposing
from annual_planner.desktop.weeks.page import WeeksPage
from tests.desktop.weeks.hands import (
    keep_a_plan,
    open_weeks,
)


@pytest.fixture
def weeks(program: Program, fleet_file: Path, qtbot: QtBot) -> WeeksPage:
    """The place, on a fleet whose weeks were planned before."""
    keep_a_plan(fleet_file)
    return open_weeks(program, fleet_file, qtbot)


@pytest.fixture
def unplanned(program: Program, fleet_file: Path, qtbot: QtBot, monkeypatch: pytest.MonkeyPatch) -> WeeksPage:
    """The place, on a fleet whose weeks were never planned."""
    monkeypatch.setattr(proposing, "SECONDS", 2.0)
    return open_weeks(program, fleet_file, qtbot)
