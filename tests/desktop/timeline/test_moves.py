"""A card of the plan is moved by keys or dragged; what that costs is asked first."""

from datetime import datetime

from PySide6.QtCore import QPoint, Qt
from pytestqt.qtbot import QtBot

from annual_planner.desktop.annual.timeline.tab import Timeline
from annual_planner.planning.timeline import Bar
from tests.desktop.timeline.hands import (
    LONG_MS,
    asked_cost,
    bar_of,
    done,
    loose_bar,
    press,
)


def test_a_card_moved_by_keys_asks_what_that_costs_and_is_kept_or_put_back(
    when: Timeline, qtbot: QtBot
) -> None:
    loose, before = loose_bar(when), when.plan
    when.drawing.choose(loose.job)
    for _ in range(2):
        qtbot.keyClick(when.drawing, Qt.Key.Key_Right)
    wanted = when.drawing.moved_to
    assert wanted is not None
    assert wanted > loose.starts
    said = asked_cost(qtbot, when)
    assert loose.title in said
    assert "finish" in said or "instead of" in said
    assert "other card" in said
    assert bar_of(when, loose.job).starts == wanted
    qtbot.keyClick(when.drawing, Qt.Key.Key_Escape)
    assert not when.asking.isVisible()
    assert when.plan is before
    assert not when.desk.jobs.trail.undo or when.desk.jobs.trail.undo.says == "plan of the work"

    qtbot.keyClick(when.drawing, Qt.Key.Key_Right)
    qtbot.keyClick(when.drawing, Qt.Key.Key_Right)
    asked_cost(qtbot, when)
    qtbot.keyClick(when.drawing, Qt.Key.Key_Return)
    done(qtbot, when)
    after = bar_of(when, loose.job)
    assert (after.held, after.starts) == ("fixed by hand", wanted), (when.told.text(), when.page.strip.text)
    when.desk.jobs.undo(when)
    done(qtbot, when)
    assert (bar_of(when, loose.job).held, bar_of(when, loose.job).starts) == ("", loose.starts)


def _middle(when: Timeline, bar: Bar, row: int) -> tuple[int, int]:
    at = when.drawing.box(bar, row).center().toPoint()
    return at.x(), at.y()


def test_a_dragged_card_asks_and_the_buttons_answer(when: Timeline, qtbot: QtBot) -> None:
    when.show_by("card")
    loose = loose_bar(when)
    row = next(n for n, bar in enumerate(when.plan.bars if when.plan else ()) if bar.job == loose.job)
    qtbot.waitUntil(lambda: when.drawing.bar_at(*_middle(when, loose, row)) == loose, timeout=LONG_MS)
    at = QPoint(*_middle(when, loose, row))
    qtbot.mousePress(when.drawing, Qt.MouseButton.LeftButton, pos=at)
    qtbot.mouseMove(when.drawing, at + QPoint(60, 0))
    qtbot.mouseRelease(when.drawing, Qt.MouseButton.LeftButton, pos=at + QPoint(60, 0))
    asked_cost(qtbot, when)
    moved = bar_of(when, loose.job).starts
    assert moved > loose.starts
    press(when, "Put back", qtbot)
    assert bar_of(when, loose.job).starts == loose.starts
    when.pinning.try_at(loose.job, moved)
    asked_cost(qtbot, when)
    press(when, "Keep", qtbot)
    done(qtbot, when)
    assert bar_of(when, loose.job).starts == moved
    when.drawing.choose(loose.job)
    qtbot.keyClick(when.drawing, Qt.Key.Key_Delete)
    done(qtbot, when)
    assert not bar_of(when, loose.job).held


def test_a_move_that_fits_nowhere_says_why_and_puts_the_card_back(when: Timeline, qtbot: QtBot) -> None:
    before = when.plan
    when.pinning.try_at(loose_bar(when).job, datetime.fromisoformat("2020-01-01T08:00"))
    qtbot.waitUntil(lambda: bool(when.page.strip.text), timeout=LONG_MS)
    assert when.plan is before
    assert not when.asking.isVisible()


def test_an_owner_who_drags_a_card_is_told_that_nothing_is_moved(when: Timeline) -> None:
    before, job = when.plan, loose_bar(when).job
    when.desk.who.person = when.desk.who.person._replace(role="owner")
    when.pinning.try_at(job, bar_of(when, job).ends)
    assert "Owners" in when.page.strip.text
    assert when.plan is before
    assert when.pinning.trial is None
