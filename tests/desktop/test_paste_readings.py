"""Meter readings and compliances pasted from a spreadsheet."""

# ruff: noqa: F811 - fixtures are named where they are asked for

from __future__ import annotations

from datetime import date
from decimal import Decimal
from typing import Any

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QGuiApplication
from pytestqt.qtbot import QtBot

from annual_planner.desktop.aircraft.page import AircraftPage
from annual_planner.desktop.aircraft.paste_compliances import COMPLIANCES
from annual_planner.desktop.aircraft.paste_form import PasteForm
from annual_planner.desktop.aircraft.paste_readings import READINGS
from annual_planner.desktop.aircraft.pasted import pasted_rows
from annual_planner.desktop.window import MainWindow
from annual_planner.store.fleet_reads import compliances, find_aircraft, readings
from annual_planner.trade.refused import Refused
from tests.desktop.conftest import settle
from tests.desktop.test_aircraft import page, shop, small_file  # noqa: F401 - fixtures
from tests.fleets import TODAY

pytestmark = pytest.mark.desktop


def test_columns_are_known_by_their_headings_or_by_their_number() -> None:
    with_headings = "Note\tRead on\tAirframe (h)\tMeter (h)\n'=x\t3 Apr 2026\t7\t1525,5\n\t\t\t\n\t\t\t1526"
    [first, second] = pasted_rows(with_headings, TODAY, READINGS)
    assert first.value is not None
    assert (first.value.read_on, first.value.meter_hours) == (date(2026, 4, 3), Decimal("1525.5"))
    assert (first.value.note, first.line, second.line) == ("=x", 2, 4)
    assert "date is missing" in second.fault
    [plain] = pasted_rows("2026-04-03 00:00:00\ttach\t1525.5", TODAY, READINGS)
    assert plain.value is not None
    assert plain.value.meter == "tach"


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("", "no rows"),
        ("1525.5", "can't be told apart"),
        ("a\tb\tc\td\te\tf", "can't be told apart"),
        ("2026-04-03\t1\n" * 2001, "too many"),
    ],
)
def test_what_are_no_rows_of_readings_is_refused(text: str, said: str) -> None:
    with pytest.raises(Refused, match=said):
        pasted_rows(text, TODAY, READINGS)


@pytest.mark.parametrize(
    ("row", "said"),
    [
        ("3 Apr\t1525.5", "no year"),
        ("2026-02-30\t1525.5", "no day"),
        ("2026-04-03\tlots", "no number"),
        ("2026-04-03\ttach\t1525.5\tmany", "no whole number"),
    ],
)
def test_a_row_that_can_not_be_read_says_why(row: str, said: str) -> None:
    [one] = pasted_rows(row, TODAY, READINGS)
    assert (one.word, one.value) == ("refused", None)
    assert said in one.fault


def paste(page: AircraftPage, text: str, qtbot: QtBot, window: MainWindow) -> PasteForm[Any]:
    """Copy the text and open the form, as a person does."""
    QGuiApplication.clipboard().setText(text)
    page.doings.paste.trigger()
    settle(qtbot, window)
    assert page.drawer is not None
    form = page.drawer.widget()
    assert isinstance(form, PasteForm)
    return form


def held(window: MainWindow) -> list[Decimal]:
    with window.desk.jobs.fleet.reading() as work:
        return [line.meter_hours for line in readings(work, find_aircraft(work, "N012AP"))]


def test_a_refused_row_is_named_and_nothing_is_recorded_until_it_is_right(
    page: AircraftPage,
    shop: MainWindow,
    qtbot: QtBot,
) -> None:
    before = held(shop)
    form = paste(page, "2026-03-20\t1515.0\n2026-04-10\t1412.0\n2026-05-01\t1531.5\n", qtbot, shop)
    assert "1 row is refused (1 to record, 1 stand already)" in form.summary.text()
    first = form.rows.held.rows[0]
    assert (first.line, "goes back" in first.fault) == (2, True)
    assert [row.word for row in form.rows.held.rows] == ["refused", "new", "stands already"]
    form.submit()
    settle(qtbot, shop)
    assert held(shop) == before
    QGuiApplication.clipboard().setText("2026-03-20\t1515.0\n2026-04-10\t1521.0\n2026-05-01\t1531.5\n")
    form.again.click()
    settle(qtbot, shop)
    form.submit()
    settle(qtbot, shop)
    assert len(held(shop)) == len(before) + 2
    assert page.strip.text.startswith("2 readings were recorded.")
    shop.menus.actions["undo"].trigger()
    settle(qtbot, shop)
    assert held(shop) == before


def test_an_empty_clipboard_says_what_to_copy(page: AircraftPage, shop: MainWindow, qtbot: QtBot) -> None:
    form = paste(page, "", qtbot, shop)
    assert "no rows on the clipboard" in form.summary.text()
    assert not form.submit_button.isEnabled()


def done(window: MainWindow) -> list[tuple[str, date, Decimal | None]]:
    with window.desk.jobs.fleet.reading() as work:
        lines = compliances(work, find_aircraft(work, "N012AP"))
    return [(line.title, line.done_on, line.done_hours) for line in lines]


def test_compliances_are_pasted_into_their_list_and_taken_back_as_one(
    page: AircraftPage, shop: MainWindow, qtbot: QtBot
) -> None:
    before = done(shop)
    page.tabs.show_part(page.tabs.get("done"))
    settle(qtbot, shop)
    text = "Done on\tRequirement\tAt (h)\tBy\n2024-06-03\tannual inspection\t1400,5\tIda Fox\n"
    QGuiApplication.clipboard().setText(text + "2024-06-03\tPolish the spinner\t1400,5\tIda Fox\n")
    page.done.listing.view.setFocus()
    qtbot.keyClick(page.done.listing.view, Qt.Key.Key_V, Qt.KeyboardModifier.ControlModifier)
    settle(qtbot, shop)
    assert page.drawer is not None
    form = page.drawer.widget()
    assert isinstance(form, PasteForm)
    assert "1 row is refused (1 to record)" in form.summary.text()
    assert "no requirement ‘Polish the spinner’" in form.rows.held.rows[0].fault
    QGuiApplication.clipboard().setText(text)
    form.again.click()
    settle(qtbot, shop)
    form.submit()
    settle(qtbot, shop)
    assert set(done(shop)) - set(before) == {("Annual inspection", date(2024, 6, 3), Decimal("1400.5"))}
    assert page.strip.text.startswith("1 compliance was recorded.")
    shop.menus.actions["undo"].trigger()
    settle(qtbot, shop)
    assert done(shop) == before


@pytest.mark.parametrize(
    ("row", "said"),
    [
        ("2024-06-03\t", "isn't said what was done"),
        ("3 Jun\tannual inspection", "no year"),
        ("2024-06-03\tannual inspection\tmany", "no number"),
    ],
)
def test_a_row_of_a_compliance_that_can_not_be_read_says_why(row: str, said: str) -> None:
    [one] = pasted_rows(row, TODAY, COMPLIANCES)
    assert (one.word, one.value) == ("refused", None)
    assert said in one.fault
