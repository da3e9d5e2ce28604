"""Correcting a signed entry: a new text with its reason, which is then signed; the old one stays readable."""

from __future__ import annotations

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QDialog, QHBoxLayout, QLineEdit, QPlainTextEdit, QVBoxLayout, QWidget

from annual_planner.desktop.desk import Desk
from annual_planner.desktop.widgets import Strip, button, label
from annual_planner.planning.entry_drafts import CorrectEntry
from annual_planner.records.edits import Changed
from annual_planner.store.filed_reads import EntryLine
from annual_planner.trade.refused import Refused

SAYS = (
    "The signed entry stays as it is, readable and verifiable. The correction is a draft until somebody "
    "signs it; then it takes the place of the old one, and both name each other."
)


class CorrectionDialog(QDialog):
    """Asks how the entry should read, and why; `drafted` tells that the draft is written."""

    drafted = Signal()

    def __init__(self, desk: Desk, entry: EntryLine, parent: QWidget) -> None:
        super().__init__(parent)
        self.desk = desk
        self._entry = entry
        self.setWindowTitle("Correct a signed entry")
        self.setAccessibleName("Correct a signed entry")
        self.resize(680, 480)
        self.strip = Strip()
        self.text = QPlainTextEdit(entry.text)
        self.text.setAccessibleName("How the entry should read")
        self.why = QLineEdit()
        self.why.setAccessibleName("Why it is corrected")
        self.draft = button("Draft the correction", self._draft, leading=True)
        self.leave = button("Cancel", self.reject)
        for press in (self.draft, self.leave):
            press.setAutoDefault(False)
        self.draft.setEnabled(False)
        self._lay_out()
        self.text.textChanged.connect(self._follow)
        self.why.textChanged.connect(self._follow)

    def _lay_out(self) -> None:
        entry = self._entry
        says = label(SAYS, faint=True)
        says.setWordWrap(True)
        reason = label("Why it is corrected")
        reason.setBuddy(self.why)
        foot = QHBoxLayout()
        foot.addStretch(1)
        foot.addWidget(self.leave)
        foot.addWidget(self.draft)
        column = QVBoxLayout(self)
        column.addWidget(label(f"{entry.registration}, {entry.book}: {entry.kind}", section=True))
        column.addWidget(says)
        column.addWidget(self.strip)
        column.addWidget(self.text, 1)
        column.addWidget(reason)
        column.addWidget(self.why)
        column.addLayout(foot)

    def _follow(self) -> None:
        changed = self.text.toPlainText() != self._entry.text
        self.draft.setEnabled(changed and bool(self.why.text().strip()))

    def _draft(self) -> None:
        edit = CorrectEntry(self._entry.entry_id, self.text.toPlainText(), self.why.text())
        self.draft.setEnabled(False)
        self.desk.jobs.write(edit, self, self._written, self._failed)

    def _written(self, _changed: Changed) -> None:
        self.drafted.emit()
        self.accept()

    def _failed(self, error: Exception) -> None:
        if isinstance(error, Refused):
            self.strip.refuse(error)
        else:
            self.strip.say("The correction could not be written. What you typed is still here.", "Try again.")
        self._follow()
