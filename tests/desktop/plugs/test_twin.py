"""Airplanes with several engines, what an owner sees, and what an empty place says first."""

from pathlib import Path

import pytest
from PySide6.QtWidgets import QPushButton
from pytestqt.qtbot import QtBot

from annual_planner.desktop.app import Program
from annual_planner.desktop.plugs.page import PlugsPage
from annual_planner.desktop.who import Person
from annual_planner.desktop.window import MainWindow
from annual_planner.records.aircraft import NewAssembly
from annual_planner.records.plug_stock import SetEngineType
from annual_planner.store.fleet_reads import owner_of
from annual_planner.store.opening import open_fleet
from annual_planner.store.plug_reads import engine_places
from tests.desktop.conftest import settle
from tests.desktop.plugs.bench import write
from tests.fleets import airplane

pytestmark = pytest.mark.desktop


def test_four_engines_have_a_button_each_and_each_shows_its_own_type(
    program: Program, fleet_file: Path, qtbot: QtBot
) -> None:
    kinds = ("wrenlake_o4", "wrenlake_o6", "ostermoor_r9", "pellworm_l6")
    with open_fleet(fleet_file) as fleet:
        engines = tuple(
            NewAssembly("engine", "Brindle", "B", f"E{position}", position=position)
            for position in range(1, 5)
        )
        aircraft_id = write(fleet, airplane("N078FR", assemblies=engines)).made_id
        assert aircraft_id is not None
        with fleet.reading() as work:
            places = engine_places(work, aircraft_id)
        for place, kind in zip(places, kinds, strict=True):
            write(fleet, SetEngineType(place.assembly_id, "", kind))
    window = started(program, fleet_file, qtbot)
    window.go("plugs", aircraft_id)
    settle(qtbot, window)
    page = page_of(window)
    counts = []
    for number in range(1, 5):
        chips = {chip.text(): chip for chip in page.findChildren(QPushButton) if chip.property("chip")}
        chips[f"Engine {number}"].click()
        settle(qtbot, window)
        assert page.view is not None
        assert page.subject == [aircraft_id, number]
        counts.append(page.view.engine_type.cylinder_count)
    assert counts == [4, 6, 9, 6]


def test_an_owner_looks_and_is_offered_no_edit(window: MainWindow, qtbot: QtBot) -> None:
    window.go("plugs", 1)
    settle(qtbot, window)
    page = page_of(window)
    with window.desk.jobs.fleet.reading() as work:
        owner_id = owner_of(work, 1)
    window.desk.who.pick(Person("owner", owner_id, "Owner"))
    settle(qtbot, window)
    window.go("plugs", 1)
    settle(qtbot, window)
    offered = [action.text() for action in page.actions_here if action.isVisible()]
    assert offered == [
        "Set the tor&que wrench…",
        "&Print the sheets…",
        "Write the history o&ut…",
        "Open the &airplane",
        "Ne&xt part",
        "Part &before",
    ]
    assert page.view is not None
    assert page.tabs.tray.entry.isHidden()
    window.desk.who.pick(Person("owner", -1, "Somebody else"))
    settle(qtbot, window)
    page.refresh()
    settle(qtbot, window)
    assert page.view is None
    assert "belongs to somebody else" in page.blank.accessibleDescription()


def test_without_an_airplane_the_place_says_what_to_do_first(window: MainWindow) -> None:
    page = PlugsPage(window.desk)
    assert page.blank.accessibleDescription().startswith("No airplane is chosen")
    page.deleteLater()


def test_nothing_of_the_place_is_imported_before_it_is_opened() -> None:
    import subprocess
    import sys

    asks = "print([m for m in sys.modules if m.startswith('annual_planner.desktop.plugs')])"
    said = subprocess.run(
        [sys.executable, "-c", f"import sys, annual_planner.desktop.window; {asks}"],
        capture_output=True,
        text=True,
        check=True,
    )
    assert said.stdout.strip() == "[]"


def started(program: Program, fleet_file: Path, qtbot: QtBot) -> MainWindow:
    program.start(fleet_file)
    assert program.window is not None
    settle(qtbot, program.window)
    return program.window


def page_of(window: MainWindow) -> PlugsPage:
    page = window.page_of("plugs")
    assert isinstance(page, PlugsPage)
    return page


def test_the_row_of_an_engine_leads_to_its_plugs_and_that_of_the_airframe_does_not(
    window: MainWindow, qtbot: QtBot
) -> None:
    from annual_planner.desktop.aircraft.page import AircraftPage

    window.go("aircraft", 1)
    settle(qtbot, window)
    page = window.page
    assert isinstance(page, AircraftPage)
    kinds = {line.kind: place for place, line in enumerate(page.held_assemblies.rows)}
    said = {
        kind: [action.text() for action in page.assemblies.view.row_menu(place).actions()]
        for kind, place in kinds.items()
    }
    assert "Plugs and cylinders" in said["engine"]
    assert "Plugs and cylinders" not in said["airframe"]
    menu = page.assemblies.view.row_menu(kinds["engine"])
    next(action for action in menu.actions() if action.text() == "Plugs and cylinders").trigger()
    settle(qtbot, window)
    assert window.page.subject == [1, 1]
