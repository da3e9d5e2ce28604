"""A compression test entered in the order it is done; the ladder of a low cylinder; links to the place."""

from __future__ import annotations

from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from pytestqt.qtbot import QtBot

from annual_planner.desktop.form import Form
from annual_planner.desktop.plugs.page import PlugsPage
from annual_planner.desktop.plugs.pictures_of import compression_picture
from annual_planner.desktop.window import MainWindow
from annual_planner.library.shelf import load_library
from annual_planner.records.plug_stock import AddPlugs
from annual_planner.store.fleet_reads import find_aircraft
from tests.desktop.conftest import settle
from tests.desktop.plugs.hands import read, tick_all, type_keys

pytestmark = pytest.mark.desktop


def test_no_reading_is_taken_before_every_safety_step_is_ticked(
    here: tuple[MainWindow, PlugsPage],
) -> None:
    _window, page = here
    page.doings.test.trigger()
    tab = page.tabs.compression
    assert page.tabs.part is tab
    assert not tab.readings.isEnabled()
    boxes = list(tab.safety.boxes.values())
    for box in boxes[:-1]:
        box.click()
    assert not tab.readings.isEnabled()
    boxes[-1].click()
    assert tab.readings.isEnabled()


def test_readings_are_typed_one_after_the_other_and_written_down(
    here: tuple[MainWindow, PlugsPage], qtbot: QtBot
) -> None:
    window, page = here
    page.doings.test.trigger()
    tab = page.tabs.compression
    tick_all(tab)
    read(tab, qtbot, window, "74\n", "76\n", "72\n", "75\n")
    tab.save.click()
    settle(qtbot, window)
    assert page.view is not None
    test = page.view.tests[0]
    assert [each.line.reading_psi for each in test.readings] == [74, 76, 72, 75]
    assert len(test.line.safety_ticked) == len(tab.safety.boxes)
    assert not tab.safety.done, "the next test is ticked anew"
    window.menus.actions["undo"].trigger()
    settle(qtbot, window)
    assert not page.view.tests


def test_a_low_reading_asks_where_air_is_heard_and_opens_the_ladder(
    here: tuple[MainWindow, PlugsPage], qtbot: QtBot
) -> None:
    window, page = here
    page.doings.test.trigger()
    tab = page.tabs.compression
    tick_all(tab)
    read(tab, qtbot, window, "74\n", "52\n")
    assert window.focusWidget() is tab.readings.rows[2].heard
    assert not tab.ladder.isHidden()
    assert tab.ladder.cylinder == 2
    assert "propeller" in tab.ladder.cautions.text().lower()
    tab.ladder.form.fields["reading_psi"].put("71")
    tab.ladder.form.submit()
    assert "came back" in tab.ladder.advice.text().lower()
    read(tab, qtbot, window, "75\n", "75\n")
    tab.save.click()
    settle(qtbot, window)
    assert page.view is not None
    reading = page.view.tests[0].reading(2)
    assert reading is not None
    assert (reading.line.first_psi, reading.line.reading_psi) == (52, 71)


def test_a_rung_without_its_reading_is_refused(here: tuple[MainWindow, PlugsPage], qtbot: QtBot) -> None:
    window, page = here
    page.doings.test.trigger()
    tab = page.tabs.compression
    tick_all(tab)
    read(tab, qtbot, window, "40\n")
    tab.ladder.form.submit()
    assert "no reading after it" in tab.ladder.form.summary.text()
    tab.ladder.form.fields["damage"].put("burnt exhaust valve")
    tab.ladder.form.submit()
    assert "remove the cylinder" in tab.ladder.advice.text().lower()


def test_the_clock_runs_from_shut_down(here: tuple[MainWindow, PlugsPage]) -> None:
    _window, page = here
    warmth = page.tabs.compression.warmth
    assert warmth.minutes is None
    warmth.start.click()
    assert warmth.minutes == 0
    assert warmth.said.text().startswith("0:0")


def test_a_reading_above_the_pressure_put_in_is_refused_and_stays(
    here: tuple[MainWindow, PlugsPage], qtbot: QtBot
) -> None:
    window, page = here
    page.doings.test.trigger()
    tab = page.tabs.compression
    tick_all(tab)
    read(tab, qtbot, window, "84\n")
    tab.save.click()
    settle(qtbot, window)
    assert tab.readings.rows[1].psi.text() == "84"
    assert "▲" in tab.said.text() or "▲" in tab.readings.rows[1].said.text()


