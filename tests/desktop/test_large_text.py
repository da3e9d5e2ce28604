"""Text of 200 % in a window of 1280 by 800: nothing is cut, and no list needs a bar to push it sideways."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QGuiApplication
from PySide6.QtWidgets import QAbstractScrollArea, QLabel, QPushButton, QTabWidget
from pytestqt.qtbot import QtBot

from annual_planner.desktop.aircraft.facts import Elided
from annual_planner.desktop.aircraft.page import AircraftPage
from annual_planner.desktop.discrepancies.page import DiscrepanciesPage
from annual_planner.desktop.library_page import LibraryPage
from annual_planner.desktop.listing import Listing
from annual_planner.desktop.plugs.page import PlugsPage
from annual_planner.desktop.records.page import RecordsPage
from annual_planner.desktop.weeks.page import WeeksPage
from annual_planner.desktop.window import MainWindow
from annual_planner.library.shelf import load_library
from annual_planner.planning.packages import BuildPackage
from annual_planner.records.apply import apply
from annual_planner.store.fleet_reads import find_aircraft, packages
from demo_fleet.loader import DEMO_AIRPLANE, DEMO_TODAY
from tests.desktop.conftest import settle

pytestmark = pytest.mark.desktop

WIDTH, HEIGHT = 1280, 800


@pytest.fixture
def large(window: MainWindow, qtbot: QtBot) -> MainWindow:
    """The window at 200 %, as wide as a small screen."""
    window.desk.theme.set_percent(200)
    window.show()
    window.resize(WIDTH, HEIGHT)
    settle(qtbot, window)
    return window


def aircraft_id(window: MainWindow) -> int:
    with window.desk.jobs.fleet.reading() as work:
        return find_aircraft(work, DEMO_AIRPLANE)


def tabs_of(window: MainWindow, qtbot: QtBot) -> Iterator[str]:
    """Turn to each tab of the place, one after the other."""
    tabs = window.page.findChildren(QTabWidget)[0]
    for at in range(tabs.count()):
        tabs.setCurrentIndex(at)
        settle(qtbot, window)
        yield tabs.tabText(at)


def pushed_sideways(window: MainWindow) -> list[str]:
    """Whatever in sight has a bar at its foot."""
    shown = [area for area in window.findChildren(QAbstractScrollArea) if area.isVisible()]
    return [area.accessibleName() for area in shown if area.horizontalScrollBar().maximum() > 0]


def cut_short(window: MainWindow) -> list[str]:
    """Words of buttons and figures in sight that have less room than they need."""
    buttons = [each for each in window.findChildren(QPushButton) if each.isVisible()]
    found = [each.text() for each in buttons if each.width() < each.sizeHint().width() - 1]
    figures = [each for each in window.findChildren(Elided) if each.isVisible()]
    return found + [
        each.text() for each in figures if each.fontMetrics().horizontalAdvance(each.text()) > each.width()
    ]


def lines_cut(window: MainWindow) -> list[str]:
    """Wrapped words in sight that are higher than their place."""
    wrapped = [each for each in window.page.findChildren(QLabel) if each.isVisible() and each.wordWrap()]
    return [each.text() for each in wrapped if each.height() < each.heightForWidth(each.width()) - 1]


def few_rows(window: MainWindow) -> list[str]:
    """Lists in sight that have no room for three of their rows."""
    lists = [each for each in window.page.findChildren(Listing) if each.view.isVisible()]
    return [
        each.accessibleName()
        for each in lists
        if each.view.viewport().height() < 3 * each.view.verticalHeader().defaultSectionSize()
    ]


def faults(window: MainWindow) -> tuple[list[str], list[str], list[str]]:
    return pushed_sideways(window), cut_short(window), few_rows(window)


NONE: tuple[list[str], list[str], list[str]] = ([], [], [])


def test_the_fleet_needs_no_bar_even_beside_the_working(large: MainWindow, qtbot: QtBot) -> None:
    for subject in ("airplanes", "due"):
        large.go("fleet", subject)
        settle(qtbot, large)
        assert faults(large) == NONE, subject
        large.show_why()
        settle(qtbot, large)
        assert (large.width(), large.height()) == (WIDTH, HEIGHT), "the window keeps its size"
        assert (pushed_sideways(large), cut_short(large)) == ([], []), subject
        large.panel.put_away()


def test_an_airplane_stands_in_rows_and_its_lists_step_aside(large: MainWindow, qtbot: QtBot) -> None:
    large.go("aircraft", aircraft_id(large))
    settle(qtbot, large)
    for words in tabs_of(large, qtbot):
        assert faults(large) == NONE, words


def test_a_form_puts_its_messages_below_its_fields(large: MainWindow, qtbot: QtBot) -> None:
    large.go("aircraft", aircraft_id(large))
    settle(qtbot, large)
    page = large.page
    assert isinstance(page, AircraftPage)
    for action in (page.doings.reading, page.doings.require, page.doings.fit):
        action.trigger()
        settle(qtbot, large)
        assert pushed_sideways(large) == [], action.text()
        page.close_form()


def plan_one(large: MainWindow, qtbot: QtBot) -> None:
    """Plan the annual of the sample's airplane, and go to it."""
    edit = BuildPackage(aircraft_id(large), DEMO_TODAY, "Annual inspection", load_library())
    apply(large.desk.jobs.fleet, edit, "test", DEMO_TODAY)
    with large.desk.jobs.fleet.reading() as work:
        package_id = packages(work)[0].package_id
    large.go("annual", package_id)
    settle(qtbot, large)


