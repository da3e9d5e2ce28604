"""The drawing above the lists: as high as it needs, as long as the lists keep their share."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import Qt
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QSplitter, QTabWidget, QWidget

TIGHT = 31
"""Lines of text below which drawing and lists don't stand above each other."""

MOST_SHARE = 0.64
"""Of the height, at most, for the drawing."""


class DrawnAbove(QSplitter):
    """Gives the upper part the height it wants until a person has moved the line between both."""

    def __init__(self, drawn: QWidget, lists: QTabWidget, wanted: Callable[[], int]) -> None:
        super().__init__(Qt.Orientation.Vertical)
        self.setChildrenCollapsible(False)
        self._drawn = drawn
        self._lists = lists
        self._wanted = wanted
        self._by_hand = False
        self._tight = False
        self.splitterMoved.connect(self._moved)

    def _moved(self) -> None:
        self._by_hand = True

    def set_tight(self, tight: bool) -> None:
        """Give the drawing a tab among the lists while there is no room for both, and share the room out."""
        if tight != self._tight:
            self._tight = tight
            if tight:
                self._lists.insertTab(0, self._drawn, "Drawing")
                self._lists.setCurrentWidget(self._drawn)
            else:
                self._lists.removeTab(self._lists.indexOf(self._drawn))
                self.insertWidget(0, self._drawn)
                self._drawn.show()
        self.fit()

    def fit(self) -> None:
        """Share the height out anew."""
        if not self._by_hand:
            high = min(self._wanted(), round(self.height() * MOST_SHARE))
            self.setSizes([high, self.height() - high])

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Another height is shared out anew."""
        super().resizeEvent(event)
        self.fit()
