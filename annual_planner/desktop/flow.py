"""Rows that wrap: what doesn't fit beside goes below, so that large text never widens the window."""

from __future__ import annotations

from typing import NamedTuple

from PySide6.QtCore import QPoint, QRect, QSize, Qt
from PySide6.QtWidgets import QLabel, QLayout, QLayoutItem, QWidget

GAP_PX = 6
UNBOUNDED = 10_000
"""Pixels; a largest width beyond it is none."""


class FlowRow(QLayout):
    """Items from left to right, then in further lines.

    An item that may grow and has a largest width takes what its line leaves it, from its least width up.
    """

    def __init__(self) -> None:
        super().__init__()
        self.setContentsMargins(0, 0, 0, 0)
        self._items: list[QLayoutItem] = []
        self._at_end: list[QWidget] = []
        self._known: list[_Part] | None = None

    def add_at_end(self, widget: QWidget) -> None:
        """Add a widget that stands at the right edge of its line, with all that come after it."""
        self._at_end.append(widget)
        self.addWidget(widget)

    def addItem(self, item: QLayoutItem) -> None:
        """Add an item at the end."""
        self._items.append(item)
        self._known = None

    def count(self) -> int:
        """How many items there are."""
        return len(self._items)

    def itemAt(self, index: int) -> QLayoutItem | None:
        """The item in that place."""
        return self._items[index] if 0 <= index < len(self._items) else None

    def takeAt(self, index: int) -> QLayoutItem | None:
        """Take the item in that place out."""
        self._known = None
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

    def invalidate(self) -> None:
        """Forget what the items wanted: one of them has changed."""
        self._known = None
        super().invalidate()

    @property
    def _parts(self) -> list[_Part]:
        """The items that are shown, measured once until one changes: Qt asks for sizes many times over."""
        if self._known is None:
            self._known = [_Part(item) for item in self._items if not item.isEmpty()]
        return self._known

    def sizeHint(self) -> QSize:
        """All in one line."""
        width = sum(part.wish + GAP_PX for part in self._parts) - (GAP_PX if self._parts else 0)
        return QSize(width, max((part.height for part in self._parts), default=0))

    def minimumSize(self) -> QSize:
        """The widest single item."""
        sizes = [part.minimum for part in self._parts]
        return QSize(
            max((size.width() for size in sizes), default=0),
            max((size.height() for size in sizes), default=0),
        )

    def _place(self, rect: QRect, *, move: bool) -> int:
        top = rect.top()
        for line in self._lines(rect.width()):
            height = max(part.height for part in line)
            if move:
                self._set_line(line, rect, top, height)
            top += height + GAP_PX
        return max(0, top - GAP_PX - rect.top())

    def _lines(self, width: int) -> list[list[_Part]]:
        lines: list[list[_Part]] = []
        used = 0
        for part in self._parts:
            if not lines or used + part.least > width:
                lines.append([])
                used = 0
            lines[-1].append(part)
            used += part.least + GAP_PX
        return lines

    def _set_line(self, line: list[_Part], rect: QRect, top: int, height: int) -> None:
        left = rect.left()
        spare = rect.width() - sum(part.least + GAP_PX for part in line) + GAP_PX
        for part in line:
            grown = min(max(0, spare), part.wish - part.least)
            spare -= grown
            size = QSize(min(part.least + grown, rect.width()), part.height)
            if part.item.widget() in self._at_end:
                left, spare = left + max(0, spare), 0
            part.item.setGeometry(QRect(QPoint(left, top + (height - size.height()) // 2), size))
            left += size.width() + GAP_PX


class _Part:
    """An item and what it wants: widths from the least to the one it wishes for, and its height."""

    def __init__(self, item: QLayoutItem) -> None:
        hint, most = item.sizeHint(), item.maximumSize().width()
        self.item = item
        self.minimum = item.minimumSize()
        self.height = hint.height()
        grows = most < UNBOUNDED and bool(item.expandingDirections() & Qt.Orientation.Horizontal)
        self.least, self.wish = (self.minimum.width(), most) if grows else (hint.width(), hint.width())


class HeadRow(QLayout):
    """Names at the left and buttons at the right; or the buttons below, where that takes less height."""

    def __init__(self, names: QLayout, buttons: FlowRow) -> None:
        super().__init__()
        self._parts: list[QLayoutItem] = []
        self._ways: dict[int, _Way] = {}
        self.setContentsMargins(0, 0, 0, 0)
        for part in (names, buttons):
            self.addChildLayout(part)
            self._parts.append(part)

    def addItem(self, item: QLayoutItem) -> None:
        """Add an item; only the two it is made with have a place."""
        self._parts.append(item)

    def count(self) -> int:
        """How many items there are."""
        return len(self._parts)

    def itemAt(self, index: int) -> QLayoutItem | None:
        """The item in that place."""
        return self._parts[index] if 0 <= index < len(self._parts) else None

    def takeAt(self, index: int) -> QLayoutItem | None:
        """Take the item in that place out."""
        return self._parts.pop(index) if 0 <= index < len(self._parts) else None

    def expandingDirections(self) -> Qt.Orientation:
        """It takes the width it gets."""
        return Qt.Orientation.Horizontal

    def hasHeightForWidth(self) -> bool:
        """Narrower means higher."""
        return True

    def invalidate(self) -> None:
        """Forget how both stood at each width: one of them has changed."""
        self._ways.clear()
        super().invalidate()

    def heightForWidth(self, width: int) -> int:
        """The lesser height of both ways."""
        return self._way(width).height

    def sizeHint(self) -> QSize:
        """Both beside each other."""
        names, buttons = self._parts
        width = _line_width(names) + GAP_PX + buttons.sizeHint().width()
        return QSize(width, max(names.sizeHint().height(), buttons.sizeHint().height()))

    def minimumSize(self) -> QSize:
        """One below the other."""
        sizes = [part.minimumSize() for part in self._parts]
        return QSize(max(size.width() for size in sizes), max(size.height() for size in sizes))

    def setGeometry(self, rect: QRect) -> None:
        """Put both where they take the least height."""
        super().setGeometry(rect)
        names, buttons = self._parts
        way = self._way(rect.width())
        if way.beside:
            left = rect.width() - way.names - GAP_PX
            names.setGeometry(QRect(rect.left(), rect.top(), way.names, rect.height()))
            wide = min(left, buttons.sizeHint().width())
            buttons.setGeometry(QRect(rect.right() - wide + 1, rect.top(), wide, rect.height()))
        else:
            high = _height(names, rect.width())
            names.setGeometry(QRect(rect.left(), rect.top(), rect.width(), high))
            below = rect.top() + high + GAP_PX
            buttons.setGeometry(QRect(rect.left(), below, rect.width(), rect.height() - high - GAP_PX))

    def _way(self, width: int) -> _Way:
        """How both stand at that width; worked out once until one of them changes."""
        if width not in self._ways:
            self._ways[width] = self._better(width)
        return self._ways[width]

    def _better(self, width: int) -> _Way:
        names, buttons = self._parts
        if buttons.isEmpty() or not buttons.sizeHint().width():
            return _Way(True, width, _height(names, width))
        beside = max(names.minimumSize().width(), min(_line_width(names), width // 2))
        room = width - GAP_PX - buttons.sizeHint().width()
        names_wide = max(beside, room) if room > 0 else beside
        both = max(_height(names, names_wide), _height(buttons, width - names_wide - GAP_PX))
        under = _height(names, width) + GAP_PX + _height(buttons, width)
        return _Way(True, names_wide, both) if both <= under else _Way(False, width, under)


class _Way(NamedTuple):
    """How names and buttons stand: beside each other, the names so wide, all of it so high."""

    beside: bool
    names: int
    height: int


def _height(part: QLayoutItem, width: int) -> int:
    return part.heightForWidth(width) if part.hasHeightForWidth() else part.sizeHint().height()


def _line_width(names: QLayoutItem) -> int:
    """Width at which no name wraps."""
    layout = names.layout()
    items = [layout.itemAt(at) for at in range(layout.count())] if layout is not None else []
    widgets = [item.widget() for item in items if item is not None]
    labels = [each for each in widgets if isinstance(each, QLabel) and not each.isHidden()]
    return max((each.fontMetrics().horizontalAdvance(each.text()) + GAP_PX for each in labels), default=0)
