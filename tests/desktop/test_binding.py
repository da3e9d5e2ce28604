"""The Qt binding itself, where a fault in it would end the program without a word."""

import sys

import pytest
from PySide6.QtWidgets import QWidget
from pytestqt.qtbot import QtBot

pytestmark = pytest.mark.desktop


def test_calls_that_return_none_leave_its_count_of_references_alone(qtbot: QtBot) -> None:
    # PySide6 6.12.0 takes one reference to None at each such call; below Python 3.12, where None is
    # counted, the process is ended after some thousands of them. 6.11.3 is sound.
    widget = QWidget()
    qtbot.addWidget(widget)
    before = sys.getrefcount(None)
    for _ in range(1000):
        widget.update()
        widget.parent()
    assert sys.getrefcount(None) > before - 500
