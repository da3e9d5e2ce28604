"""The closing in the window: what is missing, entries drafted, a key made, a wrong passphrase.

The way to the closed package is in test_whole_way.
"""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from pathlib import Path

import pytest
from PySide6.QtGui import QTextCursor
from PySide6.QtWidgets import QLabel, QMenu
from pytestqt.qtbot import QtBot

from annual_planner.desktop.annual.closing_tab import ClosingTab
from annual_planner.desktop.annual.page import AnnualPage
from annual_planner.desktop.signing.dialog import SigningDialog
from annual_planner.desktop.who import Person
from annual_planner.desktop.window import MainWindow
from annual_planner.records.compliances import RecordCompliance
from annual_planner.records.people import AddPerson
from annual_planner.records.readings import RecordReading
from annual_planner.store.fleet_reads import people, set_fleet_fact
from annual_planner.store.opening import open_fleet
from annual_planner.trade.people import Certificate, CertificateKind
from tests.cards_done import do_every_card
from tests.desktop.conftest import settle
from tests.desktop.test_annual import FEATURES, page, shop  # noqa: F401 - fixtures
from tests.fleets import TODAY, airplane, annual, made

pytestmark = pytest.mark.desktop
# ruff: noqa: F811 - fixtures of the annual's tests are named again where they are asked for

PASSPHRASE = "nine quiet herons on a jetty"


@pytest.fixture
def planned_file(tmp_path: Path) -> Path:
    """A metal airplane whose annual is due, its owner, and the inspector."""
    path = tmp_path / "small.fleet"
    with open_fleet(path, create=True) as fleet:
        rated = Certificate(CertificateKind.MECHANIC, "0001", frozenset({"airframe", "powerplant"}))
        inspector = Certificate(
            CertificateKind.INSPECTION_AUTHORIZATION, "0002", expires_on=date(2027, 3, 31)
        )
        made(fleet, AddPerson("Ida Fox", ("mechanic",), certificates=(rated, inspector)))
        owner_id = made(fleet, AddPerson("Ola Reed", ("owner",)))
        aircraft_id = made(fleet, airplane(owner_id=owner_id, features=(*FEATURES, "metal_skin")))
        requirement_id = made(fleet, annual(aircraft_id))
        made(fleet, RecordReading(aircraft_id, date(2026, 5, 1), Decimal("1531.5")))
        made(fleet, RecordCompliance(requirement_id, date(2025, 6, 10), None))
        with fleet.work("test") as work:
            set_fleet_fact(work, "today", TODAY.isoformat())
    return path


def do_all(window: MainWindow, package_id: int) -> None:
    """Every card done by who may sign it, with the figures of the engine run."""
    fleet = window.desk.jobs.fleet
    with fleet.reading() as work:
        ida = next(each.person_id for each in people(work) if each.name == "Ida Fox")
    do_every_card(fleet, package_id, lambda _doer: ida)


@pytest.fixture
def closing(page: AnnualPage, shop: MainWindow, qtbot: QtBot) -> ClosingTab:
    assert page.package_id is not None
    do_all(shop, page.package_id)
    page.tabs.show_part(page.late.closing_part)
    settle(qtbot, shop)
    page.late.closing._ask()
    settle(qtbot, shop)
    return page.late.closing


def sign_chosen(closing: ClosingTab, shop: MainWindow, qtbot: QtBot) -> None:
    closing.buttons["sign"].click()
    assert not closing.strip.isVisible(), closing.strip.text
    dialog = shop.findChild(SigningDialog)
    held = [each.said for each in closing.entries.held.rows]
    assert dialog is not None, (
        held,
        closing.strip.text,
        closing.entries.current,
        closing.buttons["sign"].isEnabled(),
    )
    settle(qtbot, shop)
    for place in range(dialog.person.count()):
        if dialog.person.itemText(place).startswith("Ida Fox"):
            dialog.person.setCurrentIndex(place)
    settle(qtbot, shop)
    if not dialog._has_key:
        dialog.passphrase.setText(PASSPHRASE)
        assert dialog.make_key.isEnabled()
        dialog.make_key.click()
        settle(qtbot, shop)
    assert dialog.sheet is not None
    assert not dialog.sign_button.isEnabled(), "the passphrase is typed anew for each signature"
    assert dialog.sheet.text in dialog.content.toPlainText()
    dialog.passphrase.setText(PASSPHRASE)
    assert dialog.sign_button.isEnabled(), dialog.entitled.text()
    with qtbot.waitSignal(dialog.signed):
        dialog.sign_button.click()
    settle(qtbot, shop)


def here(shop: MainWindow) -> dict[str, list[str]]:
    """The menus within 'Here', as they stand when it is opened."""
    menu = shop.menus.menus["here"]
    menu.aboutToShow.emit()
    within = {each.text(): each.menu() for each in menu.actions() if each.menu() is not None}
    return {
        title: [each.text() for each in inner.actions()]
        for title, inner in within.items()
        if isinstance(inner, QMenu)
    }


