"""The place Aircraft, driven as a person drives it, on a small fleet in a real file."""

from datetime import date
from decimal import Decimal
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QKeySequence
from PySide6.QtWidgets import QWidget
from pytestqt.qtbot import QtBot

from annual_planner.desktop.aircraft.page import AircraftPage
from annual_planner.desktop.app import Program
from annual_planner.desktop.fields import TextField, TickField, TicksField
from annual_planner.desktop.form import Form
from annual_planner.desktop.who import Person
from annual_planner.desktop.window import MainWindow
from annual_planner.records.compliances import RecordCompliance
from annual_planner.records.readings import RecordReading
from annual_planner.store.fleet_reads import (
    aircraft_sheet,
    due_ids,
    due_lines,
    due_page,
    find_aircraft,
    readings,
    set_fleet_fact,
)
from annual_planner.store.opening import open_fleet
from annual_planner.store.rows import AircraftSheet, DueLine
from tests.desktop.conftest import settle
from tests.desktop.test_window import nameless
from tests.fleets import TODAY, airplane, annual, hundred_hour, made

pytestmark = pytest.mark.desktop


@pytest.fixture
def small_file(tmp_path: Path) -> Path:
    """One airplane that was annualed in June 2025 and read three times."""
    path = tmp_path / "small.fleet"
    fleet = open_fleet(path, create=True)
    aircraft_id = made(fleet, airplane())
    requirement_id = made(fleet, annual(aircraft_id))
    made(fleet, hundred_hour(aircraft_id))
    made(fleet, RecordReading(aircraft_id, date(2026, 3, 1), Decimal("1512.0")))
    made(fleet, RecordReading(aircraft_id, date(2026, 5, 1), Decimal("1531.5")))
    made(fleet, RecordCompliance(requirement_id, date(2025, 6, 10), None, entry="book 3, page 12"))
    with fleet.work("test") as work:
        set_fleet_fact(work, "today", TODAY.isoformat())
    fleet.close()
    return path


@pytest.fixture
def shop(program: Program, small_file: Path, qtbot: QtBot) -> MainWindow:
    program.start(small_file)
    assert program.window is not None
    program.window.desk.jobs.today = TODAY
    settle(qtbot, program.window)
    program.window.show()
    return program.window


@pytest.fixture
def page(shop: MainWindow, qtbot: QtBot) -> AircraftPage:
    with shop.desk.jobs.fleet.reading() as work:
        aircraft_id = find_aircraft(work, "N012AP")
    shop.go("aircraft", aircraft_id)
    settle(qtbot, shop)
    made_page = shop.page
    assert isinstance(made_page, AircraftPage)
    return made_page


def sheet(window: MainWindow) -> AircraftSheet:
    with window.desk.jobs.fleet.reading() as work:
        return aircraft_sheet(work, find_aircraft(work, "N012AP"))


def dues(window: MainWindow) -> dict[str, DueLine]:
    with window.desk.jobs.fleet.reading() as work:
        return {line.title: line for line in due_page(work)}


def form(page: AircraftPage) -> Form:
    assert page.drawer is not None
    shown = page.drawer.widget()
    assert isinstance(shown, Form)
    return shown


def line(shown: Form, key: str) -> TextField:
    field = shown.fields[key]
    assert isinstance(field, TextField)
    return field


def fill(qtbot: QtBot, shown: Form, **values: str) -> None:
    for key, text in values.items():
        edit = line(shown, key).line
        edit.selectAll()
        qtbot.keyClick(edit, Qt.Key.Key_Delete)
        qtbot.keyClicks(edit, text)
        edit.editingFinished.emit()


def enter(qtbot: QtBot, window: MainWindow, where: QWidget) -> None:
    qtbot.keyClick(where, Qt.Key.Key_Return)
    settle(qtbot, window)


def point(page: AircraftPage, title: str, qtbot: QtBot) -> None:
    table = page.due.table
    ids = [table.id_at(row) for row in range(table.rowCount())]
    found = [row_id for row_id in ids if row_id and (row := table.row_of(row_id)) and row.title == title]
    page.due.point_to(found[0])
    settle(qtbot, page.window())  # type: ignore[arg-type]


