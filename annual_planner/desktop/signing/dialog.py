"""The dialog in which a person reads what they sign, says as what, and types their passphrase anew."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from PySide6.QtCore import Signal
from PySide6.QtWidgets import (
    QCheckBox,
    QComboBox,
    QDialog,
    QFormLayout,
    QHBoxLayout,
    QLineEdit,
    QPushButton,
    QTextBrowser,
    QVBoxLayout,
    QWidget,
)

from annual_planner.desktop.desk import Desk
from annual_planner.desktop.form import Scrolled
from annual_planner.desktop.moment import moment_of
from annual_planner.desktop.widgets import Strip, label
from annual_planner.library.passphrases import blocked_phrases
from annual_planner.records.keys import MakeKey
from annual_planner.records.signable import signable
from annual_planner.records.signing import SignRecord, sign
from annual_planner.records.signing_sheet import SigningSheet, content_to_sign
from annual_planner.store.rows import PersonLine
from annual_planner.store.signed_reads import last_link, open_key
from annual_planner.trade.passphrases import wrong_with
from annual_planner.trade.refused import Refused
from annual_planner.trade.seals import seal_text

if TYPE_CHECKING:
    from annual_planner.records.edits import Changed
    from annual_planner.store.session import Work

INTRODUCTION = "This is exactly what is signed. Read it; nothing else is covered."
NO_KEY = "{name} has no key yet. A passphrase of 15 letters or more makes one; nobody else can ever read it."


class SigningDialog(QDialog):
    """Signs one thing; `signed` tells that it was. Enter signs nothing: the button is pressed on purpose."""

    signed = Signal()

    def __init__(
        self, desk: Desk, subject_table: str, subject_id: int, people: Sequence[PersonLine], parent: QWidget
    ) -> None:
        super().__init__(parent)
        self.desk = desk
        self._table, self._id = subject_table, subject_id
        self.sheet: SigningSheet | None = None
        self._has_key = False
        self.setWindowTitle("Sign")
        self.setAccessibleName("Sign")
        self.person = QComboBox()
        self.person.setAccessibleName("Who signs")
        self.person.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon)
        self.person.setMinimumContentsLength(18)
        for each in people:
            self.person.addItem(f"{each.name}, {each.holds}" if each.holds else each.name, each.person_id)
        here = self.person.findData(desk.who.person.person_id)
        self.person.setCurrentIndex(max(here, 0))
        self.meaning = QComboBox()
        self.meaning.setAccessibleName("What the signature means")
        self.says = label("", section=True)
        self.says.setWordWrap(True)
        self.content = QTextBrowser()
        self.content.setAccessibleName("What is signed")
        self.entitled = label("")
        self.entitled.setWordWrap(True)
        self.passphrase = QLineEdit()
        self.passphrase.setAccessibleName("Passphrase")
        self.passphrase.setEchoMode(QLineEdit.EchoMode.Password)
        self.visible = QCheckBox("Show the passphrase")
        self.key_hint = label("", faint=True)
        self.key_hint.setWordWrap(True)
        self.strip = Strip()
        self.sign_button = QPushButton("Sign")
        self.sign_button.setProperty("leading", True)
        self.make_key = QPushButton("Make my key")
        self.cancel = QPushButton("Cancel")
        for press in (self.sign_button, self.make_key, self.cancel):
            press.setAutoDefault(False)
            press.setDefault(False)
        self._lay_out()
        self._fit()
        desk.theme.changed.connect(self._fit)
        self._connect()
        desk.jobs.read(self._meanings, self, self._take_meanings, self._refused)

    def _lay_out(self) -> None:
        form = QFormLayout()
        form.addRow("Who signs", self.person)
        form.addRow("As", self.meaning)
        secret = QFormLayout()
        secret.addRow("Passphrase", self.passphrase)
        secret.addRow("", self.visible)
        buttons = QHBoxLayout()
        buttons.addWidget(self.make_key)
        buttons.addStretch(1)
        buttons.addWidget(self.cancel)
        buttons.addWidget(self.sign_button)
        for each in (form, secret):
            each.setRowWrapPolicy(QFormLayout.RowWrapPolicy.WrapLongRows)
        introduction = label(INTRODUCTION, faint=True)
        introduction.setWordWrap(True)
        read = QWidget()
        read.setAccessibleName("What is signed, and by whom")
        column = QVBoxLayout(read)
        column.setContentsMargins(0, 0, 0, 0)
        column.addLayout(form)
        column.addWidget(introduction)
        column.addWidget(self.content, 1)
        for text in (self.says, self.entitled, self.key_hint):
            column.addWidget(text)
        column.addLayout(secret)
        whole = QVBoxLayout(self)
        whole.addWidget(self.strip)
        whole.addWidget(Scrolled(read), 1)
        whole.addLayout(buttons)

    def _fit(self) -> None:
        """Room for what is signed in the size of the text, as far as the screen has it."""
        of, room = self.desk.theme.sizes.of, self.screen().availableSize()
        self.content.setMinimumHeight(of(8))
        self.resize(min(of(43), room.width()), min(of(36), room.height()))

    def _connect(self) -> None:
        self.person.currentIndexChanged.connect(lambda _place: self._ask_sheet())
        self.meaning.currentIndexChanged.connect(lambda _place: self._ask_sheet())
        self.visible.toggled.connect(
            lambda on: self.passphrase.setEchoMode(
                QLineEdit.EchoMode.Normal if on else QLineEdit.EchoMode.Password
            )
        )
        self.passphrase.textChanged.connect(lambda _text: self._follow())
        self.sign_button.clicked.connect(lambda _on: self._sign())
        self.make_key.clicked.connect(lambda _on: self._make_key())
        self.cancel.clicked.connect(lambda _on: self.reject())

    # -- what is signed ----------------------------------------------------------------------------

    def _meanings(self, work: Work) -> tuple[str, ...]:
        return signable(self._table).read(work, self._id).meanings

    def _take_meanings(self, meanings: tuple[str, ...]) -> None:
        self.meaning.blockSignals(True)
        self.meaning.addItems(meanings)
        self.meaning.blockSignals(False)
        self._ask_sheet()

    def _ask_sheet(self) -> None:
        person_id, meaning, at = self.person.currentData(), self.meaning.currentText(), moment_of(self.desk)
        if not isinstance(person_id, int) or not meaning:
            return
        self.sheet = None
        self._follow()
        table, subject_id = self._table, self._id

        def read(work: Work) -> tuple[SigningSheet, bool]:
            sheet = content_to_sign(work, table, subject_id, person_id=person_id, meaning=meaning, at=at)
            return sheet, open_key(work, person_id) is not None

        self.desk.jobs.read(read, self, self._take_sheet, self._refused, topic="sheet")

    def _take_sheet(self, found: tuple[SigningSheet, bool]) -> None:
        self.sheet, self._has_key = found
        self.strip.put_away()
        self.content.setPlainText(self.sheet.text)
        self.says.setText(f"“{self.sheet.meaning_says}”")
        late = f" {self.sheet.late.capitalize()}." if self.sheet.late else ""
        said = self.sheet.entitled.working.result.rstrip(".")
        self.entitled.setText(f"{said[:1].upper()}{said[1:]}.{late}")
        self._follow()

    def _follow(self) -> None:
        """Allow what can be done now, and hint at what a new passphrase lacks."""
        typed = self.passphrase.text()
        may = self.sheet is not None and self.sheet.entitled.value.may
        self.sign_button.setEnabled(may and self._has_key and bool(typed))
        self.make_key.setVisible(self.sheet is not None and not self._has_key)
        if self.sheet is None or self._has_key:
            self.key_hint.setText("")
            return
        lacking = wrong_with(typed, blocked_phrases()) if typed else ""
        self.make_key.setEnabled(bool(typed) and not lacking)
        self.key_hint.setText(lacking or NO_KEY.format(name=self.person.currentText().split(",")[0]))

    # -- acts ----------------------------------------------------------------------------------------

    def _make_key(self) -> None:
        """Make it off the window's thread; it is the person's own, and no change that could be taken back."""
        person_id, desk = self.person.currentData(), self.desk
        edit = MakeKey(person_id, self.passphrase.text(), moment_of(desk))
        self.passphrase.clear()
        self.make_key.setEnabled(False)
        by, fleet = desk.who.person.by, desk.jobs.fleet

        def make(_progress: object) -> Changed:
            from annual_planner.records.apply import apply

            return apply(fleet, edit, by, desk.today)

        desk.jobs.long(make, self, self._key_made, self._refused, topic="key", says="Making the key")

    def _key_made(self, changed: Changed) -> None:
        self.desk.jobs.changed.emit(changed.kinds)
        self.strip.say("The key is made.", "Type the passphrase once more to sign with it.")
        self._ask_sheet()

    def _sign(self) -> None:
        if self.sheet is None:
            return
        wanted = SignRecord(
            self.sheet, self.person.currentData(), self.passphrase.text(), self.sheet.asked.shown_at
        )
        self.passphrase.clear()
        self.sign_button.setEnabled(False)
        fleet = self.desk.jobs.fleet

        def act(_progress: object) -> tuple[Changed, str]:
            changed = sign(fleet, wanted)
            with fleet.reading() as work:
                return changed, seal_text(last_link(work).seal)

        self.desk.jobs.long(act, self, self._done, self._refused, topic="sign", says="Signing")

    def _done(self, signed: tuple[Changed, str]) -> None:
        changed, _seal = signed
        self.desk.jobs.trail.clear()  # what is signed is not taken back
        self.desk.jobs.changed.emit(changed.kinds)
        self.signed.emit()
        self.accept()

    def _refused(self, error: Exception) -> None:
        if isinstance(error, Refused):
            self.strip.refuse(error)
        else:
            self.strip.say("This could not be signed. Nothing was written.", "Try again.")
        self._follow()