def test_the_acts_of_closing_stand_in_the_menu_while_they_are_seen_and_the_next_one_leads(
    closing: ClosingTab, page: AnnualPage, shop: MainWindow, qtbot: QtBot
) -> None:
    assert "&Draft the entries" in here(shop)["C&losing"]
    leading = {name: bool(each.property("leading")) for name, each in closing.buttons.items()}
    assert [name for name, on in leading.items() if on] == ["draft"]
    closing.doings["draft"].trigger()
    settle(qtbot, shop)
    assert closing.buttons["sign"].property("leading")
    assert not closing.buttons["draft"].property("leading")
    page.tabs.show_part(page.items)
    assert "C&losing" not in here(shop)


def test_a_package_with_open_cards_can_not_be_closed(
    page: AnnualPage, shop: MainWindow, qtbot: QtBot
) -> None:
    page.tabs.show_part(page.late.closing_part)
    settle(qtbot, shop)
    assert page.late.closing.lacking.table.rowCount() > 0
    assert not page.late.closing.buttons["close"].isEnabled()
    assert not page.late.closing.buttons["draft"].isEnabled()
    shop.show_why()
    settle(qtbot, shop)
    assert shop.panel.working is not None
    assert "Closing of package" in shop.panel.working.title


def test_a_wrong_passphrase_signs_nothing(closing: ClosingTab, shop: MainWindow, qtbot: QtBot) -> None:
    closing.buttons["draft"].click()
    settle(qtbot, shop)
    sign_chosen(closing, shop, qtbot)
    closing.entries.point_to(1)
    settle(qtbot, shop)
    closing.buttons["sign"].click()
    dialog = shop.findChildren(SigningDialog)[-1]
    settle(qtbot, shop)
    for place in range(dialog.person.count()):
        if dialog.person.itemText(place).startswith("Ida Fox"):
            dialog.person.setCurrentIndex(place)
    settle(qtbot, shop)
    dialog.passphrase.setText("not the passphrase at all")
    dialog.sign_button.click()
    settle(qtbot, shop)
    assert "passphrase" in dialog.strip.text.lower()
    dialog.reject()


def test_a_text_that_is_typed_saves_itself_when_it_is_left_and_undo_takes_it_back(
    closing: ClosingTab, shop: MainWindow, qtbot: QtBot
) -> None:
    closing.doings["draft"].trigger()
    settle(qtbot, shop)
    first = closing.entries.held.rows[0].entry
    closing.text.setFocus()
    closing.text.moveCursor(QTextCursor.MoveOperation.End)
    qtbot.keyClicks(closing.text, " Seat rails looked at twice.")
    closing.entries.view.setFocus()
    settle(qtbot, shop)
    assert closing.entries.held.rows[0].entry.text == f"{first.text} Seat rails looked at twice."
    assert closing.text.unsaved is None
    shop.menus.actions["undo"].trigger()
    settle(qtbot, shop)
    assert closing.text.toPlainText() == first.text


def test_a_text_that_is_refused_stays_as_it_was_typed(
    closing: ClosingTab, shop: MainWindow, qtbot: QtBot
) -> None:
    closing.doings["draft"].trigger()
    settle(qtbot, shop)
    entries = [each.entry for each in closing.entries.held.rows]
    assert len(entries) > 1
    closing.text.setFocus()
    closing.text.selectAll()
    qtbot.keyClicks(closing.text, "Looked at.")
    closing.entries.view.setFocus()
    settle(qtbot, shop)
    assert "lacks" in closing.strip.text
    closing.entries.point_to(1)
    assert closing.text.toPlainText() == entries[1].text
    closing._ask()  # as after a change at another bench
    settle(qtbot, shop)
    closing.entries.point_to(0)
    assert closing.text.toPlainText() == "Looked at.", "nothing typed is lost"
    closing.buttons["sign"].click()
    assert "being saved" in closing.strip.text


def test_an_owner_is_shown_what_is_missing_and_no_act_that_writes(
    closing: ClosingTab, page: AnnualPage, shop: MainWindow, qtbot: QtBot
) -> None:
    package_id = page.package_id
    assert page.shown is not None
    owner_id = page.shown.view.aircraft.owner_id
    shop.desk.who.pick(Person("owner", owner_id, "Ola Reed"))
    shop.go("annual", package_id)
    settle(qtbot, shop)
    page.tabs.show_part(page.late.closing_part)
    settle(qtbot, shop)
    assert closing.result.isVisible()
    assert {name for name, each in closing.buttons.items() if each.isVisible()} == {"print", "list"}


def test_at_200_percent_what_is_signed_can_be_read_and_no_words_are_cut(
    closing: ClosingTab, shop: MainWindow, qtbot: QtBot
) -> None:
    closing.doings["draft"].trigger()
    settle(qtbot, shop)
    shop.desk.theme.set_percent(200)
    closing.buttons["sign"].click()
    dialog = shop.findChild(SigningDialog)
    assert dialog is not None
    settle(qtbot, shop)
    assert dialog.content.viewport().height() >= 5 * dialog.content.fontMetrics().lineSpacing()
    assert dialog.sign_button.visibleRegion().boundingRect() == dialog.sign_button.rect()
    said = [each for each in dialog.findChildren(QLabel) if each.isVisible() and each.text()]
    assert [each.text() for each in said if each.height() < each.heightForWidth(each.width())] == []
    dialog.reject()
