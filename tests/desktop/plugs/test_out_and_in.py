"""Plugs come out of the engine into the tray and go back in, with their gaskets counted."""

from __future__ import annotations

import pytest
from PySide6.QtWidgets import QLabel
from pytestqt.qtbot import QtBot

from annual_planner.desktop.form import Form
from annual_planner.desktop.plugs.page import PlugsPage
from annual_planner.desktop.window import MainWindow
from annual_planner.trade.engines import EngineType, place
from tests.desktop.conftest import settle
from tests.desktop.plugs.hands import count_gaskets, fill, form_of, submit

pytestmark = pytest.mark.desktop


def test_plugs_come_out_by_the_form_and_the_tray_is_shown(
    place_of: tuple[MainWindow, PlugsPage], qtbot: QtBot
) -> None:
    window, page = place_of
    page.doings.out.trigger()
    submit(page, window, qtbot)
    assert page.view is not None
    assert page.view.tray is not None
    assert len(page.view.tray.slots) == 12
    assert page.tabs.part is page.tabs.tray
    assert window.focusWidget() is page.tabs.tray.entry.lines["gap"]


def test_nothing_goes_in_before_gaskets_are_counted_and_the_missing_one_is_named(
    tray: tuple[MainWindow, PlugsPage], qtbot: QtBot
) -> None:
    window, page = tray
    page.doings.put.trigger()
    assert "gaskets are not counted" in page.strip.text
    page.doings.gasket.trigger()
    fill(page, place="4B")
    submit(page, window, qtbot)
    page.tabs.tray.gaskets_all.emit()
    settle(qtbot, window)
    assert "missing at 4B" in page.tabs.tray.count.text()
    page.doings.put.trigger()
    fill(page, new_gaskets="12")
    submit(page, window, qtbot)
    assert "cylinder 4 bottom" in form_of(page).summary.text()


def test_too_few_new_gaskets_ask_for_the_cylinder(tray: tuple[MainWindow, PlugsPage], qtbot: QtBot) -> None:
    window, page = tray
    count_gaskets(page, window, qtbot)
    page.doings.put.trigger()
    fill(page, new_gaskets="11")
    fill(page, gasket_at="3T")
    submit(page, window, qtbot)
    assert "11 new gaskets for 12 plugs" in form_of(page).summary.text()
    assert page.view is not None
    assert page.view.tray is not None


def test_plugs_go_back_by_the_rotation(
    tray: tuple[MainWindow, PlugsPage], qtbot: QtBot, kind: EngineType
) -> None:
    window, page = tray
    count_gaskets(page, window, qtbot)
    page.doings.put.trigger()
    fill(page, new_gaskets="12")
    submit(page, window, qtbot)
    assert page.view is not None
    assert page.view.tray is None
    plug = page.view.at(place("4B")).plug
    assert plug is not None
    assert plug.tag == "K-T01"


def test_a_plug_of_the_drawer_is_checked_before_it_goes_in(
    tray: tuple[MainWindow, PlugsPage], qtbot: QtBot
) -> None:
    window, page = tray
    page.doings.bought.trigger()
    fill(page, tags="K-N01")
    submit(page, window, qtbot)
    assert page.view is not None
    spare = next(plug for plug in page.view.spares if plug.tag == "K-N01")
    page.doings.drawer_check.trigger()
    fill(page, plug_id=spare.plug_id, gap="not a gap")
    submit(page, window, qtbot)
    form = page.drawer_form
    assert isinstance(form, Form)
    assert "is no gap" in form.summary.text()
    fill(page, gap="18")
    submit(page, window, qtbot)
    [look] = next(plug for plug in page.view.spares if plug.tag == "K-N01").looks
    assert look.line.gaps_in == (0.018,)


def test_the_caution_stands_where_plugs_come_out(place_of: tuple[MainWindow, PlugsPage]) -> None:
    _window, page = place_of
    page.doings.out.trigger()
    words = " ".join(each.text() for each in form_of(page).findChildren(QLabel))
    assert "Treat the propeller as live" in words
    assert "Hot engine" in words
