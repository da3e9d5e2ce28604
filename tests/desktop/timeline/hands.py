"""How a test works in the part Who and when."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from PySide6.QtWidgets import QPushButton
from pytestqt.qtbot import QtBot

from annual_planner.desktop.annual.timeline.tab import Timeline
from annual_planner.desktop.window import MainWindow
from annual_planner.planning.timeline import Bar
from tests.desktop.conftest import settle

LONG_MS = 120_000
"""A last resort, for a machine that is busy with other things."""
Open = Callable[[Path], Timeline]


def quiet(qtbot: QtBot, window: MainWindow) -> None:
    qtbot.wait(20)
    qtbot.waitUntil(lambda: not window.desk.jobs.awaited, timeout=LONG_MS)
    settle(qtbot, window)


def done(qtbot: QtBot, when: Timeline) -> None:
    """Wait until nothing is searched, written or read any more."""

    def at_rest() -> bool:
        return not (when.replanning.running or when.desk.jobs.awaited or when.chances.drawing)

    for _ in range(2):
        qtbot.waitUntil(at_rest, timeout=LONG_MS)
        qtbot.wait(20)


def press(when: Timeline, words: str, qtbot: QtBot) -> None:
    def there() -> QPushButton | None:
        found = when.page.findChildren(QPushButton)
        return next((each for each in found if each.text() == words and each.isVisible()), None)

    qtbot.waitUntil(lambda: there() is not None, timeout=LONG_MS)
    one = there()
    assert one is not None
    one.click()
    qtbot.wait(20)


def name_of(when: Timeline, person_id: int) -> str:
    assert when.seen is not None
    return when.seen.names[f"person {person_id}"]


def loose_bar(when: Timeline) -> Bar:
    """A card of the package that has some slack in the plan by rules."""
    assert when.plan is not None
    return next(bar for bar in when.plan.bars if bar.card_id is not None and (bar.slack_hours or 0) >= 1)


def bar_of(when: Timeline, job: str) -> Bar:
    assert when.plan is not None
    return next(bar for bar in when.plan.bars if bar.job == job)


def asked_cost(qtbot: QtBot, when: Timeline) -> str:
    """Wait for the question after a move; what it says."""
    qtbot.waitUntil(lambda: when.pinning.asks, timeout=LONG_MS)
    assert when.asking.isVisible()
    return when.asking.cost.text()