def test_an_annual_needs_no_bar_on_any_of_its_tabs(large: MainWindow, qtbot: QtBot) -> None:
    plan_one(large, qtbot)
    for words in tabs_of(large, qtbot):
        assert faults(large) == NONE, words


def test_the_library_needs_no_bar_on_any_of_its_tabs(large: MainWindow, qtbot: QtBot) -> None:
    large.go("library")
    settle(qtbot, large)
    for words in tabs_of(large, qtbot):
        assert faults(large) == NONE, words


def test_at_the_ordinary_size_details_stand_beside_the_list(window: MainWindow, qtbot: QtBot) -> None:
    window.show()
    window.resize(WIDTH, HEIGHT)
    window.go("library", "cards")
    settle(qtbot, window)
    page = window.page
    assert isinstance(page, LibraryPage)
    shown = page.shown
    assert shown.text.x() > shown.listing.geometry().right()
    window.desk.theme.set_percent(200)
    settle(qtbot, window)
    assert shown.text.y() > shown.listing.geometry().bottom()
    assert shown.text.width() > window.width() // 2


def test_pasted_rows_need_no_bar(large: MainWindow, qtbot: QtBot) -> None:
    large.go("aircraft", aircraft_id(large))
    settle(qtbot, large)
    page = large.page
    assert isinstance(page, AircraftPage)
    QGuiApplication.clipboard().setText("2026-04-03\tPolish the spinner, and look whether it runs true\t1400")
    for action in (page.doings.paste_doings, page.doings.paste):
        action.trigger()
        settle(qtbot, large)
        assert pushed_sideways(large) == [], action.text()
        page.close_form()


def test_an_annual_needs_no_bar_beside_the_working(large: MainWindow, qtbot: QtBot) -> None:
    plan_one(large, qtbot)
    large.show_why()
    for words in tabs_of(large, qtbot):
        if words != "Print preview":  # a page of paper is as wide as it is
            assert (pushed_sideways(large), cut_short(large)) == ([], []), words


@pytest.mark.parametrize("registration", [DEMO_AIRPLANE, "N039TB"])
def test_plugs_and_cylinders_need_no_bar_on_any_of_their_tabs(
    large: MainWindow, qtbot: QtBot, registration: str
) -> None:
    with large.desk.jobs.fleet.reading() as work:
        large.go("plugs", find_aircraft(work, registration))
    settle(qtbot, large)
    for words in tabs_of(large, qtbot):
        assert (faults(large), lines_cut(large)) == (NONE, []), words


