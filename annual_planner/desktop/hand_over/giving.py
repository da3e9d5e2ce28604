"""Handing an airplane over: to whom, what goes along, the file; then where it is and its SHA-256."""

from __future__ import annotations

from html import escape
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt, QUrl
from PySide6.QtGui import QDesktopServices
from PySide6.QtWidgets import (
    QDialog,
    QFileDialog,
    QGridLayout,
    QHBoxLayout,
    QLineEdit,
    QProgressBar,
    QTextBrowser,
    QVBoxLayout,
    QWidget,
)

from annual_planner.desktop.desk import Desk
from annual_planner.desktop.fields import ChoiceField, TextField
from annual_planner.desktop.hand_over.what_goes import WhatGoes, read_what_goes
from annual_planner.desktop.hand_over.words import (
    FILES,
    counting,
    counts_table,
    documents,
    fit,
    heading,
    records_said,
)
from annual_planner.desktop.moment import moment_of
from annual_planner.desktop.progress import Progress
from annual_planner.desktop.typed import read_day, said_day
from annual_planner.desktop.widgets import Strip, button, label
from annual_planner.trade.refused import Refused
from annual_planner.trade.said import said_date

if TYPE_CHECKING:
    from annual_planner.exchange.hand_over.giving import Given

TITLE = "Hand the airplane over"
UNSIGNED = "nobody"
SIGNED_SAYS = (
    "“These are all records of this airplane that the keeper holds, and everything that was signed about "
    "it.” With it stand: the airplane, the next keeper and the day, how many signed records there are with "
    "the first and the last seal, and one SHA-256 over every part of the file, as it is written now."
)
UNSIGNED_SAYS = "unsigned, whole records could be left out of the file unseen"
CAUTION = (
    "Signatures, photographs and filed papers go along: whoever has the file can read them. Private keys "
    "never go along; nor do the owner, addresses, certificates, drafts of entries and the shop's planning. "
    "The airplane stays in this fleet too."
)


