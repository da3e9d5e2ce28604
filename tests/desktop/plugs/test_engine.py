"""The engine as it stands, its rotation, trends and wrench, each with its working."""

from __future__ import annotations

from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from pytestqt.qtbot import QtBot

from annual_planner.desktop.app import Program
from annual_planner.desktop.plugs.page import PlugsPage
from annual_planner.desktop.window import MainWindow
from annual_planner.store.opening import open_fleet
from annual_planner.trade.engines import place
from annual_planner.trade.torque import TorqueUnit
from annual_planner.trade.working import Working
from tests.desktop.conftest import settle
from tests.desktop.plugs.bench import add_airplane
from tests.desktop.plugs.hands import fill, form_of, open_plugs, show, submit

pytestmark = pytest.mark.desktop


def test_the_engine_is_walked_by_arrows_and_clicked(
    place_of: tuple[MainWindow, PlugsPage], qtbot: QtBot
) -> None:
    _window, page = place_of
    drawing = page.tabs.engine.drawing
    drawing.setFocus()
    drawing.choose(place("2T"))
    qtbot.keyClick(drawing, Qt.Key.Key_Down)
    assert drawing.chosen == place("2B")
    qtbot.keyClick(drawing, Qt.Key.Key_Right)
    assert drawing.chosen == place("1B")
    spot = drawing.point_of(place("5T")).toPoint()
    qtbot.mouseClick(drawing, Qt.MouseButton.LeftButton, pos=spot)
    assert drawing.chosen == place("5T")
    assert "Cylinder 5 top" in page.tabs.engine.about.text()
    assert "cylinder 5 top" in drawing.accessibleDescription()


def test_an_engine_without_a_type_asks_for_it_first(program: Program, fleet_file: Path, qtbot: QtBot) -> None:
    with open_fleet(fleet_file) as fleet:
        aircraft_id = add_airplane(fleet, "N077PL")
    program.start(fleet_file)
    window = program.window
    assert window is not None
    settle(qtbot, window)
    window.go("plugs", aircraft_id)
    settle(qtbot, window)
    page = window.page
    assert isinstance(page, PlugsPage)
    assert "Of which type" in page.blank.accessibleDescription()
    page.doings.start_type()
    fill(page, type_key="ostermoor_r9")
    submit(page, window, qtbot)
    assert page.view is not None
    assert page.view.engine_type.cylinder_count == 9
    assert page.doings.fit.isEnabled()


def test_every_tab_shows_its_working_where_it_computes(place_of: tuple[MainWindow, PlugsPage]) -> None:
    _window, page = place_of
    for part in (page.tabs.rotation, page.tabs.compression, page.tabs.trends):
        show(page, part)
        working = page.why()
        assert isinstance(working, Working), part.accessibleName()
        assert working.result


def test_a_point_of_the_trend_opens_its_test(place_of: tuple[MainWindow, PlugsPage], qtbot: QtBot) -> None:
    _window, page = place_of
    page.tabs.trends.show_cylinder(3)
    show(page, page.tabs.trends)
    chart = page.tabs.trends.chart
    run = next(run for run in chart.picture.runs if run.loud)
    first = run.points[0]
    spot = chart.spot(first.hours, first.value).toPoint()
    qtbot.mouseClick(chart, Qt.MouseButton.LeftButton, pos=spot)
    assert page.tabs.part is page.tabs.compression
    chosen = page.tabs.compression.chosen_test
    assert chosen is not None
    assert chosen.line.test_id == first.key


def test_all_plugs_together_are_said_with_their_working(
    program: Program, fleet_file: Path, qtbot: QtBot
) -> None:
    _window, page = open_plugs(program, fleet_file, qtbot, "N028RT")
    tab = page.tabs.engine
    said = "Of 12 plugs 3 won't reach the next annual (1T, 4B, 6B), 9 last until then."
    assert tab.whole_set.text().startswith(said)
    assert "at a visit of their own" in tab.whole_set.text()
    with qtbot.waitSignal(page.wants_working) as asked:
        tab.set_why.click()
    assert asked.args[0].title == "Plugs until the next annual"


def test_the_wrench_is_set_lower_with_an_adapter_and_never_above_the_range(
    place_of: tuple[MainWindow, PlugsPage], qtbot: QtBot
) -> None:
    window, page = place_of
    page.doings.wrench.trigger()
    fill(page, wanted="330", unit=TorqueUnit.INCH_POUND, wrench_in="10", extension_in="4")
    submit(page, window, qtbot)
    assert "Set the wrench to 26.6" in form_of(page).summary.text()
    assert "in range" in form_of(page).summary.text()
    working = page.why()
    assert isinstance(working, Working)
    assert working.parts
    fill(page, joint_deg="30")
    submit(page, window, qtbot)
    assert "come straighter" in form_of(page).summary.text()
    fill(page, wanted="600", joint_deg="0")
    submit(page, window, qtbot)
    assert "The shell stretches" in form_of(page).summary.text()


def test_a_rotation_says_what_it_changes_and_which_one_is_proposed(
    program: Program, fleet_file: Path, qtbot: QtBot
) -> None:
    _window, page = open_plugs(program, fleet_file, qtbot, "N012MH")
    show(page, page.tabs.rotation)
    tab = page.tabs.rotation
    assert "8 of 8 plugs move, 8 change row, 4 magneto; polarity" in tab.said.text()
    assert tab.proposed.text() == (
        "Proposed: Mirror cylinder, other row: row and polarity change for all 8 plugs."
    )
    with qtbot.waitSignal(page.wants_working) as asked:
        tab.why_proposed.click()
    assert asked.args[0] is page.view.proposal.working  # type: ignore[union-attr]
    tab.scheme_wanted.emit("mirror_cylinder_other_row")
    assert "polarity changes for 8" in tab.said.text()
    assert tab.proposed.isHidden()
