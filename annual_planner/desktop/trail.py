"""What can be taken back, and taken forward again: two lists of edits."""

from __future__ import annotations

from typing import TYPE_CHECKING, Literal, NamedTuple

from PySide6.QtCore import QObject, Signal

if TYPE_CHECKING:
    from annual_planner.records.edits import Edit

LONGEST = 200
Way = Literal["new", "undo", "redo"]


class Entry(NamedTuple):
    """An edit that takes something back, and what the menu calls the thing: 'reading of N012AP'."""

    says: str
    edit: Edit


class Trail(QObject):
    """Two lists of edits. It starts empty and never reaches behind the opening of the fleet."""

    moved = Signal()

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._undo: list[Entry] = []
        self._redo: list[Entry] = []

    @property
    def undo(self) -> Entry | None:
        """What Undo would take back."""
        return self._undo[-1] if self._undo else None

    @property
    def redo(self) -> Entry | None:
        """What Redo would do again."""
        return self._redo[-1] if self._redo else None

    def applied(self, way: Way, says: str, back: Edit | None) -> None:
        """Note that an edit went through and what takes it back (None: it can't be taken back)."""
        if way == "new":
            self._redo.clear()
        else:
            (self._undo if way == "undo" else self._redo).pop()
        if back is not None:
            kept = self._redo if way == "undo" else self._undo
            kept.append(Entry(says, back))
            del kept[:-LONGEST]
        self.moved.emit()

    def drop(self, way: Way) -> None:
        """Forget the newest of one list: it was refused, because the world has moved on since."""
        taken = self._redo if way == "redo" else self._undo
        if taken and way != "new":
            taken.pop()
            self.moved.emit()

    def clear(self) -> None:
        """Forget everything: another fleet was opened, or its content was signed."""
        self._undo.clear()
        self._redo.clear()
        self.moved.emit()
