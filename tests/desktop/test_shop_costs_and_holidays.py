"""What an hour of each costs and whose public holidays the shop keeps, set as a manager does it."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from decimal import Decimal

import pytest
from PySide6.QtCore import Qt
from pytestqt.qtbot import QtBot

from annual_planner.desktop.fields import SearchField
from annual_planner.desktop.shop.dialog import ShopSetUp
from annual_planner.desktop.weeks.page import WeeksPage
from annual_planner.desktop.who import Person
from annual_planner.desktop.window import MainWindow
from annual_planner.records.apply import apply
from annual_planner.records.public_holidays import SetPublicHolidays
from annual_planner.store.fleet_reads import people
from annual_planner.trade.shop_floor import HolidaysOf
from tests.desktop.conftest import settle
from tests.desktop.shop_driver import choose, opened, person_named, press, stored, type_into

INSPECTOR, OWNER, MANAGER = "Marit Holloway", "Edmund Pellworth", "Greta Sandvik-Moss"


@pytest.fixture
def set_up(window: MainWindow, qtbot: QtBot) -> ShopSetUp:
    """The set-up, opened from the menu and read."""
    return opened(window, qtbot)


def costs(window: MainWindow) -> dict[str, Decimal | None]:
    with window.desk.jobs.fleet.reading() as work:
        return {each.name: each.cost_per_hour for each in people(work)}


def listed(set_up: ShopSetUp) -> dict[str, str]:
    return {each.person.name: each.cost_said for each in set_up.people.list.held.rows}


def find(field: SearchField, text: str, qtbot: QtBot, window: MainWindow) -> None:
    """Type over what stands in a searched field and leave it by Enter."""
    field.line.selectAll()
    qtbot.keyClick(field.line, Qt.Key.Key_Backspace)
    qtbot.keyClicks(field.line, text)
    qtbot.keyClick(field.line, Qt.Key.Key_Return)
    settle(qtbot, window)


def holidays(set_up: ShopSetUp) -> Sequence[tuple[date, str]]:
    rows = set_up.days_off.list.held.rows
    return [(each.first_on, each.why.removeprefix("public holiday: ")) for each in rows
            if each.days_off_id is None]  # fmt: skip


def test_what_an_hour_of_a_person_costs_saves_itself_beside_their_hours_and_undo_takes_it_back(
    set_up: ShopSetUp, window: MainWindow, qtbot: QtBot
) -> None:
    cost, table = set_up.week.cost, window.desk.library().floor.hour_costs
    assert cost.field.editor.isHidden(), "the shop itself costs nothing an hour"
    set_up.show_hours(person_named(set_up, INSPECTOR))
    assert not cost.field.editor.isHidden()
    assert f"{table.inspector:.2f} when empty, as of an inspector in layout.toml" in cost.field.message.text()
    type_into(cost.field, "101,5", qtbot, window)
    assert costs(window)[INSPECTOR] == Decimal("101.5")
    assert (cost.field.line.text(), listed(set_up)[INSPECTOR]) == ("101.50", "own: 101.50")
    window.menus.actions["undo"].trigger()
    settle(qtbot, window)
    assert costs(window)[INSPECTOR] is None
    assert (cost.field.line.text(), listed(set_up)[INSPECTOR]) == ("", f"table: {table.inspector:.2f}")


@pytest.mark.parametrize(
    ("typed", "said"), [("-5", "no number"), ("100001", "can't cost 100001"), ("1.234", "finer than")]
)
def test_a_cost_that_cant_be_is_told_beside_it_and_nothing_is_written(
    set_up: ShopSetUp, window: MainWindow, qtbot: QtBot, typed: str, said: str
) -> None:
    before = costs(window)
    set_up.show_hours(person_named(set_up, INSPECTOR))
    type_into(set_up.week.cost.field, typed, qtbot, window)
    assert set_up.week.cost.field.at_fault
    assert said in set_up.week.cost.field.message.text()
    assert (costs(window), set_up.week.cost.field.line.text()) == (before, typed)
    set_up.show_hours(person_named(set_up, OWNER))
    assert not set_up.week.cost.field.at_fault, "the fault was another person's"
    assert set_up.week.cost.field.line.text() == ""


def test_the_cost_is_given_with_a_new_person_and_changed_with_the_rest(
    set_up: ShopSetUp, window: MainWindow, qtbot: QtBot
) -> None:
    part = set_up.people
    assert listed(set_up)[MANAGER] == "", "who isn't planned with costs nothing"
    press(part, "Somebody new…", qtbot, window)
    assert part.form is not None
    part.form.put({"name": "Odd Fenwick", "roles": ("helper",), "cost_per_hour": "nothing"})
    part.form.submit()
    assert part.form.fields["cost_per_hour"].at_fault
    part.form.put({"cost_per_hour": "38.5"})
    part.form.submit()
    settle(qtbot, window)
    assert costs(window)["Odd Fenwick"] == Decimal("38.5")
    rows = part.list.held.rows
    choose(set_up, part, next(n for n, each in enumerate(rows) if each.person.name == "Odd Fenwick"), qtbot)
    press(part, "Change…", qtbot, window)
    part.form.put({"cost_per_hour": ""})
    part.form.submit()
    settle(qtbot, window)
    assert costs(window)["Odd Fenwick"] is None
    assert listed(set_up)["Odd Fenwick"] == f"table: {window.desk.library().floor.hour_costs.helper:.2f}"


def test_a_country_is_found_by_a_part_of_its_own_name_and_its_state_after_it(
    set_up: ShopSetUp, window: MainWindow, qtbot: QtBot
) -> None:
    form = set_up.days_off.holidays_of
    assert form.country.line.text() == "United States"
    assert (date(2026, 5, 25), "Memorial Day") in holidays(set_up)
    find(form.country, "deutsch", qtbot, window)
    assert stored(window).holidays_of == HolidaysOf("DE")
    assert form.country.line.text() == "Germany (Deutschland)"
    assert (date(2026, 5, 25), "Whit Monday") in holidays(set_up)
    assert form.country.message.text() == "9 days in the next 12 months, in the list"
    assert not form.part.editor.isHidden()
    assert form.part.line.text() == "What the whole country keeps"
    find(form.part, "bayern", qtbot, window)
    assert stored(window).holidays_of == HolidaysOf("DE", "BY")
    assert (date(2026, 6, 4), "Corpus Christi") in holidays(set_up)
    for expected in (HolidaysOf("DE"), HolidaysOf("US")):
        window.menus.actions["undo"].trigger()
        settle(qtbot, window)
        assert stored(window).holidays_of == expected
    assert form.country.line.text() == "United States"
    assert (date(2026, 5, 25), "Memorial Day") in holidays(set_up)


def test_a_country_can_be_chosen_in_the_list_as_well(
    set_up: ShopSetUp, window: MainWindow, qtbot: QtBot
) -> None:
    set_up.tabs.show_part(set_up.days_off)
    box = set_up.days_off.holidays_of.country.box
    box.showPopup()
    place = box.findText("Switzerland", Qt.MatchFlag.MatchStartsWith)
    box.view().setCurrentIndex(box.model().index(place, 0))
    qtbot.keyClick(box.view(), Qt.Key.Key_Return)
    settle(qtbot, window)
    assert stored(window).holidays_of == HolidaysOf("CH")
    assert box.currentText() == "Switzerland (Schweiz)"


def test_no_public_holidays_can_be_kept_and_a_country_without_parts_offers_none(
    set_up: ShopSetUp, window: MainWindow, qtbot: QtBot
) -> None:
    form = set_up.days_off.holidays_of
    find(form.country, "japan", qtbot, window)
    assert holidays(set_up)
    assert form.part.editor.isHidden()
    find(form.country, "none:", qtbot, window)
    assert stored(window).holidays_of == HolidaysOf("")
    assert (holidays(set_up), form.country.message.text()) == ([], "")


@pytest.mark.parametrize(
    ("typed", "said"), [("Atlantis", "isn't in the list"), ("guinea", "Type more"), ("", "Nothing is chosen")]
)
def test_what_is_no_country_is_told_beside_it_and_what_was_kept_stays(
    set_up: ShopSetUp, window: MainWindow, qtbot: QtBot, typed: str, said: str
) -> None:
    form = set_up.days_off.holidays_of
    find(form.country, typed, qtbot, window)
    assert form.country.at_fault
    assert said in form.country.message.text()
    assert stored(window).holidays_of == HolidaysOf("US")
    find(form.country, "new zealand", qtbot, window)
    assert not form.country.at_fault
    assert stored(window).holidays_of == HolidaysOf("NZ")


def test_a_country_another_bench_chose_is_never_overwritten(
    set_up: ShopSetUp, window: MainWindow, qtbot: QtBot
) -> None:
    edit = SetPublicHolidays(HolidaysOf(), HolidaysOf("FR"))
    apply(window.desk.jobs.fleet, edit, "another bench", window.desk.today)
    form = set_up.days_off.holidays_of
    find(form.country, "japan", qtbot, window)
    assert "changed" in set_up.strip.text
    assert (stored(window).holidays_of, form.country.line.text()) == (HolidaysOf("FR"), "France")


def test_an_owner_looks_at_costs_and_holidays_and_changes_neither(
    set_up: ShopSetUp, window: MainWindow, qtbot: QtBot
) -> None:
    window.desk.who.pick(Person("owner"))
    settle(qtbot, window)
    set_up.show_hours(person_named(set_up, INSPECTOR))
    form = set_up.days_off.holidays_of
    editors = [set_up.week.cost.field.editor, form.country.editor, form.part.editor]
    assert not any(editor.isEnabled() for editor in editors)


def test_the_shops_weeks_name_its_holidays_which_nobody_can_take_away(
    window: MainWindow, qtbot: QtBot
) -> None:
    edit = SetPublicHolidays(HolidaysOf(), HolidaysOf("DE", "BY"))
    window.desk.jobs.write(edit, window)
    window.go("weeks")
    settle(qtbot, window)
    page = window.page
    assert isinstance(page, WeeksPage)
    loads = {each.week.monday: each.week.closed for each in page.lists.loads.held.rows}
    assert [day.said for day in loads[date(2026, 6, 1)]] == ["Thu 4 Jun (Corpus Christi)"]
    page.lists.show_part(page.lists.wishes)
    rows = page.lists.wishes.held.rows
    place = next(n for n, row in enumerate(rows) if row.why == "Corpus Christi")
    assert (rows[place].kind, rows[place].first_on) == ("public holiday", date(2026, 6, 4))
    page.lists.wishes.view.point_to(place)
    assert not page.doings.remove_days.isEnabled()