def test_all_cylinders_stand_side_by_side_and_lead_to_their_trend(
    here: tuple[MainWindow, PlugsPage], qtbot: QtBot
) -> None:
    window, page = here
    page.tabs.show_part(page.tabs.compare)
    settle(qtbot, window)
    small = page.tabs.compare.small
    qtbot.mouseClick(small, Qt.MouseButton.LeftButton, pos=small.box_of(2).center().toPoint())
    assert page.tabs.part is page.tabs.trends
    assert page.tabs.trends.which.value() == 3


def test_the_sheets_of_the_engine_are_written_as_a_pdf(
    here: tuple[MainWindow, PlugsPage], qtbot: QtBot, tmp_path: Path
) -> None:
    window, page = here
    page.doings.sheets.trigger()
    assert page.drawer_form is not None
    assert page.view is not None
    target = tmp_path / "engine.pdf"
    page.doings.sheets_out.write(page.view, target, "tray", "a4", outside=False)
    settle(qtbot, window)
    assert target.read_bytes().startswith(b"%PDF")
    assert "engine.pdf: 1 page" in page.strip.text


def test_the_empty_chart_says_what_belongs_there(here: tuple[MainWindow, PlugsPage]) -> None:
    _window, page = here
    page.tabs.show_part(page.tabs.trends)
    assert page.tabs.trends.points.blank.accessibleDescription().startswith("Nothing was measured yet")


def test_a_card_about_compression_leads_to_the_engine_and_another_does_not(
    window: MainWindow, qtbot: QtBot
) -> None:
    from datetime import date

    from annual_planner.desktop.annual.page import AnnualPage
    from annual_planner.planning.packages import BuildPackage
    from annual_planner.records.apply import apply

    fleet = window.desk.jobs.fleet
    with fleet.reading() as work:
        aircraft_id = find_aircraft(work, "N012MH")
    edit = BuildPackage(aircraft_id, date(2026, 5, 4), "Annual inspection", load_library())
    package_id = apply(fleet, edit, "test", date(2026, 5, 4)).made_id
    window.go("annual", package_id)
    settle(qtbot, window)
    page = window.page
    assert isinstance(page, AnnualPage)
    page.tabs.show_part(page.cards)
    settle(qtbot, window)
    rows = {row.card.key: place for place, row in enumerate(page.cards.listing.held.rows) if row.card}
    about = next(place for key, place in rows.items() if "compression" in key)
    other = next(place for key, place in rows.items() if "plug" not in key and "compression" not in key)
    page.cards.listing.view.point_to(other)
    assert not page.doings.plugs.isEnabled()
    page.cards.listing.view.point_to(about)
    assert page.doings.plugs.isEnabled()
    page.doings.plugs.trigger()
    settle(qtbot, window)
    assert window.page.subject == [aircraft_id, 1]


def test_the_airplane_chosen_in_the_fleet_is_the_one_whose_plugs_are_shown(
    window: MainWindow, qtbot: QtBot
) -> None:
    from annual_planner.desktop.fleet_page import FleetPage

    page = window.page
    assert isinstance(page, FleetPage)
    page.plugs_action.trigger()
    settle(qtbot, window)
    assert isinstance(window.page, PlugsPage)
    assert window.page.aircraft_id == page.chosen_aircraft_id


def test_a_tab_is_built_when_somebody_looks_at_it(here: tuple[MainWindow, PlugsPage], qtbot: QtBot) -> None:
    window, page = here
    later = ("tray", "rotation", "compression", "trends", "compare")
    assert not [name for name in later if page.tabs.is_made(name)]
    page.tabs.setCurrentIndex(page.tabs.index_of("trends"))
    settle(qtbot, window)
    assert [name for name in later if page.tabs.is_made(name)] == ["trends"]
    assert page.tabs.trends.view is page.view


