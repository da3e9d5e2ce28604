"""Handing an airplane over as one file, and taking one in: what would be recorded is shown first."""

from __future__ import annotations

from html import escape
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, QStandardPaths, Qt, Signal
from PySide6.QtWidgets import QDialog, QFileDialog, QHBoxLayout, QTextBrowser, QVBoxLayout, QWidget

from annual_planner.desktop.desk import Desk
from annual_planner.desktop.moment import moment_of
from annual_planner.desktop.widgets import Strip, button, label
from annual_planner.trade.refused import Refused

if TYPE_CHECKING:
    from annual_planner.desktop.records.page import RecordsPage
    from annual_planner.exchange.hand_over.giving import Given
    from annual_planner.exchange.hand_over.taking import ShownFile
    from annual_planner.records.edits import Changed

KIND = "Hand-over file (*.zip)"
SAYS = (
    "Nothing is recorded until you press Record; then all of it or nothing. It can't be taken back. "
    "Compare the SHA-256 and the keys with the keeper before."
)


class HandingOver(QObject):
    """The two acts in the menu of Records."""

    def __init__(self, page: RecordsPage) -> None:
        super().__init__(page)
        self.page = page
        page.action("&Hand the airplane over…", self.ask_where,
                    tip="Write all records of the chosen airplane as one file")  # fmt: skip
        page.action("&Take an airplane in…", self.ask_file, edits=True,
                    tip="Look at a file that another keeper handed over, then record it")  # fmt: skip

    def ask_where(self) -> None:
        """Ask where the file of the chosen airplane goes."""
        name = self.page.airplane.currentText()
        if self.page.aircraft_id is None:
            self.page.strip.say("No airplane is chosen.", "Choose one at the top first.")
            return
        start = str(Path(_documents()) / f"{name} {self.page.desk.today.isoformat()}.zip")
        path, _ = QFileDialog.getSaveFileName(self.page, "Hand the airplane over", start, KIND)
        if path:
            self.write(name, Path(path if path.lower().endswith(".zip") else f"{path}.zip"))

    def write(self, registration: str, path: Path) -> None:
        """Write all records of an airplane as one file."""
        page, jobs, today = self.page, self.page.desk.jobs, self.page.desk.today

        def work(_progress: object) -> Given:
            from annual_planner.exchange.hand_over.giving import hand_over

            return hand_over(jobs.fleet, registration, path, today)

        def done(given: Given) -> None:
            said = f"{given.registration} is in {path.name}: {given.signed} signed records."
            page.strip.say(said, f"SHA-256, for the next keeper to compare: {given.sha256}")

        jobs.long(work, self, done, page.failed, topic="hand over", says="Writing the records")

    def ask_file(self) -> None:
        """Ask for a file and show what it would record."""
        path, _ = QFileDialog.getOpenFileName(self.page, "Take an airplane in", _documents(), KIND)
        if path:
            self.open_file(Path(path))

    def open_file(self, path: Path) -> None:
        """Show what a file would record."""
        dialog = TakeInDialog(self.page.desk, path, self.page.window())
        dialog.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        dialog.recorded.connect(lambda said: self.page.strip.say(said, "Say on its page who owns it now."))
        dialog.open()


class TakeInDialog(QDialog):
    """Shows what a hand-over file would record; `recorded` says so once it is."""

    recorded = Signal(str)

    def __init__(self, desk: Desk, path: Path, parent: QWidget) -> None:
        super().__init__(parent)
        self.desk = desk
        self.shown: ShownFile | None = None
        self.setWindowTitle("Take an airplane in")
        self.setAccessibleName("Take an airplane in")
        self.resize(820, 560)
        self.strip = Strip()
        self.text = QTextBrowser()
        self.text.setAccessibleName("What would be recorded")
        self.record = button("Record all", self._record, leading=True)
        self.leave = button("Cancel", self.reject)
        for press in (self.record, self.leave):
            press.setAutoDefault(False)
        self.record.setEnabled(False)
        self._lay_out(path.name)
        self.finished.connect(self._let_go)
        fleet, today = desk.jobs.fleet, desk.today

        def work(_progress: object) -> ShownFile:
            from annual_planner.exchange.hand_over.taking import shown_file

            return shown_file(fleet, path, today)

        desk.jobs.long(work, self, self._take, self._failed, topic="take in", says="Checking the file")

    def _lay_out(self, name: str) -> None:
        says = label(SAYS, faint=True)
        says.setWordWrap(True)
        foot = QHBoxLayout()
        foot.addStretch(1)
        foot.addWidget(self.leave)
        foot.addWidget(self.record)
        column = QVBoxLayout(self)
        column.addWidget(label(name, section=True))
        column.addWidget(self.strip)
        column.addWidget(self.text, 1)
        column.addWidget(says)
        column.addLayout(foot)

    def _take(self, shown: ShownFile) -> None:
        self.shown = shown
        told = "".join(f"<p>{escape(line).replace('  ', '&nbsp;&nbsp;')}</p>" for line in shown.preview.lines)
        remarks = "".join(f"<li>{escape(remark)}</li>" for remark in shown.preview.remarks)
        self.text.setHtml(f"{told}<ul>{remarks}</ul><p>SHA-256: {shown.file.sha256}</p>")
        self.record.setEnabled(True)

    def _record(self) -> None:
        if self.shown is not None:
            self.record.setEnabled(False)
            self.leave.setEnabled(False)
            edit = self.shown.edit(moment_of(self.desk))
            self.desk.jobs.write(edit, self, self._recorded, self._failed)

    def _recorded(self, _changed: Changed) -> None:
        assert self.shown is not None, "only what was shown is recorded"
        self.recorded.emit(f"{self.shown.file.records.aircraft['registration']} is in the fleet.")
        self.accept()

    def _failed(self, error: Exception) -> None:
        self.leave.setEnabled(True)
        if isinstance(error, Refused):
            self.strip.refuse(error)
        else:
            self.strip.say("The file could not be taken in. Nothing was recorded.", "Try again.")

    def _let_go(self) -> None:
        if self.shown is not None:
            self.shown.close()


def _documents() -> str:
    return QStandardPaths.writableLocation(QStandardPaths.StandardLocation.DocumentsLocation)