def test_a_compression_test_stands_above_the_tests_made_and_scrolls_with_them(
    large: MainWindow, qtbot: QtBot
) -> None:
    large.go("plugs", aircraft_id(large))
    settle(qtbot, large)
    page = large.page
    assert isinstance(page, PlugsPage)
    page.doings.wrench.trigger()
    settle(qtbot, large)
    assert (pushed_sideways(large), lines_cut(large)) == ([], [])
    assert not page.tabs.isVisible(), "the form has all of the height"
    page.close_form()
    assert page.tabs.isVisible()
    page.doings.test.trigger()
    settle(qtbot, large)
    tab = page.tabs.compression
    first = next(iter(tab.safety.boxes.values()))
    assert first.hasFocus()
    assert not first.visibleRegion().isEmpty()
    assert (
        tab.tests.mapTo(tab, tab.tests.rect().topLeft()).y()
        > tab.readings.mapTo(tab, tab.readings.rect().bottomLeft()).y()
    )
    tab.tests.view.setFocus()
    settle(qtbot, large)
    assert not tab.tests.view.visibleRegion().isEmpty(), "the tab scrolls to where the keys act"
    page.tabs.show_part(page.tabs.engine)
    settle(qtbot, large)
    page.tabs.engine.listing.view.setFocus()
    assert not page.tabs.engine.listing.view.visibleRegion().isEmpty()
    page.tabs.engine.drawing.setFocus()
    assert page.tabs.engine.drawing.visibleRegion().boundingRect().top() == 0, "from its top"


def test_a_chosen_discrepancy_stands_below_the_list_and_enter_goes_to_it(
    large: MainWindow, qtbot: QtBot
) -> None:
    large.go("discrepancies")
    settle(qtbot, large)
    page = large.page
    assert isinstance(page, DiscrepanciesPage)
    for words in tabs_of(large, qtbot):
        assert (faults(large), lines_cut(large)) == (NONE, []), words
    page.tabs.setCurrentIndex(0)
    settle(qtbot, large)
    assert (
        page.panel.mapTo(page, page.panel.rect().topLeft()).y()
        > page.review.mapTo(page, page.review.rect().bottomLeft()).y()
    )
    assert page.panel.what.visibleRegion().isEmpty(), "it is further down"
    page.review.view.setFocus()
    qtbot.keyClick(page.review.view, Qt.Key.Key_Return)
    settle(qtbot, large)
    assert not page.panel.what.visibleRegion().isEmpty()
    page.doings.new.trigger()
    settle(qtbot, large)
    assert page.beside.form is not None
    assert page.beside.form.isVisible()
    assert not page.review.isVisible(), "the form has all of the room"
    assert pushed_sideways(large) == []
    page.close_form()
    assert page.review.isVisible()


def test_the_weeks_need_no_bar_but_for_their_drawing(large: MainWindow, qtbot: QtBot) -> None:
    large.go("weeks")
    settle(qtbot, large)
    page = large.page
    assert isinstance(page, WeeksPage)
    for words in tabs_of(large, qtbot):
        sideways = [each for each in pushed_sideways(large) if each != page.area.accessibleName()]
        assert (sideways, cut_short(large), few_rows(large), lines_cut(large)) == ([], [], [], []), words
    page.lists.show_part(page.lists.visits)
    page.tell("The visit is pinned to that week, and stays there through every plan. Undo takes it back.")
    large.show_why()
    settle(qtbot, large)
    assert (large.width(), large.height()) == (WIDTH, HEIGHT), "the window keeps its size"
    assert pushed_sideways(large) == []
    large.panel.put_away()
    page.doings.days.trigger()
    settle(qtbot, large)
    assert page.beside.form is not None
    assert page.beside.form.isVisible()
    assert (pushed_sideways(large), cut_short(large)) == ([], [])


def test_the_records_need_no_bar_even_beside_the_working(large: MainWindow, qtbot: QtBot) -> None:
    large.go("records")
    settle(qtbot, large)
    page = large.page
    assert isinstance(page, RecordsPage)
    page.seal.setText("Last seal: " + " ".join(["0123abcd"] * 8))
    for words in tabs_of(large, qtbot):
        assert (faults(large), lines_cut(large)) == (NONE, []), words
    large.show_why()
    for words in tabs_of(large, qtbot):
        assert (pushed_sideways(large), lines_cut(large)) == ([], []), words
    assert (large.width(), large.height()) == (WIDTH, HEIGHT), "the window keeps its size"


def test_at_bench_size_the_questions_of_a_deferral_are_read_whole(window: MainWindow, qtbot: QtBot) -> None:
    window.desk.theme.set_bench(True)
    window.show()
    window.resize(WIDTH, HEIGHT)
    window.go("discrepancies")
    settle(qtbot, window)
    page = window.page
    assert isinstance(page, DiscrepanciesPage)
    page.doings.defer.trigger()
    settle(qtbot, window)
    assert page.beside.form is not None
    qtbot.waitUntil(lambda: lines_cut(window) == [])
    assert pushed_sideways(window) == []