class HandOverDialog(QDialog):
    """Asks who keeps the airplane next and where the file goes, and writes it off the window's thread."""

    def __init__(self, desk: Desk, aircraft_id: int, parent: QWidget) -> None:
        super().__init__(parent)
        self.desk = desk
        self.goes: WhatGoes | None = None
        self.path: Path | None = None
        self._aircraft_id = aircraft_id
        self._running: Progress | None = None
        self.setWindowTitle(TITLE)
        self.setAccessibleName(TITLE)
        self.title = label("Reading the airplane …", section=True)
        self.strip = Strip()
        self._make_fields()
        self.text = QTextBrowser()
        self.text.setAccessibleName("What goes along")
        self.caution = label(CAUTION)
        self.caution.setWordWrap(True)
        self._make_buttons()
        self._lay_out()
        desk.jobs.running.connect(self._follow)
        owner_id = desk.who.person.sees_owner_id
        desk.jobs.read(
            lambda work: read_what_goes(work, aircraft_id, owner_id, desk), self, self._take, self._failed
        )

    def _make_fields(self) -> None:
        trail = " and in the trail" if self.desk.who.person.may_edit else ""
        self.to = TextField(
            "to",
            "Next keeper",
            needed="Say who keeps the airplane next.",
            letters=32,
            hint=f"stands in the file{trail}",
        )
        self.on = TextField(
            "on", "From", lambda typed: read_day(typed, self.desk.today), echo=said_day,
            needed="Say from which day they keep it.", letters=12,
        )  # fmt: skip
        self.on.put(said_date(self.desk.today))
        self.signer = ChoiceField("signer", "Signed by", [(None, UNSIGNED)], hint=UNSIGNED_SAYS)
        self.passphrase = TextField("passphrase", "Passphrase", letters=32, hint="typed anew for this file")
        self.passphrase.line.setEchoMode(QLineEdit.EchoMode.Password)
        self.fields = (self.to, self.on, self.signer, self.passphrase)
        self.passphrase.show_field(False)
        self.signer.edited.connect(self._follow_signer)

    def _make_buttons(self) -> None:
        self.bar = QProgressBar()
        self.bar.setAccessibleName("Share written")
        self.bar.setTextVisible(False)
        self.bar.hide()
        self.folder = button("Open its folder", self._open_folder)
        self.folder.hide()
        self.leave = button("Cancel", self.reject)
        self.choose = button("Choose the file…", self.ask_where, leading=True)
        self.choose.setEnabled(False)
        for press in (self.folder, self.leave, self.choose):
            press.setAutoDefault(False)

    def _lay_out(self) -> None:
        fields = QGridLayout()
        fields.setHorizontalSpacing(12)
        fields.setColumnStretch(2, 1)
        for row, field in enumerate(self.fields):
            for column, part in enumerate((field.name, field.editor, field.message)):
                fields.addWidget(part, row, column)
        foot = QHBoxLayout()
        foot.addWidget(self.bar, 1)
        foot.addStretch(1)
        for press in (self.folder, self.leave, self.choose):
            foot.addWidget(press)
        column_ = QVBoxLayout(self)
        column_.setSpacing(10)
        column_.addWidget(self.title)
        column_.addWidget(self.strip)
        column_.addLayout(fields)
        column_.addWidget(self.text, 1)
        column_.addWidget(self.caution)
        column_.addLayout(foot)
        of = self.desk.theme.sizes.of
        fit(self, of(46), of(36))

    # -- what goes along ---------------------------------------------------------------------------------

    def _take(self, goes: WhatGoes) -> None:
        self.goes = goes
        self.title.setText(goes.airplane)
        self._show_what_goes()
        self.signer.offer([(None, UNSIGNED), *goes.signers])
        self.choose.setEnabled(True)
        self.to.editor.setFocus()

    def _show_what_goes(self) -> None:
        """What goes along, and what is signed where somebody signs."""
        if self.goes is None:
            return
        by = f" from {escape(self.goes.keeper)}" if self.goes.keeper else ""
        signed = (
            f"{heading(f'What {self._signed_by()} signs')}<p>{SIGNED_SAYS}</p>" if self._signed_by() else ""
        )
        self.text.setHtml(f"<p><b>What goes along</b>{by}</p>{counts_table(self.goes.counts)}{signed}")

    def _follow_signer(self) -> None:
        """Ask for the passphrase of who signs, of nobody else."""
        signed = self.signer.value() is not None
        self.passphrase.show_field(signed)
        self.passphrase.put("")
        self.signer.say("" if signed else UNSIGNED_SAYS)
        self._show_what_goes()

    # -- writing -----------------------------------------------------------------------------------------

    def ask_where(self) -> None:
        """Ask where the file goes, then write it there."""
        if self.goes is None or not all([self.to.check(), self.on.check(), self._may_sign()]):
            return
        name = f"{self.goes.registration} handed over {self.desk.today.isoformat()}.zip"
        path, _ = QFileDialog.getSaveFileName(
            self, TITLE, str(Path(documents()) / name), FILES,
            options=QFileDialog.Option.DontConfirmOverwrite,
        )  # fmt: skip
        if path:
            self.write(Path(path if path.lower().endswith(".zip") else f"{path}.zip"))

    def _may_sign(self) -> bool:
        """Whether nobody signs, or their passphrase is typed."""
        if self.signer.value() is None or self.passphrase.value():
            return True
        self.passphrase.complain("Type the passphrase of who signs, or let nobody sign.")
        return False

    def write(self, path: Path) -> None:
        """Write all records of the airplane as one file."""
        goes, jobs, today = self.goes, self.desk.jobs, self.desk.today
        if goes is None or self._running is not None:
            return
        to, signer, at = (str(self.to.value()), self.on.value()), self.signer.value(), moment_of(self.desk)
        phrase = str(self.passphrase.value())
        self.passphrase.put("")

        def work(progress: Progress) -> Given:
            from annual_planner.exchange.hand_over.giving import hand_over
            from annual_planner.records.closing_statement import Closing, HandedTo, unlocked_signer
            from annual_planner.records.picture_process import PictureReader
            from annual_planner.records.pictures import Picture

            step = counting(progress, goes.files)
            by = None if signer is None else unlocked_signer(jobs.fleet, signer, phrase, at)
            closing = Closing(HandedTo(*to), by)
            with PictureReader() as pictures:

                def read(content: bytes) -> Picture:
                    step()
                    return pictures.read(content)

                return hand_over(jobs.fleet, goes.registration, path, today, read, closing=closing, step=step)

        self.path = path
        self.strip.put_away()
        self._show_running(True)
        self._running = jobs.long(
            work, self, self._written, self._failed, topic="hand over", says="Writing the records"
        )

    def _follow(self) -> None:
        """Show how far it has come, and that it was stopped, by whichever Cancel."""
        running = self._running
        if running is None:
            return
        self.bar.setRange(0, running.total)
        self.bar.setValue(running.done)
        if running.cancelled and running not in self.desk.jobs.awaited:
            self._ended()
            self.strip.say("You stopped it. No file was written.")

    def _ended(self) -> None:
        self._running = None
        self._show_running(False)

    def _show_running(self, on: bool) -> None:
        self.bar.setVisible(on)
        self.choose.setEnabled(not on)
        for field in self.fields:
            field.editor.setEnabled(not on)
        self.leave.setText("Stop" if on else "Cancel")

    def _written(self, given: Given) -> None:
        self._ended()
        self.strip.put_away()
        self._note(given)
        self._show_where(given)

    def _show_where(self, given: Given) -> None:
        to = escape(str(self.to.value()))
        self.text.setHtml(
            f"{heading(f'The records of {given.registration} are written')}"
            f"<p>{escape(str(self.path))}</p><p>{given.parts} parts, {records_said(given.signed)}. It was "
            f"read back as the next keeper will read it.</p>{heading('SHA-256 of the file')}"
            f"<p>{given.sha256}</p><p>{escape(self._signed_said())}</p>"
            f"<p>Give {to} the file, and this number by another way: the two compare it before the records "
            "are taken in.</p>"
        )
        self.text.setAccessibleName("Where the file is")
        for field in self.fields:
            field.show_field(False)
        self.choose.hide()
        self.folder.show()
        self.leave.setText("Close")
        self.leave.setFocus()

    def _note(self, given: Given) -> None:
        """Write in the trail to whom it went; an owner hands over what is theirs, and edits nothing."""
        from annual_planner.records.handed_on import NoteHandedOver

        if self.desk.who.person.may_edit:
            edit = NoteHandedOver(self._aircraft_id, given.registration, str(self.to.value()), given.sha256,
                                  given.signed, self.on.value(), self._signed_by())  # fmt: skip
            self.desk.jobs.write(edit, self)

    def _signed_by(self) -> str:
        return "" if self.signer.value() is None else self.signer.box.currentText()

    def _signed_said(self) -> str:
        by = self._signed_by()
        if by:
            return f"The closing statement of the file is signed by {by}: what is left out of it is found."
        return f"The closing statement of the file is not signed. {UNSIGNED_SAYS.capitalize()}."

    def _failed(self, error: Exception) -> None:
        if self._running is not None:
            self._ended()
        if self.goes is None:
            self.title.setText(TITLE)
        if isinstance(error, Refused):
            self.strip.refuse(error)
        else:
            self.strip.say("The records could not be handed over. No file was written.", "Try again.")

    def _open_folder(self) -> None:
        if self.path is not None:
            QDesktopServices.openUrl(QUrl.fromLocalFile(str(self.path.parent)))

    def reject(self) -> None:
        """Stop what is being written; else leave."""
        if self._running is not None:
            self._running.cancel()
        else:
            super().reject()


def open_hand_over(desk: Desk, aircraft_id: int, parent: QWidget) -> HandOverDialog:
    """Open the dialog for one airplane."""
    dialog = HandOverDialog(desk, aircraft_id, parent)
    dialog.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
    dialog.open()
    return dialog
