"""Photographs on a card in the window: dropped, read apart, looked at whole and at full size, refused."""

from __future__ import annotations

from pathlib import Path

import pytest
from PIL import Image
from pytestqt.qtbot import QtBot

from annual_planner.desktop.annual.in_work.tab import InWork
from annual_planner.desktop.photograph_window import PhotographWindow
from annual_planner.desktop.window import MainWindow
from tests.desktop.conftest import settle
from tests.desktop.test_annual import page, planned_file, shop  # noqa: F401 - fixtures
from tests.desktop.test_in_work import opened, tab  # noqa: F401 - fixtures

pytestmark = pytest.mark.desktop
# ruff: noqa: F811 - fixtures of the annual's tests are named again where they are asked for


def test_a_photograph_is_kept_with_the_card_and_shown_at_full_size(
    tab: InWork, shop: MainWindow, qtbot: QtBot, tmp_path: Path
) -> None:
    opened(tab, shop, qtbot, tab.listing.held.rows[0].number)
    path = tmp_path / "crack at the rivet.png"
    Image.new("RGB", (3000, 1500), "navy").save(path)
    tab.open.dropped.emit([str(path)])
    settle(qtbot, shop)
    qtbot.waitUntil(lambda: tab.open.pictures.count() == 1)
    tab.open.pictures.itemActivated.emit(tab.open.pictures.item(0))
    settle(qtbot, shop)
    (shown,) = tab.findChildren(PhotographWindow)
    assert shown.windowTitle() == "crack at the rivet"
    assert shown.shown.width() <= 900
    shown.full.click()
    assert (shown.shown.width(), shown.shown.height()) == (2560, 1280)
    shown.close()
    tab.open.pictures.setCurrentRow(0)
    tab.doings.by_name["caption"].trigger()
    assert tab.open.form is not None
    tab.open.form.put({"text": "crack, left wing"})
    tab.open.form.submit()
    settle(qtbot, shop)
    assert tab.open.pictures.item(0).text() == "crack, left wing"
    tab.open.pictures.setCurrentRow(0)
    tab.doings.by_name["drop_photograph"].trigger()
    settle(qtbot, shop)
    assert tab.open.pictures.count() == 0


def test_a_photograph_that_arrives_while_something_is_typed_leaves_the_form_open(
    tab: InWork, shop: MainWindow, qtbot: QtBot, tmp_path: Path
) -> None:
    opened(tab, shop, qtbot, tab.listing.held.rows[0].number)
    path = tmp_path / "strut.png"
    Image.new("RGB", (40, 30), "navy").save(path)
    tab.doings.by_name["found"].trigger()
    assert tab.open.form is not None
    tab.open.form.put({"text": "half a sen"})
    tab.open.dropped.emit([str(path)])
    settle(qtbot, shop)
    qtbot.waitUntil(lambda: tab.open.pictures.count() == 1)
    assert tab.open.form is not None
    assert tab.open.form.values() == {"text": "half a sen", "airworthy": None}


def test_what_is_no_picture_is_refused_on_the_card(
    tab: InWork, shop: MainWindow, qtbot: QtBot, tmp_path: Path
) -> None:
    opened(tab, shop, qtbot, tab.listing.held.rows[0].number)
    path = tmp_path / "hostile.jpg"
    path.write_bytes(b"\xff\xd8\xff" + bytes(4000))
    tab.open.dropped.emit([str(path)])
    settle(qtbot, shop)
    assert "can't be read as a picture" in tab.open.said.text()
    assert tab.open.pictures.count() == 0
