"""How a test works in the place of the shop's weeks."""

from __future__ import annotations

from datetime import date
from pathlib import Path

from PySide6.QtWidgets import QPushButton, QWidget
from pytestqt.qtbot import QtBot

from annual_planner.desktop.app import Program
from annual_planner.desktop.weeks.moving import keep_of
from annual_planner.desktop.weeks.page import WeeksPage
from annual_planner.desktop.window import MainWindow
from annual_planner.planning.shop_weeks.placing import place_visits
from annual_planner.planning.shop_weeks.stored import weeks_from_fleet
from annual_planner.records.apply import apply
from annual_planner.store.opening import open_fleet
from annual_planner.store.shop_reads import PlannedVisit, planned_visits
from demo_fleet.loader import DEMO_TODAY
from tests.desktop.conftest import settle

LONG_MS = 120_000
"""A last resort, for a machine that is busy with other things."""


def keep_a_plan(path: Path) -> None:
    """Keep a plan by rule in the file, as one that was proposed before."""
    with open_fleet(path) as fleet:
        with fleet.reading() as work:
            asked = weeks_from_fleet(work, DEMO_TODAY).asked
        apply(fleet, keep_of(asked, place_visits(asked, seconds=0).value), "test", DEMO_TODAY)


def open_weeks(program: Program, path: Path, qtbot: QtBot) -> WeeksPage:
    program.start(path)
    window = program.window
    assert window is not None
    window.resize(1280, 800)
    window.go("weeks")
    settle(qtbot, window)
    assert isinstance(window.page, WeeksPage)
    return window.page


def window_of(page: WeeksPage) -> MainWindow:
    window = page.window()
    assert isinstance(window, MainWindow)
    return window


def quiet(qtbot: QtBot, page: WeeksPage) -> None:
    qtbot.waitUntil(lambda: not page.proposing.running, timeout=LONG_MS)
    settle(qtbot, window_of(page))


def button(within: QWidget, words: str) -> QPushButton:
    found = [each for each in within.findChildren(QPushButton) if each.text() == words and each.isVisible()]
    assert found, words
    return found[0]


def press(qtbot: QtBot, within: QWidget, words: str) -> None:
    button(within, words).click()
    qtbot.wait(10)


def undo(qtbot: QtBot, page: WeeksPage) -> None:
    window_of(page).menus.actions["undo"].trigger()
    settle(qtbot, window_of(page))


def kept(page: WeeksPage) -> dict[str, PlannedVisit]:
    """What stands in the fleet, by registration."""
    assert page.seen is not None
    names = dict(page.seen.airplanes)
    with page.desk.jobs.fleet.reading() as work:
        rows = planned_visits(work, DEMO_TODAY, date.max)
    return {names[each.aircraft_id]: each for each in rows}


def choose(page: WeeksPage, registration: str) -> int:
    """Choose an airplane's visit; its id."""
    assert page.shown is not None
    key = next(line.key for line in page.shown.lines if line.registration == registration)
    page.choose(key)
    return key