def test_a_plug_of_the_drawer_is_scrapped_with_a_reason(
    here: tuple[MainWindow, PlugsPage], qtbot: QtBot
) -> None:
    window, page = here
    assert page.view is not None
    assert page.facts is not None
    kind = page.view.engine_type.plug_types_at(page.view.engine_type.places[0])[0]
    window.desk.jobs.write(AddPlugs(kind.key, ("SPARE-1",), window.desk.today), page)
    settle(qtbot, window)
    bought = next(plug for plug in page.view.spares if plug.tag == "SPARE-1")
    page.doings.scrap.trigger()
    form = page.drawer_form
    assert isinstance(form, Form)
    form.put({"plug_id": bought.plug_id, "why": "dropped on the floor"})
    form.submit()
    settle(qtbot, window)
    assert "SPARE-1" not in [plug.tag for plug in page.view.spares]
    window.desk.jobs.undo(window)
    settle(qtbot, window)
    assert "SPARE-1" in [plug.tag for plug in page.view.spares]


def test_after_the_last_reading_enter_goes_through_the_rechecks_to_the_end(
    here: tuple[MainWindow, PlugsPage], qtbot: QtBot
) -> None:
    window, page = here
    page.doings.test.trigger()
    tab = page.tabs.compression
    tick_all(tab)
    read(tab, qtbot, window, "74\n", "0\n", "\n", "75\n", "41\n", "b\n")
    assert "cylinder 2, 4" in tab.said.text()
    assert tab.ladder.cylinder == 2, "no psi at all is low as well"
    type_keys(window, qtbot, "0\n", "72\n")
    assert "then 72 psi: within limits" in tab.readings.rows[2].said.text()
    assert tab.ladder.cylinder == 4
    type_keys(window, qtbot, "70\n")
    assert window.focusWidget() is tab.save
    type_keys(window, qtbot, "\n")
    tab.save.click()
    settle(qtbot, window)
    assert page.view is not None
    found = page.view.tests[0].reading(2)
    assert found is not None
    assert [each.reading_psi for each in found.rechecked] == [0, 72]
    assert window.focusWidget() is tab.tests.view


def test_what_a_recheck_gave_outlasts_a_slip_in_the_first_reading(
    here: tuple[MainWindow, PlugsPage], qtbot: QtBot
) -> None:
    window, page = here
    page.doings.test.trigger()
    tab = page.tabs.compression
    tick_all(tab)
    read(tab, qtbot, window, "52\n", "e\n")
    tab.ladder.form.fields["reading_psi"].put("55")
    tab.ladder.form.submit()
    row = tab.readings.rows[1]
    row.psi.setFocus()
    row.psi.selectAll()
    type_keys(window, qtbot, "51\n")
    assert tab.ladder.cylinder == 1
    assert "✓  Run the engine and read again: 55 psi" in tab.ladder.steps.text()


def test_a_recheck_above_the_pressure_put_in_is_refused_where_it_is_typed(
    here: tuple[MainWindow, PlugsPage], qtbot: QtBot
) -> None:
    window, page = here
    page.doings.test.trigger()
    tab = page.tabs.compression
    tick_all(tab)
    read(tab, qtbot, window, "52\n")
    tab.ladder.form.fields["reading_psi"].put("91")
    tab.ladder.form.submit()
    assert "above the 80 psi put in" in tab.ladder.form.summary.text()
    assert not tab.ladder.done.get(1)


def test_tests_with_another_tester_share_no_line(window: MainWindow, qtbot: QtBot) -> None:
    with window.desk.jobs.fleet.reading() as work:
        aircraft_id = find_aircraft(work, "N039TB")
    window.go("plugs", aircraft_id)
    settle(qtbot, window)
    page = window.page
    assert isinstance(page, PlugsPage)
    assert page.view is not None
    picture, _said = compression_picture(page.view, 2)
    points = next(run.points for run in picture.runs if run.loud)
    breaks = [point for point in points if point.breaks]
    assert len(breaks) == 1
    assert "a new series: restrictor changed" in breaks[0].said


@pytest.mark.parametrize(("typed", "oil_c"), [("71", 71.0), ("160F", 71.1), ("-5", -5.0)])
def test_oil_is_taken_in_either_degrees_and_below_zero(
    here: tuple[MainWindow, PlugsPage], typed: str, oil_c: float
) -> None:
    _window, page = here
    page.doings.test.trigger()
    form = page.tabs.compression.form
    assert form is not None
    form.fields["oil_temperature_c"].put(typed)
    assert form.fields["oil_temperature_c"].value() == oil_c
