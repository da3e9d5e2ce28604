"""Boxes to tick under headings, in as many columns as there is room for."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QSize
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QCheckBox, QGridLayout, QWidget

from annual_planner.desktop.widgets import label

BETWEEN_PX = 18


class TickGrid(QWidget):
    """Groups of boxes side by side; where the widest of them would be cut, one below the other."""

    def __init__(self, columns: int) -> None:
        super().__init__()
        self._most = self._now = columns
        self._groups: list[tuple[QWidget | None, Sequence[QCheckBox]]] = []
        self._grid = QGridLayout(self)
        self._grid.setContentsMargins(0, 0, 0, 0)
        self._grid.setHorizontalSpacing(BETWEEN_PX)

    def add_group(self, title: str, boxes: Sequence[QCheckBox]) -> None:
        """Add boxes under a heading; an empty title: without one."""
        self._groups.append((label(title, faint=True) if title else None, boxes))
        self._place()

    def sizeHint(self) -> QSize:
        """As wide as all columns that it may have."""
        return QSize(self._width(self._most), super().sizeHint().height())

    def minimumSizeHint(self) -> QSize:
        """As wide as the widest box alone."""
        return QSize(self._width(1), super().minimumSizeHint().height())

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Take the number of columns that fits."""
        super().resizeEvent(event)
        wide = event.size().width()
        columns = next((most for most in range(self._most, 1, -1) if self._width(most) <= wide), 1)
        if columns != self._now:
            self._now = columns
            self._place()

    def _width(self, columns: int) -> int:
        """Width that so many columns take."""
        widest = [0] * columns
        for _, boxes in self._groups:
            for place, box in enumerate(boxes):
                widest[place % columns] = max(widest[place % columns], box.sizeHint().width())
        return sum(widest) + BETWEEN_PX * (columns - 1)

    def _place(self) -> None:
        while self._grid.count():
            self._grid.takeAt(0)
        for place in range(self._most):
            self._grid.setColumnStretch(place, 1 if place == self._now - 1 else 0)
        row = 0
        for title, boxes in self._groups:
            if title is not None:
                self._grid.addWidget(title, row, 0, 1, self._now)
                row += 1
            for place, box in enumerate(boxes):
                self._grid.addWidget(box, row + place // self._now, place % self._now)
            row += -(-len(boxes) // self._now)
