"""The window on an engine: six cylinders with plugs in or out, four that were never tested."""

from __future__ import annotations

from pathlib import Path

import pytest
from pytestqt.qtbot import QtBot

from annual_planner.desktop.app import Program
from annual_planner.desktop.plugs.page import PlugsPage
from annual_planner.desktop.window import MainWindow
from annual_planner.library.shelf import Library, load_library
from annual_planner.store.opening import open_fleet
from annual_planner.trade.engines import EngineType
from tests.desktop.plugs.bench import add_airplane, fit_out, take_all_out, yearly_tests
from tests.desktop.plugs.hands import open_plugs

SIX, FOUR = "N077PL", "N077PM"


@pytest.fixture(scope="session")
def library() -> Library:
    return load_library()


@pytest.fixture
def kind(library: Library) -> EngineType:
    return library.engine("wrenlake_o6")


@pytest.fixture
def place_of(
    program: Program, fleet_file: Path, qtbot: QtBot, kind: EngineType
) -> tuple[MainWindow, PlugsPage]:
    """The window on the plugs of an airplane of six cylinders, everything in."""
    with open_fleet(fleet_file) as fleet:
        add_airplane(fleet, SIX)
        aircraft_id = fit_out(fleet, SIX, kind)
        yearly_tests(fleet, SIX, kind, 3)
    return open_plugs(program, fleet_file, qtbot, aircraft_id)


@pytest.fixture
def tray(program: Program, fleet_file: Path, qtbot: QtBot, kind: EngineType) -> tuple[MainWindow, PlugsPage]:
    """The same with every plug out."""
    with open_fleet(fleet_file) as fleet:
        add_airplane(fleet, SIX)
        aircraft_id = fit_out(fleet, SIX, kind)
        take_all_out(fleet, SIX, kind)
    return open_plugs(program, fleet_file, qtbot, aircraft_id)


@pytest.fixture
def here(program: Program, fleet_file: Path, qtbot: QtBot, library: Library) -> tuple[MainWindow, PlugsPage]:
    """The window on an engine of four cylinders that was never tested."""
    with open_fleet(fleet_file) as fleet:
        add_airplane(fleet, FOUR)
        aircraft_id = fit_out(fleet, FOUR, library.engine("wrenlake_o4"))
    return open_plugs(program, fleet_file, qtbot, aircraft_id)
