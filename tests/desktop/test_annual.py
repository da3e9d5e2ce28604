"""The place Annual, driven as a person drives it: planned on a small fleet, changed, undone, put on paper."""

from datetime import date
from decimal import Decimal
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from pytestqt.qtbot import QtBot

from annual_planner.desktop.annual.page import AnnualPage
from annual_planner.desktop.app import Program
from annual_planner.desktop.fields import TextField
from annual_planner.desktop.form import Form
from annual_planner.desktop.window import MainWindow
from annual_planner.records.compliances import RecordCompliance
from annual_planner.records.discrepancies import RecordDiscrepancy
from annual_planner.records.people import AddPerson
from annual_planner.records.readings import RecordReading
from annual_planner.records.requirements import AddRequirement
from annual_planner.store.fleet_reads import set_fleet_fact
from annual_planner.store.opening import open_fleet
from annual_planner.store.rows import CardLine, ItemLine
from annual_planner.trade.people import Certificate, CertificateKind
from annual_planner.trade.periods import Interval
from annual_planner.trade.said import said_date
from tests.desktop.conftest import settle
from tests.fleets import TODAY, airplane, annual, made

pytestmark = pytest.mark.desktop

FEATURES = (
    "wheels",
    "fixed_gear",
    "nosewheel",
    "opposed",
    "carburetor",
    "magnetos",
    "fixed_pitch",
    "elt",
    "battery",
)
WAIT_MS = 60_000


@pytest.fixture
def planned_file(tmp_path: Path) -> Path:
    """An owner's airplane whose annual is due, one directive, an inspector and a helper; nothing planned."""
    path = tmp_path / "small.fleet"
    fleet = open_fleet(path, create=True)
    owner = made(fleet, AddPerson("Ola Reed", ("owner",)))
    rated = Certificate(CertificateKind.MECHANIC, "0001", frozenset({"airframe", "powerplant"}))
    inspector = Certificate(CertificateKind.INSPECTION_AUTHORIZATION, "0002", expires_on=date(2027, 3, 31))
    made(fleet, AddPerson("Ida Fox", ("mechanic",), certificates=(rated, inspector)))
    made(fleet, AddPerson("Hal Moss", ("helper",)))
    aircraft_id = made(fleet, airplane(owner_id=owner, features=FEATURES))
    requirement_id = made(fleet, annual(aircraft_id))
    made(fleet, AddRequirement(aircraft_id, "Look at the strut fitting", "directive", Interval(months=12),
                               directive_number="0000-01-02", effective_on=date(2025, 7, 1)))  # fmt: skip
    made(fleet, RecordReading(aircraft_id, date(2026, 5, 1), Decimal("1531.5")))
    made(fleet, RecordCompliance(requirement_id, date(2025, 6, 10), None))
    with fleet.work("test") as work:
        set_fleet_fact(work, "today", TODAY.isoformat())
    fleet.close()
    return path


@pytest.fixture
def shop(program: Program, planned_file: Path, qtbot: QtBot) -> MainWindow:
    program.start(planned_file)
    window = program.window
    assert window is not None
    window.desk.jobs.today = TODAY
    settle(qtbot, window)
    window.show()
    return window


@pytest.fixture
def page(shop: MainWindow, qtbot: QtBot) -> AnnualPage:
    """The annual, planned as a person plans it: from the airplane, through the form."""
    shop.go("annual", "plan:1")
    settle(qtbot, shop)
    annual_page = shop.page
    assert isinstance(annual_page, AnnualPage)
    form(annual_page).submit()
    qtbot.waitUntil(lambda: annual_page.shown is not None, timeout=WAIT_MS)
    settle(qtbot, shop)
    return annual_page


def form(page: AnnualPage) -> Form:
    assert page.drawer is not None
    shown = page.drawer.widget()
    assert isinstance(shown, Form)
    return shown


def items(page: AnnualPage) -> dict[str, ItemLine]:
    assert page.shown is not None
    return {item.due.title: item for item in page.shown.view.items}


def cards(page: AnnualPage) -> tuple[CardLine, ...]:
    assert page.shown is not None
    return page.shown.every_card


def card(page: AnnualPage, card_id: int) -> CardLine:
    return next(each for each in cards(page) if each.card_id == card_id)


def point(page: AnnualPage, wanted: CardLine) -> None:
    rows = page.cards.listing.held.rows
    place = next(place for place, row in enumerate(rows) if row.card and row.card.card_id == wanted.card_id)
    page.tabs.show_part(page.cards)
    page.cards.listing.point_to(place)


def undo(qtbot: QtBot, page: AnnualPage) -> None:
    window = page.window()
    assert isinstance(window, MainWindow)
    window.menus.actions["undo"].trigger()
    settle(qtbot, window)