def undo(qtbot: QtBot, window: MainWindow) -> None:
    window.menus.actions["undo"].trigger()
    settle(qtbot, window)


def test_the_page_shows_what_comes_first_and_how_the_airplane_stands(page: AircraftPage) -> None:
    assert page.heading.text() == "N012AP"
    assert page.due.table.rowCount() == 2
    assert "1531.5" in page.facts.hours.accessibleName()
    assert page.facts.stands.accessibleName().startswith("Standing: ")


def test_a_reading_changes_hours_left_at_once_and_undo_takes_it_back(
    shop: MainWindow, page: AircraftPage, qtbot: QtBot
) -> None:
    page.doings.reading.trigger()
    fill(qtbot, form(page), read_on="t", meter_hours="1540,5")
    enter(qtbot, shop, line(form(page), "note").line)
    assert page.drawer is None
    assert sheet(shop).hours_now == Decimal("1540.5")
    assert "1540.5" in page.facts.hours.accessibleName()
    undo(qtbot, shop)
    assert sheet(shop).hours_now == Decimal("1531.5")


def test_a_reading_is_corrected_and_one_that_does_not_fit_the_others_is_refused(
    shop: MainWindow, page: AircraftPage, qtbot: QtBot
) -> None:
    page.tabs.show_part(page.flown)
    settle(qtbot, shop)
    page.flown.listing.point_to(0)
    assert page.doings.correct.isEnabled()
    page.doings.correct.trigger()
    fill(qtbot, form(page), meter_hours="1")
    form(page).submit()
    settle(qtbot, shop)
    assert page.drawer is not None, "the hours would go backwards"
    assert sheet(shop).hours_now == Decimal("1531.5")
    fill(qtbot, form(page), meter_hours="1532.5", note="read again")
    form(page).submit()
    settle(qtbot, shop)
    assert page.drawer is None
    assert sheet(shop).hours_now == Decimal("1532.5")
    assert page.seen is not None
    assert page.seen.readings[0].note == "read again"
    undo(qtbot, shop)
    assert sheet(shop).hours_now == Decimal("1531.5")


def test_a_lower_reading_asks_whether_the_meter_was_replaced(
    shop: MainWindow, page: AircraftPage, qtbot: QtBot
) -> None:
    page.doings.reading.trigger()
    shown = form(page)
    replaced = shown.fields["replaced"]
    assert isinstance(replaced, TickField)
    assert not replaced.box.isVisible()
    fill(qtbot, shown, meter_hours="3.0")
    assert shown.fields["meter_hours"].at_fault
    assert "1531.5" in shown.fields["meter_hours"].message.text()
    enter(qtbot, shop, line(shown, "note").line)
    assert page.drawer is not None, "a lower reading isn't taken unexplained"
    assert replaced.box.isVisible()
    qtbot.keyClick(replaced.box, Qt.Key.Key_Space)
    assert line(shown, "old_meter_hours").line.text() == "1531.5"
    fill(qtbot, shown, old_meter_hours="1533.5")
    shown.submit_button.click()
    settle(qtbot, shop)
    assert page.drawer is None
    assert sheet(shop).hours_now == Decimal("1533.5")
    undo(qtbot, shop)
    with shop.desk.jobs.fleet.reading() as work:
        assert len(readings(work, sheet(shop).aircraft_id)) == 3


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


@pytest.mark.parametrize(
    ("typed", "says"), [("+3", "still to come"), ("31 Feb", "no day"), ("soon", "no date")]
)
def test_a_day_that_cannot_be_is_explained_beside_the_field(
    page: AircraftPage, qtbot: QtBot, typed: str, says: str
) -> None:
    point(page, "Annual inspection", qtbot)
    page.doings.comply.trigger()
    shown = form(page)
    fill(qtbot, shown, done_on=typed)
    assert says in shown.fields["done_on"].message.text()
    assert says in shown.fields["done_on"].editor.accessibleDescription()


def test_escape_leaves_the_form_and_writes_nothing(
    shop: MainWindow, page: AircraftPage, qtbot: QtBot
) -> None:
    page.doings.reading.trigger()
    fill(qtbot, form(page), meter_hours="1600")
    qtbot.keyClick(line(form(page), "meter_hours").line, Qt.Key.Key_Escape)
    settle(qtbot, shop)
    assert page.drawer is None
    assert sheet(shop).hours_now == Decimal("1531.5")


