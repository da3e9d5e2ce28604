"""Requirements of an airplane are added, complied with and ended on its page."""

# ruff: noqa: F811 - fixtures are named where they are asked for

from datetime import date

import pytest
from pytestqt.qtbot import QtBot

from annual_planner.desktop.aircraft.page import AircraftPage
from annual_planner.desktop.window import MainWindow
from annual_planner.store.fleet_reads import due_ids, due_lines
from tests.desktop.conftest import settle
from tests.desktop.test_aircraft import (  # noqa: F401 - fixtures
    dues,
    enter,
    fill,
    form,
    line,
    page,
    point,
    sheet,
    shop,
    small_file,
    undo,
)

pytestmark = pytest.mark.desktop


def test_recording_a_compliance_says_at_once_when_it_is_due_next(
    shop: MainWindow, page: AircraftPage, qtbot: QtBot
) -> None:
    point(page, "Annual inspection", qtbot)
    page.doings.comply.trigger()
    shown = form(page)
    fill(qtbot, shown, done_on="1 May", entry="book 4")
    assert shown.fields["done_on"].message.text() == "Fri 1 May 2026"
    assert line(shown, "done_hours").line.text() == "1531.5"
    enter(qtbot, shop, line(shown, "entry").line)
    assert "31 May 2027" in page.strip.text
    assert dues(shop)["Annual inspection"].due_on == date(2027, 5, 31)
    assert page.done.listing.table.rowCount() == 2
    undo(qtbot, shop)
    assert dues(shop)["Annual inspection"].due_on == date(2026, 6, 30)


def test_a_requirement_needs_a_title_and_an_interval(
    shop: MainWindow, page: AircraftPage, qtbot: QtBot
) -> None:
    page.doings.require.trigger()
    settle(qtbot, shop)
    shown = form(page)
    shown.submit()
    assert shown.fields["title"].at_fault
    fill(qtbot, shown, title="Look at the strut fitting")
    shown.submit()
    assert shown.fields["hours"].at_fault, "neither an interval nor a day was given"
    fill(qtbot, shown, hours="50", directive_number="0000-01-02")
    shown.submit()
    settle(qtbot, shop)
    line_made = dues(shop)["Look at the strut fitting"]
    assert line_made.force == "directive"
    assert "50" in line_made.interval
    undo(qtbot, shop)
    assert "Look at the strut fitting" not in dues(shop)


def test_ending_a_requirement_needs_a_reason(shop: MainWindow, page: AircraftPage, qtbot: QtBot) -> None:
    point(page, "100-hour inspection", qtbot)
    page.doings.end.trigger()
    form(page).submit()
    assert form(page).fields["why"].at_fault
    fill(qtbot, form(page), why="no longer flown for hire")
    form(page).submit()
    settle(qtbot, shop)
    assert page.drawer is None
    with shop.desk.jobs.fleet.reading() as work:
        ended = due_ids(work, aircraft_id=sheet(shop).aircraft_id, state="ended")
        assert [each.title for each in due_lines(work, ended)] == ["100-hour inspection"]


def test_a_compliance_is_taken_out_and_brought_back(
    shop: MainWindow, page: AircraftPage, qtbot: QtBot
) -> None:
    page.tabs.show_part(page.done)
    settle(qtbot, shop)
    page.done.listing.point_to(0)
    assert page.doings.back.isEnabled()
    page.doings.back.trigger()
    settle(qtbot, shop)
    assert dues(shop)["Annual inspection"].due_on is None
    undo(qtbot, shop)
    assert dues(shop)["Annual inspection"].due_on == date(2026, 6, 30)
