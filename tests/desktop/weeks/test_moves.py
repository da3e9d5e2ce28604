"""A visit is moved, dragged, pinned and put into a week of its own, its cost shown first."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from PySide6.QtCore import QPoint, Qt
from pytestqt.qtbot import QtBot

from annual_planner.desktop.form import Form
from annual_planner.desktop.weeks.page import WeeksPage
from annual_planner.trade.working import Working
from demo_fleet.loader import DEMO_AIRPLANE
from tests.desktop.conftest import settle
from tests.desktop.weeks.hands import (
    choose,
    kept,
    press,
    undo,
    window_of,
)

pytestmark = pytest.mark.desktop


def test_a_move_by_keys_shows_its_cost_first_and_is_kept_by_enter(weeks: WeeksPage, qtbot: QtBot) -> None:
    before = kept(weeks)
    choose(weeks, DEMO_AIRPLANE)
    qtbot.keyClick(weeks.drawing, Qt.Key.Key_Right, Qt.KeyboardModifier.ControlModifier)
    qtbot.keyClick(weeks.drawing, Qt.Key.Key_Return)
    settle(qtbot, window_of(weeks))
    tried = weeks.moving.tried
    assert tried is not None
    assert tried.monday == before[DEMO_AIRPLANE].week_on + timedelta(weeks=4)
    assert weeks.beside.move_panel.isVisible()
    assert "The plan costs" in weeks.beside.move_panel.result.text()
    assert kept(weeks) == before, "nothing is changed yet"
    working = weeks.why()
    assert isinstance(working, Working)
    assert DEMO_AIRPLANE in working.title
    qtbot.keyClick(weeks.drawing, Qt.Key.Key_Return)
    settle(qtbot, window_of(weeks))
    now = kept(weeks)[DEMO_AIRPLANE]
    assert (now.week_on, now.pinned) == (tried.monday, True)
    assert weeks.beside.isHidden()
    undo(qtbot, weeks)
    assert kept(weeks)[DEMO_AIRPLANE].week_on == before[DEMO_AIRPLANE].week_on
    assert not kept(weeks)[DEMO_AIRPLANE].pinned


def test_escape_puts_a_move_back(weeks: WeeksPage, qtbot: QtBot) -> None:
    before = kept(weeks)
    choose(weeks, DEMO_AIRPLANE)
    qtbot.keyClick(weeks.drawing, Qt.Key.Key_Right)
    qtbot.keyClick(weeks.drawing, Qt.Key.Key_Return)
    settle(qtbot, window_of(weeks))
    assert weeks.moving.tried is not None
    qtbot.keyClick(weeks.drawing, Qt.Key.Key_Escape)
    assert weeks.moving.tried is None
    assert weeks.drawing.moved_to is None
    assert weeks.beside.isHidden()
    assert kept(weeks) == before


def test_a_bar_is_dragged_its_cost_shown_kept_and_taken_back(weeks: WeeksPage, qtbot: QtBot) -> None:
    before = kept(weeks)
    key = choose(weeks, DEMO_AIRPLANE)
    qtbot.wait(10)
    at = weeks.drawing.box_of(key).center().toPoint()
    far = at + QPoint(round(weeks.drawing.grid.week_wide * 2), 0)
    qtbot.mousePress(weeks.drawing, Qt.MouseButton.LeftButton, pos=at)
    qtbot.mouseMove(weeks.drawing, far)
    assert weeks.drawing.moved_to == before[DEMO_AIRPLANE].week_on + timedelta(weeks=2)
    qtbot.mouseRelease(weeks.drawing, Qt.MouseButton.LeftButton, pos=far)
    settle(qtbot, window_of(weeks))
    assert kept(weeks) == before
    assert weeks.drawing.tried, "where it would be is drawn"
    press(qtbot, weeks.beside, "Keep")
    settle(qtbot, window_of(weeks))
    assert kept(weeks)[DEMO_AIRPLANE].week_on == before[DEMO_AIRPLANE].week_on + timedelta(weeks=2)
    undo(qtbot, weeks)
    assert kept(weeks)[DEMO_AIRPLANE].week_on == before[DEMO_AIRPLANE].week_on
    window_of(weeks).menus.actions["redo"].trigger()
    settle(qtbot, window_of(weeks))
    assert kept(weeks)[DEMO_AIRPLANE].pinned


def test_enter_pins_a_visit_where_it_stands_and_delete_releases_it(weeks: WeeksPage, qtbot: QtBot) -> None:
    choose(weeks, DEMO_AIRPLANE)
    qtbot.keyClick(weeks.drawing, Qt.Key.Key_Return)
    settle(qtbot, window_of(weeks))
    assert kept(weeks)[DEMO_AIRPLANE].pinned
    assert weeks.line is not None
    assert weeks.line.pinned
    qtbot.keyClick(weeks.drawing, Qt.Key.Key_Delete)
    settle(qtbot, window_of(weeks))
    assert not kept(weeks)[DEMO_AIRPLANE].pinned


def test_another_week_is_named_in_words_and_past_the_due_day_that_is_said(
    weeks: WeeksPage, qtbot: QtBot
) -> None:
    choose(weeks, DEMO_AIRPLANE)
    weeks.doings.move.trigger()
    form = weeks.beside.form
    assert isinstance(form, Form)
    form.fields["on"].put("2026-08-05")
    press(qtbot, form, "See what it costs")
    settle(qtbot, window_of(weeks))
    assert weeks.moving.tried is not None
    assert weeks.moving.tried.monday == date(2026, 8, 3)
    assert "it may not fly in after that" in weeks.beside.move_panel.against.text()


def test_a_week_that_is_not_planned_is_refused_in_one_line(weeks: WeeksPage, qtbot: QtBot) -> None:
    weeks.moving.ask(choose(weeks, DEMO_AIRPLANE), date(2031, 5, 5))
    settle(qtbot, window_of(weeks))
    assert "isn't planned here" in weeks.strip.text
    assert weeks.moving.tried is None


def test_a_visit_without_a_week_is_put_into_one_alone(unplanned: WeeksPage, qtbot: QtBot) -> None:
    unplanned.moving.ask(choose(unplanned, DEMO_AIRPLANE), date(2026, 6, 8))
    settle(qtbot, window_of(unplanned))
    assert "It gets a place" in unplanned.beside.move_panel.result.text()
    press(qtbot, unplanned.beside, "Keep")
    settle(qtbot, window_of(unplanned))
    assert {name: row.pinned for name, row in kept(unplanned).items()} == {DEMO_AIRPLANE: True}
    assert unplanned.area.isVisible()
