"""The text of an entry as it is worked on: what is typed is kept until it is saved."""

from __future__ import annotations

from PySide6.QtCore import Signal
from PySide6.QtGui import QFocusEvent
from PySide6.QtWidgets import QPlainTextEdit

from annual_planner.store.closing_reads import ClosingEntry


class EntryText(QPlainTextEdit):
    """Shows the text of one entry at a time, and keeps what was typed into each and isn't saved yet."""

    left = Signal()
    """Somebody who typed went elsewhere: the moment to save."""

    def __init__(self) -> None:
        super().__init__()
        self.setAccessibleName("Text of the entry")
        self._entry: ClosingEntry | None = None
        self._typed: dict[int, str] = {}
        self.textChanged.connect(self._keep)

    @property
    def unsaved(self) -> tuple[ClosingEntry, str] | None:
        """The entry shown and what it should read, where that isn't saved; else None."""
        entry = self._entry
        return (entry, self._typed[entry.entry_id]) if entry is not None and self._differs else None

    @property
    def _differs(self) -> bool:
        return self._entry is not None and self._entry.entry_id in self._typed

    def show_entry(self, entry: ClosingEntry | None, *, may_change: bool) -> None:
        """Show an entry, with what was typed into it; None shows nothing."""
        draft = entry is not None and entry.state == "draft"
        typed = self._typed.get(entry.entry_id) if entry is not None and draft else None
        wanted = "" if entry is None else entry.text if typed in (None, entry.text) else str(typed)
        self._entry = None  # what is put there now wasn't typed
        if self.toPlainText() != wanted:
            self.setPlainText(wanted)
        self._entry = entry
        self._keep()
        self.setReadOnly(not (draft and may_change))
        self.setVisible(entry is not None)

    def _keep(self) -> None:
        entry = self._entry
        if entry is None:
            return
        if entry.state == "draft" and self.toPlainText() != entry.text:
            self._typed[entry.entry_id] = self.toPlainText()
        else:
            self._typed.pop(entry.entry_id, None)

    def focusOutEvent(self, event: QFocusEvent) -> None:
        """Tell that it was left."""
        super().focusOutEvent(event)
        if self._differs:
            self.left.emit()
