"""Two parts beside each other; where the room is narrow, one below the other."""

from __future__ import annotations

from PySide6.QtCore import QSize, Qt, Signal
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QSplitter, QWidget

from annual_planner.desktop.theme import Theme


class Split(QSplitter):
    """A list and what belongs to it. `beside`: width from which they stand side by side, in lines of text.

    `lowest`: lines of height that the second one keeps below the first; what is around them scrolls.
    """

    turned = Signal()
    """It stands the other way now."""

    def __init__(
        self,
        theme: Theme,
        name: str,
        first: QWidget,
        second: QWidget,
        *,
        beside: float,
        lowest: float = 0,
    ) -> None:
        super().__init__(Qt.Orientation.Horizontal)
        self._theme = theme
        self._beside, self._lowest = beside, lowest
        self._parts = (first, second)
        self._shares: tuple[int, int] = (1, 1)
        self.setAccessibleName(name)
        self.setChildrenCollapsible(False)
        for part in (first, second):
            self.addWidget(part)
        theme.changed.connect(self._turn)

    def share(self, first: int, second: int) -> None:
        """Share the room out so until somebody moves the border."""
        self._shares = (first, second)
        self.setStretchFactor(0, first)
        self.setStretchFactor(1, second)
        self._share_out()

    def minimumSizeHint(self) -> QSize:
        """As wide as the wider part, since they can stand one below the other."""
        widest = max(part.minimumSizeHint().width() for part in self._parts)
        return QSize(widest, super().minimumSizeHint().height())

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Turn where the width asks for it."""
        super().resizeEvent(event)
        self._turn()

    def _turn(self) -> None:
        wide = self.width() >= self._theme.sizes.of(self._beside)
        way = Qt.Orientation.Horizontal if wide else Qt.Orientation.Vertical
        if self._lowest:
            self._parts[1].setMinimumHeight(0 if wide else self._theme.sizes.of(self._lowest))
        if way is not self.orientation():
            self.setOrientation(way)
            self._share_out()
            self.updateGeometry()
            self.turned.emit()

    def _share_out(self) -> None:
        room = self.width() if self.orientation() is Qt.Orientation.Horizontal else self.height()
        whole = sum(self._shares)
        self.setSizes([max(1, room * share // whole) for share in self._shares])