def pick(page: AnnualPage, name: str) -> None:
    box = page.cards.detail.person.box
    place = next(place for place in range(box.count()) if box.itemText(place).startswith(name))
    box.setCurrentIndex(place)
    box.activated.emit(place)


def test_planning_lays_the_cards_out_under_their_phases_in_order(page: AnnualPage) -> None:
    assert page.heading.text() == f"N012AP  Annual inspection {TODAY.year}"
    rows = page.cards.listing.held.rows
    phases = [row.phase for row in rows if row.card is None]
    assert phases[0] == "Research"
    assert len(phases) == len(set(phases)), "each phase has one heading"
    assert page.items.listing.table.rowCount() == 2


def test_space_decides_otherwise_and_undo_decides_back(
    shop: MainWindow, page: AnnualPage, qtbot: QtBot
) -> None:
    title = "Look at the strut fitting"
    assert items(page)[title].do_now
    place = [item.due.title for item in page.items.listing.held.rows].index(title)
    page.items.listing.point_to(place)
    qtbot.keyClick(page.items.listing.view, Qt.Key.Key_Space)
    settle(qtbot, shop)
    assert not items(page)[title].do_now
    assert title in page.items.reason.text()
    undo(qtbot, page)
    assert items(page)[title].do_now


def test_a_card_of_ones_own_for_major_work_is_signed_by_an_inspector(
    shop: MainWindow, page: AnnualPage, qtbot: QtBot
) -> None:
    page.doings.own.trigger()
    own = form(page)
    own.fields["title"].put("Splice the spar")
    own.fields["phase"].put("repair")
    own.fields["kind"].put("repair")
    own.fields["major"].put(True)
    own.submit()
    qtbot.waitUntil(lambda: any(each.title == "Splice the spar" for each in cards(page)), timeout=WAIT_MS)
    made = next(each for each in cards(page) if each.title == "Splice the spar")
    assert (made.signer, made.entry) == ("inspector", "43.9")


def test_space_leaves_a_card_out_and_its_hours_with_it(
    shop: MainWindow, page: AnnualPage, qtbot: QtBot
) -> None:
    before, chosen = page.shown.view.package, cards(page)[3]  # type: ignore[union-attr]
    point(page, chosen)
    qtbot.keyClick(page.cards.listing.view, Qt.Key.Key_Space)
    settle(qtbot, shop)
    assert not card(page, chosen.card_id).included
    assert page.shown is not None
    assert page.shown.view.package.hours_likely == before.hours_likely - chosen.hours_likely
    assert page.cards.current is not None
    assert page.cards.current.card_id == chosen.card_id, "the card stays chosen under 'Left out'"
    undo(qtbot, page)
    assert card(page, chosen.card_id).included


def test_a_person_who_may_not_is_refused_beside_the_choice(
    shop: MainWindow, page: AnnualPage, qtbot: QtBot
) -> None:
    chosen = next(each for each in cards(page) if each.doer == "inspector")
    point(page, chosen)
    pick(page, "Hal Moss")
    settle(qtbot, shop)
    detail = page.cards.detail
    assert detail.person.at_fault
    assert "may not" in detail.person.message.text()
    assert detail.person.value() is None
    assert card(page, chosen.card_id).assigned_person_id is None


def test_a_person_who_may_is_given_the_card_and_its_hours(
    shop: MainWindow, page: AnnualPage, qtbot: QtBot
) -> None:
    chosen = next(each for each in cards(page) if each.doer == "inspector")
    point(page, chosen)
    pick(page, "Ida Fox")
    settle(qtbot, shop)
    assert card(page, chosen.card_id).assigned_name == "Ida Fox"
    assert not page.cards.detail.person.at_fault
    given = {share.name: share.likely for share in page.tabs.hours.shares.held.rows}
    assert given["Ida Fox"] == chosen.hours_likely
    undo(qtbot, page)
    assert card(page, chosen.card_id).assigned_person_id is None


def test_hours_are_changed_in_place_when_they_rise(shop: MainWindow, page: AnnualPage, qtbot: QtBot) -> None:
    chosen = cards(page)[0]
    point(page, chosen)
    hours = page.cards.detail.hours
    for field, text in zip(hours.fields, ("3", "2", "4"), strict=True):
        field.line.setText(text)
    hours.fields[2].line.editingFinished.emit()
    assert "rise" in hours.message.text()
    hours.fields[0].line.setText("1,5")
    hours.fields[0].line.editingFinished.emit()
    settle(qtbot, shop)
    now = card(page, chosen.card_id)
    assert (now.hours_low, now.hours_likely, now.hours_high) == (Decimal("1.5"), Decimal(2), Decimal(4))
    undo(qtbot, page)
    assert card(page, chosen.card_id).hours_likely == chosen.hours_likely