def test_a_particular_saves_itself_when_it_is_left(
    shop: MainWindow, page: AircraftPage, qtbot: QtBot
) -> None:
    page.tabs.show_part(page.particulars)
    fill(qtbot, page.particulars.form, base="Grass strip")
    settle(qtbot, shop)
    assert sheet(shop).base == "Grass strip"
    undo(qtbot, shop)
    assert sheet(shop).base == ""
    assert line(page.particulars.form, "base").line.text() == ""


def test_a_wrong_year_is_explained_and_not_saved(shop: MainWindow, page: AircraftPage, qtbot: QtBot) -> None:
    page.tabs.show_part(page.particulars)
    fill(qtbot, page.particulars.form, year_built="1890")
    settle(qtbot, shop)
    assert page.particulars.form.fields["year_built"].at_fault
    assert sheet(shop).year_built == 1985


def test_a_part_is_made_when_it_is_first_turned_to_and_shows_the_airplane(
    shop: MainWindow, page: AircraftPage, qtbot: QtBot
) -> None:
    assert [name for name in page.tabs.names if page.tabs.is_made(name)] == ["due"]
    page.tabs.setCurrentIndex(page.tabs.index_of("done"))
    assert page.seen is not None
    assert page.done.listing.table.rowCount() == len(page.seen.compliances) > 0
    assert page.doings.back.isEnabled()
    page.tabs.setCurrentIndex(page.tabs.index_of("assemblies"))
    assert page.assemblies.table.rowCount() == len(page.held_assemblies.rows) > 0
    assert not page.tabs.is_made("flown")


def test_equipment_is_ticked_in_place(shop: MainWindow, page: AircraftPage, qtbot: QtBot) -> None:
    page.tabs.show_part(page.particulars)
    settle(qtbot, shop)  # the library says what there is to tick
    features = page.particulars._features
    assert isinstance(features, TicksField)
    features.boxes["transponder"].click()
    settle(qtbot, shop)
    assert set(sheet(shop).features) == {"wheels", "elt", "transponder"}


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


def test_the_drawing_of_hours_flown_and_its_table_say_the_same(
    shop: MainWindow, page: AircraftPage, qtbot: QtBot
) -> None:
    page.tabs.show_part(page.flown)
    settle(qtbot, shop)
    assert page.seen is not None
    months = {f"{month.month:%b %Y}": f"{month.hours:.1f}" for month in page.seen.months}
    table = page.flown.months.table
    page.flown.months.view.grab()
    settle(qtbot, shop)
    shown = {table.index(row, 0).data(): table.index(row, 1).data() for row in range(table.rowCount())}
    assert shown == months
    assert months
    assert "hours a month on average" in page.flown.chart.accessibleDescription()


def test_why_shows_the_working_of_the_chosen_due_point(
    shop: MainWindow, page: AircraftPage, qtbot: QtBot
) -> None:
    point(page, "Annual inspection", qtbot)
    shop.show_why()
    settle(qtbot, shop)
    working = shop.panel.working
    assert working is not None
    assert "30 Jun 2026" in working.result


def test_an_airplane_is_added_by_hand_with_the_usual_requirements(shop: MainWindow, qtbot: QtBot) -> None:
    shop.go("aircraft", "add")
    settle(qtbot, shop)
    page = shop.page
    assert isinstance(page, AircraftPage)
    shown = form(page)
    shown.submit()
    wrong = {key for key, field in shown.fields.items() if field.at_fault}
    assert wrong == {"registration", "maker", "model", "serial", "hours_now"}
    wants = {"registration": "n012zz", "maker": "Harrow", "model": "Kestrel 4", "serial": "41"}
    fill(qtbot, shown, **wants, hours_now="812.4", year_built="1991")
    ticks = shown.fields["features"]
    assert isinstance(ticks, TicksField)
    for key in ("wheels", "elt", "opposed", "magnetos"):
        ticks.boxes[key].click()
    shown.submit()
    settle(qtbot, shop)
    assert page.heading.text() == "N012ZZ"
    assert page.due.table.rowCount() > 5
    assert page.seen is not None
    assert [each.hours_now for each in page.seen.assemblies] == [Decimal("812.4")] * 3


