"""Doing a card in the window: opened by number, timed, measured, a defect written down, done, taken back."""

import pytest
from PySide6.QtCore import Qt, QUrl
from pytestqt.qtbot import QtBot

from annual_planner.desktop.annual.in_work.seen import scanned_number
from annual_planner.desktop.annual.in_work.tab import InWork
from annual_planner.desktop.annual.page import AnnualPage
from annual_planner.desktop.discrepancies.page import DiscrepanciesPage
from annual_planner.desktop.who import Person
from annual_planner.desktop.window import MainWindow
from annual_planner.store.fleet_reads import people
from annual_planner.trade.refused import Refused
from tests.desktop.conftest import settle
from tests.desktop.test_annual import page, planned_file, shop  # noqa: F401 - fixtures
from tests.desktop.test_window import nameless

pytestmark = pytest.mark.desktop


@pytest.fixture
def tab(page: AnnualPage, shop: MainWindow, qtbot: QtBot) -> InWork:  # noqa: F811
    with shop.desk.jobs.fleet.reading() as work:
        ida = next(each for each in people(work) if each.name == "Ida Fox")
    shop.desk.who.pick(Person("mechanic", ida.person_id, ida.name))
    settle(qtbot, shop)
    shop.go("annual", page.package_id)
    page.tabs.show_part(page.late.in_work_part)
    settle(qtbot, shop)
    qtbot.waitUntil(lambda: bool(page.late.in_work.listing.held.rows))
    return page.late.in_work


def opened(tab: InWork, shop: MainWindow, qtbot: QtBot, number: int) -> None:  # noqa: F811
    tab.scan.setText(str(number))
    qtbot.keyClick(tab.scan, Qt.Key.Key_Return)
    settle(qtbot, shop)
    assert tab.doings.card is not None
    assert tab.doings.card.card.number == number


def test_a_code_of_another_package_is_refused_and_the_own_one_opens() -> None:
    assert scanned_number("AP-1/7", "AP-1") == 7
    assert scanned_number(" 12 ", "AP-1") == 12
    with pytest.raises(Refused, match="AP-2"):
        scanned_number("AP-2/7", "AP-1")
    with pytest.raises(Refused, match="no card number"):
        scanned_number("seven", "AP-1")


def test_a_card_is_timed_found_on_done_and_undone(tab: InWork, shop: MainWindow, qtbot: QtBot) -> None:  # noqa: F811
    opened(tab, shop, qtbot, tab.listing.held.rows[0].number)
    assert nameless(shop) == []
    tab.doings.by_name["start"].trigger()
    settle(qtbot, shop)
    assert tab.doings.card is not None
    assert [each.name for each in tab.doings.card.people_on] == ["Ida Fox"], tab.open.said.text()
    assert not tab.doings.by_name["start"].isEnabled()
    tab.doings.by_name["found"].trigger()
    form = tab.open.form
    assert form is not None
    line = form.fields["text"].editor
    qtbot.keyClicks(line, "Chafed hose at the firewall")
    qtbot.keyClick(line, Qt.Key.Key_Return)
    settle(qtbot, shop)
    assert [each.text for each in tab.doings.card.discrepancies] == ["Chafed hose at the firewall"]
    assert tab.listing.held.rows[0].open_discrepancies == 1
    tab.doings.by_name["done"].trigger()
    settle(qtbot, shop)
    assert tab.doings.card.card.state == "done", tab.open.said.text()
    assert not tab.doings.card.people_on
    shop.menus.actions["undo"].trigger()
    settle(qtbot, shop)
    assert tab.doings.card.card.state == "in work"


def test_out_of_limits_is_said_while_it_is_typed_and_enter_saves_it(
    tab: InWork,
    shop: MainWindow,  # noqa: F811
    qtbot: QtBot,
) -> None:
    for row in list(tab.listing.held.rows):
        opened(tab, shop, qtbot, row.number)
        assert tab.doings.card is not None
        limited = [each for each in tab.doings.card.measures if each.low is not None]
        if limited:
            break
    else:
        pytest.fail("no card of this airplane measures against a limit")
    title, low = limited[0].title, limited[0].low
    assert low is not None
    line = tab.open.measures.lines[title]
    qtbot.keyClicks(line, str(low - 1))
    assert "OUT of limits" in tab.open.measures.verdict(title)
    qtbot.keyClick(line, Qt.Key.Key_Return)
    settle(qtbot, shop)
    result = next(each for each in tab.doings.card.measures if each.title == title).result
    assert result is not None
    assert result.within is False


def test_a_card_and_what_was_found_on_it_lead_to_each_other(
    tab: InWork,
    shop: MainWindow,  # noqa: F811
    qtbot: QtBot,
) -> None:
    opened(tab, shop, qtbot, tab.listing.held.rows[2].number)
    card_id = tab.card_id
    tab.doings.by_name["found"].trigger()
    assert tab.open.form is not None
    tab.open.form.put({"text": "Cracked baffle"})
    tab.open.form.submit()
    settle(qtbot, shop)
    assert tab.doings.card is not None
    (found,) = tab.doings.card.discrepancies
    assert f"discrepancy:{found.discrepancy_id}" in tab.open.text.toHtml()
    tab.open.text.anchorClicked.emit(QUrl(f"discrepancy:{found.discrepancy_id}"))
    settle(qtbot, shop)
    assert isinstance(shop.page, DiscrepanciesPage)
    assert shop.page.seen is not None
    assert shop.page.seen.sheet.line.text == "Cracked baffle"
    tab.open_card(tab.listing.held.rows[0].card_id)
    shop.page.doings.card.trigger()
    settle(qtbot, shop)
    assert isinstance(shop.page, AnnualPage)
    assert shop.page.tabs.part is shop.page.late.in_work_part
    assert tab.card_id == card_id
    assert tab.doings.card is not None
    assert tab.doings.card.card.card_id == card_id


def test_every_act_on_a_card_has_a_key_that_means_nothing_else_there(
    tab: InWork,
    page: AnnualPage,  # noqa: F811
    shop: MainWindow,  # noqa: F811
    qtbot: QtBot,
) -> None:
    opened(tab, shop, qtbot, tab.listing.held.rows[0].number)
    acts = list(tab.doings.by_name.values())
    assert [each.text() for each in acts if not each.shortcuts()] == []
    around = [each for each in (*page.actions_here, *shop.menus.actions.values()) if each.isEnabled()]
    keys = [key.toString() for each in dict.fromkeys((*acts, *around)) for key in each.shortcuts()]
    assert sorted(keys) == sorted(set(keys))
    qtbot.keyClick(tab.listing.view, Qt.Key.Key_I, Qt.KeyboardModifier.ControlModifier)
    assert tab.open.form is not None
    assert tab.open.form.title.text() == "Not applicable"
