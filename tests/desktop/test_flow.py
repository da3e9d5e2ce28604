"""Rows that wrap: what stands above a list, and the head of a place."""

from __future__ import annotations

import pytest
from PySide6.QtWidgets import QLabel, QLineEdit, QPushButton, QVBoxLayout, QWidget
from pytestqt.qtbot import QtBot

from annual_planner.desktop.flow import FlowRow, HeadRow

pytestmark = pytest.mark.desktop

SEARCH = (100, 300)
"""Least and largest width of a search field, in pixels."""


@pytest.fixture
def row(qtbot: QtBot) -> QWidget:
    """A search field, a chip and, at the edge, a count."""
    made, flow = QWidget(), FlowRow()
    made.setLayout(flow)
    search, chip, count = QLineEdit(), QPushButton("overdue"), QLabel("12 airplanes")
    search.setMinimumWidth(SEARCH[0])
    search.setMaximumWidth(SEARCH[1])
    flow.addWidget(search)
    flow.addWidget(chip)
    flow.add_at_end(count)
    qtbot.addWidget(made)
    made.show()
    return made


def parts(row: QWidget) -> tuple[QLineEdit, QPushButton, QLabel]:
    return row.findChildren(QLineEdit)[0], row.findChildren(QPushButton)[0], row.findChildren(QLabel)[0]


def test_with_room_the_field_is_as_wide_as_it_may_be_and_the_count_stands_at_the_edge(row: QWidget) -> None:
    row.resize(800, 60)
    search, chip, count = parts(row)
    assert search.width() == SEARCH[1]
    assert chip.x() > search.geometry().right()
    assert count.geometry().right() == row.rect().right()


def test_the_field_gives_way_before_anything_wraps(row: QWidget) -> None:
    search, chip, count = parts(row)
    row.resize(SEARCH[0] + 40 + chip.sizeHint().width() + count.sizeHint().width(), 60)
    assert SEARCH[0] < search.width() < SEARCH[1]
    assert abs(search.geometry().center().y() - count.geometry().center().y()) <= 1, "all in one line"
    assert count.geometry().right() == row.rect().right()


def test_what_doesnt_fit_goes_below_and_nothing_is_cut(row: QWidget) -> None:
    search, chip, count = parts(row)
    row.resize(SEARCH[0] + chip.sizeHint().width() + 10, 120)
    assert count.y() > search.geometry().bottom()
    assert count.width() == count.sizeHint().width()
    assert chip.width() == chip.sizeHint().width()


@pytest.fixture
def head(qtbot: QtBot) -> QWidget:
    """A heading that may wrap, and two buttons."""
    made, names, buttons = QWidget(), QVBoxLayout(), FlowRow()
    heading = QLabel("Annual inspection of the airplane")
    heading.setWordWrap(True)
    names.addWidget(heading)
    for words in ("Print the preview", "Add another card"):
        buttons.addWidget(QPushButton(words))
    made.setLayout(HeadRow(names, buttons))
    qtbot.addWidget(made)
    made.show()
    return made


def one_line(heading: QLabel) -> int:
    return heading.fontMetrics().horizontalAdvance(heading.text())


def test_buttons_stand_at_the_right_of_the_heading_where_there_is_room(head: QWidget) -> None:
    first, second = head.findChildren(QPushButton)
    heading = head.findChildren(QLabel)[0]
    head.resize(one_line(heading) + first.sizeHint().width() * 2 + 100, 80)
    assert second.geometry().right() == head.rect().right()
    assert first.x() > heading.x() + one_line(heading)
    assert first.y() == second.y() == 0


def test_buttons_go_below_a_heading_that_would_wrap_beside_them(head: QWidget) -> None:
    heading = head.findChildren(QLabel)[0]
    first, second = head.findChildren(QPushButton)
    layout = head.layout()
    assert layout is not None
    head.resize(max(one_line(heading), first.sizeHint().width() + second.sizeHint().width()) + 20, 90)
    assert first.y() >= heading.fontMetrics().height(), "below the heading"
    assert first.y() == second.y()
    assert heading.heightForWidth(heading.width()) < 2 * heading.fontMetrics().lineSpacing(), "in one line"
    assert layout.heightForWidth(head.width()) <= first.geometry().bottom() + 1


def test_without_buttons_the_heading_has_the_width(head: QWidget) -> None:
    for each in head.findChildren(QPushButton):
        each.hide()
    head.resize(300, 80)
    assert head.findChildren(QLabel)[0].width() == 300