def test_a_card_of_ones_own_stands_in_its_phase_and_can_be_taken_out(
    shop: MainWindow, page: AnnualPage, qtbot: QtBot
) -> None:
    page.doings.own.trigger()
    shown = form(page)
    shown.submit()
    assert shown.fields["title"].at_fault
    title = shown.fields["title"]
    assert isinstance(title, TextField)
    qtbot.keyClicks(title.line, "Fit the new sun visor")
    qtbot.keyClick(title.line, Qt.Key.Key_Return)
    settle(qtbot, shop)
    own = next(each for each in cards(page) if each.title == "Fit the new sun visor")
    row = next(row for row in page.cards.listing.held.rows if row.card and row.card.card_id == own.card_id)
    assert row.phase == "Service"
    assert page.cards.current is not None
    assert page.cards.current.card_id == own.card_id, "the new card is the chosen one"
    point(page, own)
    page.doings.drop.trigger()
    settle(qtbot, shop)
    assert own.card_id not in {each.card_id for each in cards(page)}
    undo(qtbot, page)
    assert own.card_id in {each.card_id for each in cards(page)}


def test_the_card_shows_its_cautions_before_its_steps(page: AnnualPage) -> None:
    warned = next(each for each in cards(page) if each.content.get("cautions") and each.content.get("steps"))
    point(page, warned)
    text = page.cards.detail.text.toPlainText()
    assert page.shown is not None
    first = page.shown.cautions[warned.content["cautions"][0]]  # type: ignore[index]
    assert text.index(first.title) < text.index("Steps")


def test_another_start_weighs_again_and_undo_restores_it(
    shop: MainWindow, page: AnnualPage, qtbot: QtBot
) -> None:
    page.doings.start.trigger()
    start = form(page).fields["start_on"]
    assert isinstance(start, TextField)
    start.line.setText("2026-06-01")
    form(page).submit()
    settle(qtbot, shop)
    assert page.shown is not None
    assert page.shown.view.package.start_on == date(2026, 6, 1)
    undo(qtbot, page)
    assert page.shown.view.package.start_on == date(2026, 5, 11)


def test_what_was_found_since_is_taken_up_and_undo_leaves_it_out_again(
    shop: MainWindow, page: AnnualPage, qtbot: QtBot
) -> None:
    planned = {each.title for each in cards(page)}
    page.doings.take_up.trigger()
    settle(qtbot, shop)
    assert "Nothing is new" in page.strip.text
    found = RecordDiscrepancy(1, date(2026, 5, 4), "engine", "Muffler cracked at the outlet")
    made(shop.desk.jobs.fleet, found)
    page.doings.take_up.trigger()
    settle(qtbot, shop)
    assert {each.title for each in cards(page)} - planned == {"Repair: Muffler cracked at the outlet"}
    undo(qtbot, page)
    assert {each.title for each in cards(page)} == planned


def test_why_answers_for_the_item_and_for_the_card(shop: MainWindow, page: AnnualPage, qtbot: QtBot) -> None:
    page.items.listing.point_to(0)
    shop.show_why()
    settle(qtbot, shop)
    assert shop.panel.working is not None
    assert any(each.name == "decided" for each in shop.panel.working.inputs)
    chosen = cards(page)[0]
    point(page, chosen)
    shop.show_why()
    settle(qtbot, shop)
    assert chosen.title in shop.panel.working.title


def test_why_shows_the_projected_point_of_what_is_due_afterwards(
    shop: MainWindow, page: AnnualPage, qtbot: QtBot
) -> None:
    page.tabs.show_part(page.tabs.after)
    lines = page.tabs.after.listing.held.rows
    place = next(place for place, line in enumerate(lines) if line.done_now and line.due_on is not None)
    page.tabs.after.listing.point_to(place)
    settle(qtbot, shop)
    shop.show_why()
    settle(qtbot, shop)
    working = shop.panel.working
    assert working is not None
    assert working.title.startswith(lines[place].title)
    assert said_date(lines[place].due_on) in working.result
    assert working.parts[0].title == "If it is done in this visit"


def test_a_package_taken_away_comes_back_whole(shop: MainWindow, page: AnnualPage, qtbot: QtBot) -> None:
    count = len(cards(page))
    page.doings.remove.trigger()
    settle(qtbot, shop)
    assert page.chooser.table.rowCount() == 0
    undo(qtbot, page)
    assert page.chooser.table.rowCount() == 1
    page.show_subject(1)
    settle(qtbot, shop)
    assert len(cards(page)) == count
