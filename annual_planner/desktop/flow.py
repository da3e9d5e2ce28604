"""A row that wraps: what doesn't fit beside goes below, so that large text never widens the window."""

from __future__ import annotations

from PySide6.QtCore import QPoint, QRect, QSize, Qt
from PySide6.QtWidgets import QLayout, QLayoutItem

GAP_PX = 6


class FlowRow(QLayout):
    """Items from left to right, then in further lines."""

    def __init__(self) -> None:
        super().__init__()
        self.setContentsMargins(0, 0, 0, 0)
        self._items: list[QLayoutItem] = []

    def addItem(self, item: QLayoutItem) -> None:
        """Add an item at the end."""
        self._items.append(item)

    def count(self) -> int:
        """How many items there are."""
        return len(self._items)

    def itemAt(self, index: int) -> QLayoutItem | None:
        """The item in that place."""
        return self._items[index] if 0 <= index < len(self._items) else None

    def takeAt(self, index: int) -> QLayoutItem | None:
        """Take the item in that place out."""
        return self._items.pop(index) if 0 <= index < len(self._items) else None

    def expandingDirections(self) -> Qt.Orientation:
        """It wants no more room than it needs."""
        return Qt.Orientation(0)

    def hasHeightForWidth(self) -> bool:
        """Narrower means higher."""
        return True

    def heightForWidth(self, width: int) -> int:
        """Height that the lines take at that width."""
        return self._place(QRect(0, 0, width, 0), move=False)

    def setGeometry(self, rect: QRect) -> None:
        """Put every item where it belongs."""
        super().setGeometry(rect)
        self._place(rect, move=True)

    def sizeHint(self) -> QSize:
        """All in one line."""
        shown = [item.sizeHint() for item in self._items if not item.isEmpty()]
        width = sum(size.width() + GAP_PX for size in shown) - (GAP_PX if shown else 0)
        return QSize(width, max((size.height() for size in shown), default=0))

    def minimumSize(self) -> QSize:
        """The widest single item."""
        shown = [item.minimumSize() for item in self._items if not item.isEmpty()]
        return QSize(
            max((size.width() for size in shown), default=0),
            max((size.height() for size in shown), default=0),
        )

    def _place(self, rect: QRect, *, move: bool) -> int:
        top = rect.top()
        for line in self._lines(rect.width()):
            height = max(item.sizeHint().height() for item in line)
            if move:
                self._set_line(line, rect, top, height)
            top += height + GAP_PX
        return max(0, top - GAP_PX - rect.top())

    def _lines(self, width: int) -> list[list[QLayoutItem]]:
        lines: list[list[QLayoutItem]] = []
        used = 0
        for item in self._items:
            if item.isEmpty():
                continue
            wide = item.sizeHint().width()
            if not lines or used + wide > width:
                lines.append([])
                used = 0
            lines[-1].append(item)
            used += wide + GAP_PX
        return lines

    def _set_line(self, line: list[QLayoutItem], rect: QRect, top: int, height: int) -> None:
        left = rect.left()
        for item in line:
            size = item.sizeHint()
            size.setWidth(min(size.width(), rect.width()))
            item.setGeometry(QRect(QPoint(left, top + (height - size.height()) // 2), size))
            left += size.width() + GAP_PX
