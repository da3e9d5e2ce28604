"""Plugs in the tray: checked, decided upon, swapped and laid out as they go in, by keys and by hand."""

from __future__ import annotations

import pytest
from PySide6.QtCore import QPoint, Qt
from pytestqt.qtbot import QtBot

from annual_planner.desktop.plugs.going_in import Plan
from annual_planner.desktop.plugs.page import PlugsPage
from annual_planner.desktop.window import MainWindow
from annual_planner.trade.engines import place
from tests.desktop.conftest import settle
from tests.desktop.plugs.hands import Keys, count_gaskets, fill, show, submit

pytestmark = pytest.mark.desktop
WANTED_KEYS = 6
"""Keystrokes for a plug with nothing wrong, at most."""


def test_twelve_plugs_are_checked_by_keys_alone_in_few_strokes(
    tray: tuple[MainWindow, PlugsPage], qtbot: QtBot
) -> None:
    window, page = tray
    show(page, page.tabs.tray)
    keys = Keys(qtbot, window)
    page.doings.check.trigger()
    for _plug in range(12):
        keys.type("17")
        for _field in range(3):
            keys.press(Qt.Key.Key_Return)
    settle(qtbot, window)
    assert page.view is not None
    assert page.view.tray is not None
    looks = [slot.before for slot in page.view.tray.slots]
    assert all(look is not None and look.line.gaps_in == (0.017,) for look in looks)
    assert keys.count / 12 <= WANTED_KEYS
    print(f"keystrokes per plug: {keys.count / 12:g}")


def test_a_check_is_taken_back_by_undo_and_done_again_by_redo(
    tray: tuple[MainWindow, PlugsPage], qtbot: QtBot
) -> None:
    window, page = tray
    show(page, page.tabs.tray)
    page.doings.check.trigger()
    keys = Keys(qtbot, window)
    keys.type("17")
    keys.press(Qt.Key.Key_Return, Qt.KeyboardModifier.ControlModifier)
    settle(qtbot, window)
    assert page.view is not None
    assert page.view.tray is not None
    assert page.view.tray.slots[0].before is not None
    window.menus.actions["undo"].trigger()
    settle(qtbot, window)
    assert page.view.tray is not None
    assert page.view.tray.slots[0].before is None
    window.menus.actions["redo"].trigger()
    settle(qtbot, window)
    assert page.view.tray is not None
    assert page.view.tray.slots[0].before is not None


def test_what_can_not_be_is_said_beside_the_fields_and_nothing_is_lost(
    tray: tuple[MainWindow, PlugsPage], qtbot: QtBot
) -> None:
    window, page = tray
    show(page, page.tabs.tray)
    page.doings.check.trigger()
    entry = page.tabs.tray.entry
    Keys(qtbot, window).type("x")
    entry.submit()
    assert "‘x’ is no gap" in entry.said.text()
    assert entry.text("gap") == "x"


def test_another_decision_needs_its_reason(tray: tuple[MainWindow, PlugsPage], qtbot: QtBot) -> None:
    window, page = tray
    show(page, page.tabs.tray)
    page.doings.check.trigger()
    keys = Keys(qtbot, window)
    keys.type("17")
    entry = page.tabs.tray.entry
    entry.lines["decide"].setFocus()
    keys.type("r")
    entry.submit()
    assert "needs a reason" in entry.said.text()
    keys.press(Qt.Key.Key_Return)
    keys.type("nose looks dull")
    keys.press(Qt.Key.Key_Return, Qt.KeyboardModifier.ControlModifier)
    settle(qtbot, window)
    assert page.view is not None
    assert page.view.tray is not None
    slot = page.view.tray.slots[0]
    assert slot.rejected
    assert slot.before is not None
    assert slot.before.line.overruled_because == "nose looks dull"


