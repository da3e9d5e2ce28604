"""Boxes to tick: side by side where none is cut, else one below the other."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from PySide6.QtWidgets import QCheckBox, QWidget
from pytestqt.qtbot import QtBot

from annual_planner.desktop.tick_grid import TickGrid

pytestmark = pytest.mark.desktop


@pytest.fixture
def grid(qtbot: QtBot) -> Iterator[TickGrid]:
    room = QWidget()
    made = TickGrid(2)
    made.setParent(room)
    made.add_group("Gear", [QCheckBox(words) for words in ("Floats", "Electrical parts on the gear", "Skis")])
    qtbot.addWidget(room)
    room.resize(2000, 400)
    room.show()
    yield made
    room.close()


def cut(grid: TickGrid) -> list[str]:
    return [box.text() for box in grid.findChildren(QCheckBox) if box.width() < box.sizeHint().width()]


def test_boxes_stand_side_by_side_as_long_as_none_is_cut(grid: TickGrid, qtbot: QtBot) -> None:
    first, second, third = grid.findChildren(QCheckBox)
    wide, narrow = grid.sizeHint().width() + 20, second.sizeHint().width() + 10
    grid.resize(wide, 200)
    qtbot.waitUntil(lambda: first.y() == second.y() < third.y())
    assert cut(grid) == []
    grid.resize(narrow, 200)
    qtbot.waitUntil(lambda: first.y() < second.y() < third.y())
    assert cut(grid) == []
    grid.resize(wide, 200)
    qtbot.waitUntil(lambda: first.y() == second.y() < third.y())
