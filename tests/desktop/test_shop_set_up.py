"""Setting the shop up as a manager does it: a field that is left saves itself, and undo takes it back."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QComboBox, QLineEdit, QPushButton
from pytestqt.qtbot import QtBot

from annual_planner.desktop.annual.page import AnnualPage
from annual_planner.desktop.app import Program
from annual_planner.desktop.shop.dialog import ShopSetUp
from annual_planner.desktop.who import Person
from annual_planner.desktop.window import MainWindow
from annual_planner.planning.packages import BuildPackage
from annual_planner.planning.shop_weeks.stored import weeks_from_fleet
from annual_planner.planning.watched_hours import week_of
from annual_planner.records.apply import apply
from annual_planner.records.compliances import RecordCompliance
from annual_planner.records.shop import SetOpenHours, SetRoom
from annual_planner.store.fleet_reads import find_aircraft, people, set_fleet_fact
from annual_planner.store.opening import open_fleet
from annual_planner.store.shop_reads import OpenStretch
from annual_planner.trade.refused import Refused
from demo_fleet.loader import DEMO_AIRPLANE
from tests.desktop.conftest import settle
from tests.desktop.shop_driver import choose, opened, person_named, press, stored, type_into
from tests.fleets import TODAY, airplane, annual, made

SATURDAY = 5


@pytest.fixture
def set_up(window: MainWindow, qtbot: QtBot) -> ShopSetUp:
    """The set-up, opened from the menu and read."""
    return opened(window, qtbot)


def test_hours_typed_into_a_day_are_kept_when_it_is_left_and_undo_takes_them_back(
    set_up: ShopSetUp, window: MainWindow, qtbot: QtBot
) -> None:
    before = week_of(stored(window), None)
    saturday = set_up.week.fields[SATURDAY]
    type_into(saturday, "9-12, 1pm-3:30pm", qtbot, window)
    added = [each for each in week_of(stored(window), None) if each not in before]
    assert added == [OpenStretch(None, 5, 540, 720), OpenStretch(None, 5, 780, 930)]
    assert (saturday.line.text(), saturday.message.text()) == ("09:00–12:00, 13:00–15:30", "5.5 h")
    window.menus.actions["undo"].trigger()
    settle(qtbot, window)
    assert week_of(stored(window), None) == before
    assert saturday.line.text() == ""


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ("8-", "is no stretch of a day"),
        ("17-8", "08:00 isn't after 17:00"),
        ("8-25", "no such time"),
        ("8-12, 11-17", "begins before 08:00–12:00 is over"),
    ],
)
def test_hours_that_cant_be_are_told_beside_their_day_and_nothing_is_written(
    set_up: ShopSetUp, window: MainWindow, qtbot: QtBot, typed: str, said: str
) -> None:
    before = stored(window)
    monday = set_up.week.fields[0]
    type_into(monday, typed, qtbot, window)
    assert monday.at_fault
    assert said in monday.message.text()
    assert (stored(window), monday.line.text()) == (before, typed)


def test_an_owner_comes_on_saturdays_only_and_the_set_up_says_when_nobody_can_watch(
    set_up: ShopSetUp, window: MainWindow, qtbot: QtBot
) -> None:
    owner, mechanic = person_named(set_up, "Beatrix Umber"), person_named(set_up, "Marit Holloway")
    rows = set_up.people.list.held.rows
    choose(
        set_up, set_up.people, next(n for n, each in enumerate(rows) if each.person.person_id == owner), qtbot
    )
    press(set_up.people, "Hours…", qtbot, window)
    assert set_up.week.whose.value() == owner
    assert "Isn't planned with" in set_up.week.follows.text()
    press(set_up.week, "Saturdays only", qtbot, window)
    assert {each.weekday for each in week_of(stored(window), owner)} == {SATURDAY}
    assert "Saturday: no mechanic is in the shop" in set_up.week.follows.text()
    set_up.week.show_person(mechanic)
    type_into(set_up.week.fields[SATURDAY], "7-13", qtbot, window)
    set_up.week.show_person(owner)
    assert set_up.week.follows.text() == ""
    press(set_up.week, "As the shop", qtbot, window)
    assert week_of(stored(window), owner) == ()


def test_a_closed_shop_is_written_down_listed_and_taken_away_but_no_public_holiday(
    set_up: ShopSetUp, window: MainWindow, qtbot: QtBot
) -> None:
    part = set_up.days_off
    press(part, "Shop closed…", qtbot, window)
    assert part.form is not None
    part.form.put({"first": "2026-08-10", "last": "2026-08-03", "why": "floor is painted"})
    part.form.submit()
    assert "before the first" in part.form.fields["last"].message.text()
    part.form.put({"last": "2026-08-12"})
    part.form.submit()
    settle(qtbot, window)
    assert part.form is None
    line = next(n for n, each in enumerate(part.list.held.rows) if each.why == "floor is painted")
    assert (part.list.held.rows[line].who, part.list.held.rows[line].days) == ("The shop", 3)
    choose(set_up, part, line, qtbot)
    press(part, "Take away", qtbot, window)
    assert all(each.why != "floor is painted" for each in stored(window).days_off)
    holiday = next(n for n, each in enumerate(part.list.held.rows) if each.days_off_id is None)
    choose(set_up, part, holiday, qtbot)
    press(part, "Take away", qtbot, window)
    assert "public holiday" in set_up.strip.text


def test_somebody_is_away_by_the_form_of_the_plan(
    set_up: ShopSetUp, window: MainWindow, qtbot: QtBot
) -> None:
    who = person_named(set_up, "Signe Varanger")
    set_up.show_away(who)
    form = set_up.days_off.form
    assert form is not None
    form.put({"first": "2026-06-01", "last": "2026-06-03", "why": "ill"})
    form.submit()
    settle(qtbot, window)
    added = next(each for each in stored(window).days_off if each.why == "ill")
    assert (added.person_id, added.first_on, added.last_on) == (who, date(2026, 6, 1), date(2026, 6, 3))


def test_equipment_is_added_changed_and_removed_each_fault_beside_its_field(
    set_up: ShopSetUp, window: MainWindow, qtbot: QtBot
) -> None:
    part = set_up.things
    press(part, "Add…", qtbot, window)
    assert part.form is not None
    part.form.put({"name": "Borescope", "count": 0})
    part.form.submit()
    assert "None of it" in part.form.fields["count"].message.text()
    part.form.put({"count": 2})
    part.form.submit()
    settle(qtbot, window)
    assert "already equipment 'borescope'" in part.form.summary.text()
    part.form.put({"name": "pair of tail stands"})
    part.form.submit()
    settle(qtbot, window)
    row = next(n for n, (each, _) in enumerate(part.list.held.rows) if each.name == "pair of tail stands")
    choose(set_up, part, row, qtbot)
    press(part, "Change…", qtbot, window)
    assert part.form is not None
    part.form.put({"count": 3})
    part.form.submit()
    settle(qtbot, window)
    assert {each.name: each.count for each in stored(window).things}["pair of tail stands"] == 3
    choose(set_up, part, row, qtbot)
    press(part, "Remove", qtbot, window)
    assert all(each.name != "pair of tail stands" for each in stored(window).things)


def test_the_list_says_which_cards_ask_for_equipment_by_its_name(set_up: ShopSetUp) -> None:
    said = {each.name: cards for each, cards in set_up.things.list.held.rows}
    assert said["pair of jacks"].startswith("jacks, ")
    assert said["grass hangar, north bay"] == ""


def test_the_room_of_a_zone_saves_itself_and_empty_leaves_it_to_the_table(
    set_up: ShopSetUp, window: MainWindow, qtbot: QtBot
) -> None:
    cockpit = set_up.rooms.fields["cockpit"]
    type_into(cockpit, "0", qtbot, window)
    assert "0 people can't be" in cockpit.message.text()
    assert stored(window).room_for == {}
    type_into(cockpit, "1", qtbot, window)
    assert stored(window).room_for == {"cockpit": 1}
    type_into(cockpit, "", qtbot, window)
    assert stored(window).room_for == {}
    assert cockpit.message.text() == "2 when empty"


def test_somebody_new_is_written_down_with_what_they_hold(
    set_up: ShopSetUp, window: MainWindow, qtbot: QtBot
) -> None:
    part = set_up.people
    press(part, "Somebody new…", qtbot, window)
    assert part.form is not None
    part.form.put({"name": "Odd Fenwick", "roles": (), "ratings": ("airframe",), "until": "2027-03-31"})
    part.form.submit()
    assert part.form.fields["roles"].message.text() == "▲ Tick at least one."
    part.form.put({"roles": ("mechanic",)})
    part.form.submit()
    assert "stand on a mechanic certificate" in part.form.fields["number"].message.text()
    part.form.put({"number": "INVENTED-77"})
    part.form.submit()
    settle(qtbot, window)
    with window.desk.jobs.fleet.reading() as work:
        held = {each.name: each.holds for each in people(work)}
    assert held["Odd Fenwick"] == "mechanic (airframe), inspection authorization"
    hours = {each.person.name: each.hours for each in part.list.held.rows}
    assert hours["Odd Fenwick"] == "the shop's"


def test_an_owner_looks_and_changes_nothing(set_up: ShopSetUp, window: MainWindow, qtbot: QtBot) -> None:
    window.desk.who.pick(Person("owner"))
    settle(qtbot, window)
    assert not set_up.looks.isHidden()
    assert not any(field.editor.isEnabled() for field in (*set_up.week.fields, *set_up.rooms.fields.values()))
    offered = [each.text() for part in set_up.parts for each in part._edits if not each.isHidden()]
    assert offered == []


def test_enter_in_a_field_presses_no_button_and_all_has_a_name(set_up: ShopSetUp, qtbot: QtBot) -> None:
    qtbot.keyClick(set_up.week.fields[0].line, Qt.Key.Key_Return)
    assert set_up.isVisible()
    for kind in (QLineEdit, QComboBox, QPushButton):
        for each in set_up.findChildren(kind):
            assert each.accessibleName() or isinstance(each.parentWidget(), QComboBox)


def test_a_message_about_missing_hours_leads_to_the_set_up(window: MainWindow, qtbot: QtBot) -> None:
    strip = window.page.strip
    strip.refuse(Refused("Something else.", "Do that."))
    shown = [each.text() for each in strip.findChildren(QPushButton) if not each.isHidden()]
    assert shown == ["Close"]
    strip.refuse(Refused("The shop has no bay.", "Write it down.", about="shop"))
    way = next(each for each in strip.findChildren(QPushButton) if each.text() == "Set up the shop")
    assert not way.isHidden()
    way.click()
    settle(qtbot, window)
    assert window.findChild(ShopSetUp).isVisible()


@pytest.mark.parametrize("place", ["weeks", "annual"])
def test_without_hours_the_places_that_plan_lead_to_the_set_up(
    window: MainWindow, qtbot: QtBot, place: str
) -> None:
    fleet, today = window.desk.jobs.fleet, window.desk.today
    subject = None
    if place == "annual":
        with fleet.reading() as work:
            aircraft_id = find_aircraft(work, DEMO_AIRPLANE)
        library = window.desk.library()
        subject = apply(fleet, BuildPackage(aircraft_id, today, "Annual", library), "test", today).made_id
    hours = stored(window).open_hours
    for who in {each.person_id for each in hours}:
        saw = tuple(each for each in hours if each.person_id == who)
        apply(fleet, SetOpenHours(who, saw, ()), "test", today)
    window.go(place, subject)
    settle(qtbot, window)
    if isinstance(window.page, AnnualPage):
        window.page.tabs.show_part(window.page.when)
        settle(qtbot, window)
    ways = [each for each in window.page.strip.findChildren(QPushButton) if each.text() == "Set up the shop"]
    assert [way.isHidden() for way in ways] == [False], window.page.strip.text
    ways[0].click()
    settle(qtbot, window)
    set_up = window.findChild(ShopSetUp)
    assert "has no hours yet" in set_up.week.follows.text()


def test_a_shop_is_set_up_from_nothing_until_its_weeks_can_be_planned(
    program: Program, tmp_path: Path, qtbot: QtBot
) -> None:
    path = tmp_path / "new.fleet"
    with open_fleet(path, create=True) as fleet:
        aircraft_id = made(fleet, airplane())
        made(fleet, RecordCompliance(made(fleet, annual(aircraft_id)), date(2025, 6, 10), None))
        with fleet.work("test") as work:
            set_fleet_fact(work, "today", TODAY.isoformat())
    program.start(path)
    window = program.window
    assert window is not None
    settle(qtbot, window)
    window.menus.actions["shop"].trigger()
    settle(qtbot, window)
    set_up = window.findChild(ShopSetUp)
    type_into(set_up.week.fields[0], "8-12, 13-17", qtbot, window)
    press(set_up.week, "Monday's hours to Friday", qtbot, window)
    press(set_up.people, "Somebody new…", qtbot, window)
    assert set_up.people.form is not None
    set_up.people.form.put({"name": "Una Pike", "roles": ("mechanic",)})
    set_up.people.form.submit()
    settle(qtbot, window)
    press(set_up.things, "Add…", qtbot, window)
    assert set_up.things.form is not None
    assert set_up.things.form.fields["kind"].value() == "bay"
    set_up.things.form.put({"name": "hangar"})
    set_up.things.form.submit()
    settle(qtbot, window)
    with window.desk.jobs.fleet.reading() as work:
        asked = weeks_from_fleet(work, TODAY).asked
    assert (asked.bays, len(asked.visits)) == (("hangar",), 1)
    assert {float(week.hours) for week in asked.weeks} == {32.0, 40.0}, "public holidays count off"


def test_what_another_bench_wrote_is_never_overwritten_and_a_second_try_adds_to_it(
    set_up: ShopSetUp, window: MainWindow, qtbot: QtBot
) -> None:
    seen = week_of(stored(window), None)
    theirs = OpenStretch(None, 6, 600, 660)
    fleet, today = window.desk.jobs.fleet, window.desk.today
    apply(fleet, SetOpenHours(None, seen, (*seen, theirs)), "another bench", today)
    apply(fleet, SetRoom("tail", None, 4), "another bench", today)
    saturday, tail = set_up.week.fields[SATURDAY], set_up.rooms.fields["tail"]
    type_into(saturday, "9-11", qtbot, window)
    assert "changed" in set_up.strip.text.casefold()
    assert set(week_of(stored(window), None)) == {*seen, theirs}
    assert (saturday.line.text(), set_up.week.fields[6].line.text()) == ("9-11", "10:00–11:00")
    qtbot.keyClick(saturday.line, Qt.Key.Key_Return)
    settle(qtbot, window)
    assert set(week_of(stored(window), None)) == {*seen, theirs, OpenStretch(None, SATURDAY, 540, 660)}
    assert tail.line.text() == "4"


def test_a_person_gets_another_part_in_the_shop(set_up: ShopSetUp, window: MainWindow, qtbot: QtBot) -> None:
    part, who = set_up.people, person_named(set_up, "Greta Sandvik-Moss")
    rows = part.list.held.rows
    choose(set_up, part, next(n for n, each in enumerate(rows) if each.person.person_id == who), qtbot)
    press(part, "Change…", qtbot, window)
    assert part.form is not None
    part.form.put({"roles": ()})
    part.form.submit()
    assert part.form.fields["roles"].at_fault
    part.form.put({"roles": ("mechanic", "manager")})
    part.form.submit()
    settle(qtbot, window)
    hours = {each.person.name: (each.person.roles, each.hours) for each in part.list.held.rows}
    assert hours["Greta Sandvik-Moss"] == (("mechanic", "manager"), "the shop's")
    window.menus.actions["undo"].trigger()
    settle(qtbot, window)
    hours = {each.person.name: (each.person.roles, each.hours) for each in part.list.held.rows}
    assert hours["Greta Sandvik-Moss"] == (("manager",), "none: not planned with")
