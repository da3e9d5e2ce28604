"""Photographs of a discrepancy: small ones in a row; one of them opens whole."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QByteArray, QSize, Signal
from PySide6.QtGui import QIcon, QPixmap
from PySide6.QtWidgets import QPushButton, QVBoxLayout, QWidget

from annual_planner.desktop.desk import Desk
from annual_planner.desktop.flow import FlowRow
from annual_planner.desktop.plugs.rooms import empty
from annual_planner.desktop.widgets import label
from annual_planner.store.doing_rows import PhotographLine


def picture_of(content: bytes) -> QPixmap:
    """A picture from its bytes."""
    made = QPixmap()
    made.loadFromData(QByteArray(content))
    return made


class PhotographRow(QWidget):
    """Small pictures as buttons; one opens the whole photograph."""

    opened = Signal(int)

    def __init__(self, desk: Desk) -> None:
        super().__init__()
        self._desk = desk
        self.setAccessibleName("Photographs")
        self.buttons: list[QPushButton] = []
        self._title = label("Photographs", section=True)
        self._none = label("No photograph yet.", faint=True)
        self._row = FlowRow()
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 4, 0, 4)
        column.addWidget(self._title)
        column.addWidget(self._none)
        column.addLayout(self._row)

    def take(self, lines: Sequence[PhotographLine]) -> None:
        """Show these."""
        empty(self._row)
        self.buttons = [self._button(number, line) for number, line in enumerate(lines, 1)]
        for each in self.buttons:
            self._row.addWidget(each)
        self._none.setVisible(not lines)

    def _button(self, number: int, line: PhotographLine) -> QPushButton:
        made = QPushButton()
        side = self._desk.theme.sizes.of(5)
        made.setIcon(QIcon(picture_of(line.thumbnail)))
        made.setIconSize(QSize(side, side))
        words = line.caption or f"photograph {number}"
        made.setAccessibleName(f"Look at {words}")
        made.setToolTip(words)
        made.clicked.connect(lambda: self.opened.emit(line.photograph_id))
        return made
