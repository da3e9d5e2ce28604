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
from annual_planner.desktop.fields import TextField, TickField
from annual_planner.desktop.form import Form
from annual_planner.desktop.who import Person
from annual_planner.desktop.window import MainWindow
from annual_planner.records.compliances import RecordCompliance
from annual_planner.records.readings import RecordReading
from annual_planner.store.fleet_reads import aircraft_sheet, due_page, find_aircraft, readings, set_fleet_fact
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
