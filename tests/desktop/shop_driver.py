"""Driving the set-up of the shop as a person does: typing into fields, pressing buttons, choosing rows."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QPushButton
from pytestqt.qtbot import QtBot

from annual_planner.desktop.fields import TextField
from annual_planner.desktop.shop.dialog import ShopSetUp
from annual_planner.desktop.shop.part import ShopPart
from annual_planner.desktop.window import MainWindow
from annual_planner.store.shop_reads import Shop, shop
from tests.desktop.conftest import settle


def opened(window: MainWindow, qtbot: QtBot) -> ShopSetUp:
    """The set-up, opened from the menu and read."""
    window.menus.actions["shop"].trigger()
    settle(qtbot, window)
    found = window.findChild(ShopSetUp)
    assert isinstance(found, ShopSetUp)
    return found


def stored(window: MainWindow) -> Shop:
    """The shop as it is written down."""
    with window.desk.jobs.fleet.reading() as work:
        return shop(work)


def type_into(field: object, text: str, qtbot: QtBot, window: MainWindow) -> None:
    """Type over what stands in a field and leave it."""
    assert isinstance(field, TextField)
    field.line.selectAll()
    qtbot.keyClick(field.line, Qt.Key.Key_Backspace)
    qtbot.keyClicks(field.line, text)
    qtbot.keyClick(field.line, Qt.Key.Key_Return)
    settle(qtbot, window)


def choose(set_up: ShopSetUp, part: ShopPart, row: int, qtbot: QtBot) -> None:
    """Turn to a part and choose a row of its list."""
    set_up.tabs.show_part(part)
    settle(qtbot, set_up.parentWidget())  # type: ignore[arg-type]  # it stands beside the window
    part.list.point_to(row)  # type: ignore[attr-defined]  # the part has one


def press(part: ShopPart | ShopSetUp, words: str, qtbot: QtBot, window: MainWindow) -> None:
    """Press a button by its words."""
    found = [each for each in part.findChildren(QPushButton) if each.text() == words and not each.isHidden()]
    assert len(found) == 1, f"{len(found)} buttons '{words}'"
    found[0].click()
    settle(qtbot, window)


def person_named(set_up: ShopSetUp, name: str) -> int:
    """The id of who is called so."""
    assert set_up.people.seen is not None
    return next(each.person_id for each in set_up.people.seen.people if each.name == name)
