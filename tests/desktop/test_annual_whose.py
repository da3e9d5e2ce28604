"""Whose annuals are shown: an owner's own with their list first, a manager's all of them."""

# ruff: noqa: F811 - fixtures are named where they are asked for

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QTextBrowser
from pytestqt.qtbot import QtBot

from annual_planner.desktop.annual.page import AnnualPage
from annual_planner.desktop.who import Person
from annual_planner.desktop.window import MainWindow
from annual_planner.paper.preview import page_count
from tests.desktop.conftest import settle
from tests.desktop.test_annual import WAIT_MS, items, page, planned_file, shop  # noqa: F401 - fixtures

pytestmark = pytest.mark.desktop


def test_the_owner_sees_their_list_first_and_no_way_to_change_it(
    shop: MainWindow, page: AnnualPage, qtbot: QtBot
) -> None:
    assert page.shown is not None
    owner_id = page.shown.view.aircraft.owner_id
    package_id = page.package_id
    shop.desk.who.pick(Person("owner", owner_id, "Ola Reed"))
    settle(qtbot, shop)
    shop.go("annual", package_id)
    settle(qtbot, shop)
    assert page.tabs.part is page.tabs.owner
    assert page.tabs.currentIndex() == 0
    text = page.tabs.owner.findChild(QTextBrowser)
    assert isinstance(text, QTextBrowser)
    assert "leave alone" in text.toPlainText()
    page.tabs.owner.wants_paper.emit()
    preview = page.tabs.preview
    assert (page.tabs.part, preview.which) == (preview, "owner")
    qtbot.waitUntil(lambda: bool(preview.out.pdf), timeout=WAIT_MS)
    assert page_count(preview.out.pdf) < 10, "the list alone, not the package"
    assert "preparation list" in preview.out.file_name()
    assert not page.doings.own.isVisible()
    before = items(page)
    page.tabs.show_part(page.items)
    page.items.listing.point_to(0)
    qtbot.keyClick(page.items.listing.view, Qt.Key.Key_Space)
    settle(qtbot, shop)
    assert items(page) == before


def test_another_owner_does_not_see_it(shop: MainWindow, page: AnnualPage, qtbot: QtBot) -> None:
    shop.desk.who.pick(Person("owner", 999, "Somebody else"))
    settle(qtbot, shop)
    shop.go("annual", 1)
    settle(qtbot, shop)
    assert page.shown is None
    assert page.chooser.table.rowCount() == 0


def test_the_manager_sees_the_list_of_annuals(shop: MainWindow, page: AnnualPage, qtbot: QtBot) -> None:
    page.doings.list.trigger()
    shop.desk.who.pick(Person("manager", None, "Max"))
    settle(qtbot, shop)
    shop.go("annual")
    settle(qtbot, shop)
    assert page.heading.text() == "Annuals"
    assert page.chooser.table.rowCount() == 1
    page.chooser.point_to(0)
    qtbot.keyClick(page.chooser.view, Qt.Key.Key_Return)
    settle(qtbot, shop)
    assert page.shown is not None


def test_going_to_the_list_while_a_package_is_read_stays_on_the_list(
    shop: MainWindow, page: AnnualPage, qtbot: QtBot
) -> None:
    page.refresh()
    page.choose()
    settle(qtbot, shop)
    assert page.heading.text() == "Annuals"
    assert page.chooser.isVisible()


def test_without_a_package_the_page_says_what_to_do(shop: MainWindow, qtbot: QtBot) -> None:
    shop.go("annual")
    settle(qtbot, shop)
    empty = shop.page
    assert isinstance(empty, AnnualPage)
    assert "No annual is planned yet" in empty.chooser.blank.accessibleDescription()


def test_an_owner_is_not_asked_to_plan(shop: MainWindow, qtbot: QtBot) -> None:
    shop.desk.who.pick(Person("owner", 1, "Ola Reed"))
    shop.go("annual", "plan:1")
    settle(qtbot, shop)
    empty = shop.page
    assert isinstance(empty, AnnualPage)
    assert empty.drawer is None


def test_an_owner_is_not_offered_to_lay_the_work_out(
    shop: MainWindow, page: AnnualPage, qtbot: QtBot
) -> None:
    page.tabs.show_part(page.when)
    settle(qtbot, shop)
    assert page.when.made is not None
    assert page.when.made.blank.next.isVisible()
    assert page.shown is not None
    package_id = page.package_id
    shop.desk.who.pick(Person("owner", page.shown.view.aircraft.owner_id, "Ola Reed"))
    shop.go("annual", package_id)
    settle(qtbot, shop)
    page.tabs.show_part(page.when)
    settle(qtbot, shop)
    assert not page.when.made.blank.next.isVisible()
    assert "Once the shop has laid it out" in page.when.made.blank.accessibleDescription()
