"""The drawing above the lists: as high as it needs, as long as the lists keep their share."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import Qt
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QSplitter

MOST_SHARE = 0.64
"""Of the height, at most, for the drawing."""


class DrawnAbove(QSplitter):
    """Gives the upper part the height it wants until a person has moved the line between both."""

    def __init__(self, wanted: Callable[[], int]) -> None:
        super().__init__(Qt.Orientation.Vertical)
        self.setChildrenCollapsible(False)
        self._wanted = wanted
        self._by_hand = False
        self.splitterMoved.connect(self._moved)

    def _moved(self) -> None:
        self._by_hand = True

    def fit(self) -> None:
        """Share the height out anew."""
        if not self._by_hand:
            high = min(self._wanted(), round(self.height() * MOST_SHARE))
            self.setSizes([high, self.height() - high])

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Another height is shared out anew."""
        super().resizeEvent(event)
        self.fit()