def test_a_swap_by_keys_asks_for_the_reason_and_is_recorded_with_it(
    tray: tuple[MainWindow, PlugsPage], qtbot: QtBot
) -> None:
    window, page = tray
    count_gaskets(page, window, qtbot)
    show(page, page.tabs.tray)
    box = page.tabs.tray.drawing
    box.setFocus()
    box.choose(place("1T"))
    for key in (Qt.Key.Key_Space, Qt.Key.Key_Right, Qt.Key.Key_Space):
        qtbot.keyClick(box, key)
    fill(page, why="to watch cylinder 3")
    submit(page, window, qtbot)
    assert page.view is not None
    going = {str(line.place): line for line in Plan(page.view).lines()}
    assert going["4B"].departs
    window.menus.actions["undo"].trigger()
    settle(qtbot, window)
    assert not any(line.departs for line in Plan(page.view).lines())
    window.menus.actions["redo"].trigger()
    settle(qtbot, window)
    page.doings.put.trigger()
    fill(page, new_gaskets="12")
    submit(page, window, qtbot)
    assert page.view is not None
    assert page.view.rotations[0].departures["4B"] == "to watch cylinder 3"
    plug = page.view.at(place("4B")).plug
    assert plug is not None
    assert plug.tag == "K-T02"


def test_a_plug_is_dragged_onto_another(tray: tuple[MainWindow, PlugsPage], qtbot: QtBot) -> None:
    _window, page = tray
    show(page, page.tabs.tray)
    box = page.tabs.tray.drawing
    asked: list[tuple[object, object]] = []
    box.swapped.connect(lambda one, other: asked.append((one, other)))
    first, second = (box.box_of(place(at)).center().toPoint() for at in ("1T", "3B"))
    qtbot.mousePress(box, Qt.MouseButton.LeftButton, pos=first)
    for step in (QPoint(30, 5), second - first):
        qtbot.mouseMove(box, first + step)
    qtbot.mouseRelease(box, Qt.MouseButton.LeftButton, pos=second)
    assert asked == [(place("1T"), place("3B"))]


def test_rotating_in_the_tray_lays_the_plugs_out_as_they_go_in(
    tray: tuple[MainWindow, PlugsPage], qtbot: QtBot
) -> None:
    window, page = tray
    page.tabs.rotation.moved_wanted.emit("in the tray")
    settle(qtbot, window)
    show(page, page.tabs.tray)
    page.tabs.tray.drawing.choose(place("4B"))
    slot = page.tabs.tray.slot
    assert slot is not None
    assert slot.plug.tag == "K-T01"


def test_nothing_of_before_cleaning_is_taken_for_a_measurement_after_it(
    tray: tuple[MainWindow, PlugsPage], qtbot: QtBot
) -> None:
    window, page = tray
    show(page, page.tabs.tray)
    page.doings.check.trigger()
    tab = page.tabs.tray
    for _plug in range(12):
        tab.entry.lines["gap"].setText("17")
        tab.entry.lines["ohms"].setText("open")
        tab.entry.submit()
    settle(qtbot, window)
    assert "Checked before cleaning: all 12." in tab.count.text()
    assert "lead" in tab.cautions.text()
    assert not tab.cautions.isHidden()
    tab.show_slot(tab.slots[0])
    assert (tab.entry.text("gap"), tab.entry.text("ohms")) == ("17", "open")
    tab.turn_stage()
    assert [tab.entry.text(name) for name in ("gap", "looks", "ohms")] == ["", "n", ""]


def test_a_plug_that_tells_of_its_cylinder_says_that_it_was_written_up(
    tray: tuple[MainWindow, PlugsPage], qtbot: QtBot
) -> None:
    window, page = tray
    show(page, page.tabs.tray)
    page.doings.check.trigger()
    keys = Keys(qtbot, window)
    keys.type("17")
    page.tabs.tray.entry.lines["looks"].setText("m")
    page.tabs.tray.entry.submit()
    settle(qtbot, window)
    assert "discrepancy on cylinder 1" in page.strip.text