def test_each_engine_and_propeller_of_a_twin_is_described_on_its_own(shop: MainWindow, qtbot: QtBot) -> None:
    shop.go("aircraft", "add")
    settle(qtbot, shop)
    page = shop.page
    assert isinstance(page, AircraftPage)
    shown = form(page)
    assert shown.fields["engine2_serial"].editor.isHidden()
    fill(qtbot, shown, registration="n012zz", maker="Harrow", model="Twin", serial="41", hours_now="900")
    fill(qtbot, shown, engines="2", engine_maker="Brindle", engine_model="B-100", engine_serial="E1")
    assert not shown.fields["engine2_serial"].editor.isHidden()
    assert shown.fields["engine3_serial"].editor.isHidden()
    fill(qtbot, shown, engine2_serial="E2", engine2_hours="120", engine2_since="20", propeller2_serial="P2")
    shown.submit()
    settle(qtbot, shop)
    assert page.seen is not None
    fitted = {(each.kind, each.position): each for each in page.seen.assemblies}
    first, second = fitted["engine", 1], fitted["engine", 2]
    assert (second.maker, second.model, second.serial) == ("Brindle", "B-100", "E2")
    assert (first.hours_now, second.hours_now) == (Decimal(900), Decimal(120))
    assert (first.hours_since_overhaul, second.hours_since_overhaul) == (None, Decimal(20))
    assert fitted["propeller", 2].serial == "P2"


def test_a_registration_that_is_taken_is_said_on_the_form(shop: MainWindow, qtbot: QtBot) -> None:
    shop.go("aircraft", "add")
    settle(qtbot, shop)
    page = shop.page
    assert isinstance(page, AircraftPage)
    shown = form(page)
    fill(qtbot, shown, registration="N012AP", maker="Harrow", model="K", serial="1", hours_now="1")
    shown.submit()
    settle(qtbot, shop)
    assert "N012AP is already in this fleet" in shown.summary.text()


def test_an_owner_sees_only_their_own_airplane_and_edits_nothing(
    shop: MainWindow, page: AircraftPage, qtbot: QtBot
) -> None:
    shop.desk.who.pick(Person("owner", 99, "Somebody"))
    settle(qtbot, shop)
    shop.go("aircraft", sheet(shop).aircraft_id)
    settle(qtbot, shop)
    assert page.aircraft_id is None
    assert not any(
        action.isVisible() for action in (page.doings.reading, page.doings.comply, page.doings.new)
    )


def test_without_an_airplane_the_page_says_what_to_do(shop: MainWindow) -> None:
    page = shop.page_of("aircraft")
    assert isinstance(page, AircraftPage)
    assert "No airplane is chosen" in page.blank.accessibleDescription()


def test_no_two_actions_of_the_page_share_a_key(page: AircraftPage) -> None:
    keys = [a.shortcut() for a in page.actions_here if a.shortcut() != QKeySequence()]
    assert len({key.toString() for key in keys}) == len(keys)


def test_every_part_and_form_has_names_for_a_screen_reader(
    shop: MainWindow, page: AircraftPage, qtbot: QtBot
) -> None:
    for place in range(page.tabs.count()):
        page.tabs.setCurrentIndex(place)
        settle(qtbot, shop)
        assert nameless(shop) == [], page.tabs.tabText(place)
    page.tabs.show_part(page.due)
    doings = page.doings
    for action in (
        doings.reading,
        doings.comply,
        doings.require,
        doings.end,
        doings.defect,
        doings.plan,
        doings.new,
    ):
        action.trigger()
        settle(qtbot, shop)
        assert page.drawer is not None, action.text()
        assert nameless(shop) == [], action.text()
        page.close_form()


def test_forms_keep_what_was_typed_when_they_are_refused(
    shop: MainWindow, page: AircraftPage, qtbot: QtBot
) -> None:
    page.doings.reading.trigger()
    fill(qtbot, form(page), read_on="1 May 2026", meter_hours="1535")
    form(page).submit()
    settle(qtbot, shop)
    assert "already down" in form(page).summary.text()
    assert line(form(page), "meter_hours").line.text() == "1535"
