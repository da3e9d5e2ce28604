"""The trail in the window: a change is found there with who made it, from what and to what."""

from __future__ import annotations

import pytest
from pytestqt.qtbot import QtBot

from annual_planner.desktop.records.page import RecordsPage
from annual_planner.desktop.who import Person
from annual_planner.desktop.window import MainWindow
from annual_planner.records.apply import apply
from annual_planner.records.row_edits import ChangeRow, Subject
from annual_planner.store.fleet_reads import find_aircraft, owner_of, people
from tests.desktop.conftest import settle

pytestmark = pytest.mark.desktop


def trail(window: MainWindow, qtbot: QtBot) -> RecordsPage:
    window.go("records", "trail")
    settle(qtbot, window)
    assert isinstance(window.page, RecordsPage)
    settle(qtbot, window)
    return window.page


def move_base(window: MainWindow, registration: str, base: str) -> int:
    fleet = window.desk.jobs.fleet
    with fleet.reading() as work:
        plane = find_aircraft(work, registration)
    of = Subject("aircraft", f"base of {registration}", plane)
    apply(fleet, ChangeRow(of, "aircraft", plane, {}, {"base": base}), "Ida <Fox>", window.desk.today)
    return plane


def test_a_change_is_shown_with_who_made_it_and_both_values(window: MainWindow, qtbot: QtBot) -> None:
    move_base(window, "N012MH", "the far meadow")
    page = trail(window, qtbot)
    line = page.trail.listing.current
    assert line is not None
    assert (line.changed_by, line.registration) == ("Ida <Fox>", "N012MH")
    assert line.what == "changed base of N012MH"
    text = page.trail.text.toPlainText()
    assert "the far meadow" in text
    assert "Ida <Fox>" in text
    newest = page.trail.listing.table.id_at(0)
    move_base(window, "N012MH", "the near meadow")
    window.desk.jobs.changed.emit(frozenset({"aircraft"}))
    settle(qtbot, window)
    assert page.trail.listing.table.id_at(0) != newest, "it is asked for again after every change"


def test_the_trail_is_searched_and_an_owner_sees_their_own_airplanes(
    window: MainWindow, qtbot: QtBot
) -> None:
    plane = move_base(window, "N012MH", "the far meadow")
    move_base(window, "N051QF", "the near meadow")
    page = trail(window, qtbot)
    every = page.trail.listing.table.rowCount()
    assert every == 2
    page.search_here()
    page.trail.listing.search.setText("base N012MH")
    qtbot.waitUntil(lambda: page.trail.listing.table.rowCount() == 1)
    page.trail.listing.search.setText("")
    qtbot.waitUntil(lambda: page.trail.listing.table.rowCount() == every)
    with window.desk.jobs.fleet.reading() as work:
        own = owner_of(work, plane)
        other = next(each for each in people(work) if "owner" in each.roles and each.person_id != own)
    window.desk.who.pick(Person("owner", other.person_id, other.name))
    settle(qtbot, window)
    page = trail(window, qtbot)
    shown = [page.trail.listing.table.id_at(row) for row in range(page.trail.listing.table.rowCount())]
    assert len(shown) < every
    assert page.trail.listing.current is None or page.trail.listing.current.registration != "N012MH"
