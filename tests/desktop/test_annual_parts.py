"""The parts of an annual: their paper, their order, their keys and their names for a reader."""

# ruff: noqa: F811 - fixtures are named where they are asked for

from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from pytestqt.qtbot import QtBot

from annual_planner.desktop.annual.card_rows import CardRow
from annual_planner.desktop.annual.page import AnnualPage
from annual_planner.desktop.window import MainWindow
from tests.desktop.conftest import settle
from tests.desktop.test_annual import WAIT_MS, cards, page, planned_file, shop  # noqa: F401 - fixtures
from tests.desktop.test_window import nameless

pytestmark = pytest.mark.desktop


def test_the_paper_is_previewed_page_by_page_and_saved_as_seen(
    shop: MainWindow, page: AnnualPage, qtbot: QtBot, tmp_path: Path
) -> None:
    page.doings.paper.trigger()
    preview = page.tabs.preview
    qtbot.waitUntil(lambda: bool(preview.out.pdf), timeout=WAIT_MS)
    settle(qtbot, shop)
    assert not preview.page.image.isNull()
    assert preview.counted.text().startswith("Page 1 of ")
    qtbot.keyClick(preview, Qt.Key.Key_PageDown)
    settle(qtbot, shop)
    assert preview.counted.text().startswith("Page 2 of ")
    target = tmp_path / "paper.pdf"
    preview.out.save_to(target)
    settle(qtbot, shop)
    assert target.read_bytes() == preview.out.pdf
    assert "Saved as paper.pdf" in page.strip.text


def test_drawing_the_paper_can_be_stopped(shop: MainWindow, page: AnnualPage, qtbot: QtBot) -> None:
    page.doings.paper.trigger()
    page.tabs.preview.cancel.click()
    settle(qtbot, shop)
    assert not page.tabs.preview.out.pdf
    assert "not drawn" in page.tabs.preview.blank.accessibleDescription()
    page.tabs.preview.make()
    qtbot.waitUntil(lambda: bool(page.tabs.preview.out.pdf), timeout=WAIT_MS)


def test_every_part_has_names_for_a_screen_reader(shop: MainWindow, page: AnnualPage, qtbot: QtBot) -> None:
    for place in range(page.tabs.count()):
        page.tabs.setCurrentIndex(place)
        settle(qtbot, shop)
        assert nameless(shop) == [], page.tabs.tabText(place)
    for action in (page.doings.own, page.doings.start):
        action.trigger()
        settle(qtbot, shop)
        assert nameless(shop) == [], action.text()
        page.close_form()


def test_the_scope_of_an_annual_is_compared_with_the_cards(page: AnnualPage) -> None:
    assert page.shown is not None
    page.tabs.show_part(page.tabs.coverage)
    assert page.tabs.coverage.listing.table.rowCount() == len(page.shown.view.coverage) > 40
    page.tabs.coverage.listing.filter_to("does not apply")
    shown = page.tabs.coverage.listing.table.rowCount()
    assert shown == sum(bool(each.not_applicable) and not each.cards for each in page.shown.view.coverage)


def shown_rows(page: AnnualPage) -> list[CardRow]:
    listing = page.cards.listing
    places = [listing.table.id_at(at) for at in range(listing.table.rowCount())]
    return [listing.held.rows[place] for place in places if place is not None]


def test_cards_are_sorted_by_two_columns_without_the_headings_and_stand_in_order_again(
    shop: MainWindow, page: AnnualPage, qtbot: QtBot
) -> None:
    listing = page.cards.listing
    page.tabs.show_part(page.cards)
    settle(qtbot, shop)
    in_order = listing.table.rowCount()
    place = {column.key: at for at, column in enumerate(listing.table.columns)}
    listing.view.header.sort_by(place["doer"])
    listing.view.header.sort_by(place["hours"], second=True)
    shown = shown_rows(page)
    sorted_cards = [row.card for row in shown if row.card is not None]
    assert len(sorted_cards) == len(cards(page)) == len(shown), "every card, no heading"
    by = [(each.doer.casefold(), each.hours_likely) for each in sorted_cards]
    assert by == sorted(by)
    listing.view.header.show_keys(())
    listing.view.header.wants_order.emit(())
    assert listing.table.rowCount() == in_order
    listing.search.setText("spark")
    qtbot.waitUntil(lambda: listing.table.rowCount() < in_order, timeout=WAIT_MS)
    assert all(row.card for row in shown_rows(page))


def test_keys_turn_to_the_next_part_and_act_on_its_list(
    shop: MainWindow, page: AnnualPage, qtbot: QtBot
) -> None:
    page.tabs.show_part(page.items)
    page.items.listing.view.setFocus()
    qtbot.keyClick(page.items.listing.view, Qt.Key.Key_PageDown, Qt.KeyboardModifier.ControlModifier)
    assert page.tabs.part is page.cards
    assert page.cards.listing.view.hasFocus()
    qtbot.keyClick(page.cards.listing.view, Qt.Key.Key_PageUp, Qt.KeyboardModifier.ControlModifier)
    assert page.items.listing.view.hasFocus()
    qtbot.keyClick(page.items.listing.view, Qt.Key.Key_PageUp, Qt.KeyboardModifier.ControlModifier)
    assert page.tabs.name_in_front == "preview", "round and round"


def test_on_each_part_every_key_does_one_thing(shop: MainWindow, page: AnnualPage, qtbot: QtBot) -> None:
    for part in (page.items, page.when, page.late.in_work_part, page.late.closing_part):
        page.tabs.show_part(part)
        settle(qtbot, shop)
        allowed = [each for each in page.actions_here if each.isEnabled() and each.shortcuts()]
        everywhere = [each for each in shop.menus.actions.values() if each.shortcuts()]
        keys = [key.toString() for each in (*allowed, *everywhere) for key in each.shortcuts()]
        assert sorted(keys) == sorted(set(keys)), part.accessibleName()


def test_an_annual_that_cannot_be_read_is_asked_for_again(
    shop: MainWindow, page: AnnualPage, qtbot: QtBot, monkeypatch: pytest.MonkeyPatch
) -> None:
    package_id = page.package_id
    page.choose()
    with monkeypatch.context() as broken:
        broken.setattr("annual_planner.desktop.annual.page.read_shown", lambda *_: 1 / 0)
        shop.go("annual", package_id)
        settle(qtbot, shop)
        assert "could not be read" in page.blank.accessibleDescription()
        assert page.package_id == package_id, "it is still the one that is wanted"
    page.blank.next.click()
    qtbot.waitUntil(lambda: page.shown is not None, timeout=WAIT_MS)
