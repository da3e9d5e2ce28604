"""Closing: what is missing, the entries to read and sign, and the closing of the package itself."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QAction, QKeySequence, QShowEvent
from PySide6.QtWidgets import QSplitter, QVBoxLayout, QWidget

from annual_planner.desktop.annual.entry_text import EntryText
from annual_planner.desktop.annual.final_papers import final_papers
from annual_planner.desktop.annual.held import HeldList
from annual_planner.desktop.annual.seen import Shown
from annual_planner.desktop.annual.tabs import under_heading
from annual_planner.desktop.columns import Column, day_text
from annual_planner.desktop.desk import Desk
from annual_planner.desktop.flow import FlowRow
from annual_planner.desktop.least_rows import keep_rows
from annual_planner.desktop.listing import Words
from annual_planner.desktop.moment import moment_of
from annual_planner.desktop.signing.who_signs import may_be_signed_here, signers
from annual_planner.desktop.split import Split
from annual_planner.desktop.widgets import ActionButton, Strip, label, lead
from annual_planner.planning.close_package import ClosePackage
from annual_planner.planning.closing import ClosingState, Lacking, closing_state, owners_list
from annual_planner.planning.entry_drafts import ChangeEntryText, DraftEntries
from annual_planner.records.filing import FilePaper
from annual_planner.records.standing import Standing, signatures_on
from annual_planner.store.closing_reads import ClosingEntry
from annual_planner.trade import package_states
from annual_planner.trade.refused import Refused
from annual_planner.trade.working import Worked, Working

if TYPE_CHECKING:
    from annual_planner.library.shelf import Library
    from annual_planner.store.session import Work

LACKING: tuple[Column[Lacking], ...] = (
    Column("about", "About", lambda each: each.about.value, sort="about", width=11, aside=2),
    Column("said", "What is missing", lambda each: each.said, sort="said", width=50),
    Column("rule", "Rule", lambda each: each.rule, sort="rule", width=20, aside=1),
)


MAY_CLOSE = Words("things", "Nothing is missing", "The package may be closed.")
CLOSED = Words("things", "The package is closed", "Its papers are filed; find them in Records.")


@dataclass(frozen=True, slots=True)
class EntrySignatures:
    """An entry with its signatures."""

    entry: ClosingEntry
    standings: tuple[Standing, ...]

    @property
    def said(self) -> str:
        """How it stands in words."""
        return self.standings[-1].says if self.standings else "not signed"


ENTRIES: tuple[Column[EntrySignatures], ...] = (
    Column("book", "Book", lambda each: each.entry.book, sort="book", width=11),
    Column("kind", "Entry", lambda each: each.entry.kind, sort="kind", width=16, aside=2),
    Column(
        "work_on",
        "Work of",
        lambda each: day_text(each.entry.work_on),
        sort="work_on",
        width=12,
        right=True,
        by=lambda each: each.entry.work_on,
        aside=1,
    ),
    Column("said", "Signed", lambda each: each.said, sort="signed", width=34),
)


@dataclass(frozen=True, slots=True)
class Closing:
    """All that the part shows."""

    state: Worked[ClosingState]
    entries: tuple[EntrySignatures, ...]


class ClosingTab(QWidget):
    """One list of what is missing, and beside it the entries."""

    wants_card = Signal(int)
    """A card that keeps the package open was chosen."""
    wants_discrepancy = Signal(int)

    def __init__(self, desk: Desk) -> None:
        super().__init__()
        self.desk = desk
        self.setAccessibleName("Closing")
        self._shown: Shown | None = None
        self._stale = True
        self.seen: Closing | None = None
        self.strip = Strip()
        self.result = label("", section=True)
        self.result.setWordWrap(True)
        self.lacking: HeldList[Lacking] = HeldList(desk, "closing-lacking", LACKING, MAY_CLOSE, small=True)
        self.entries: HeldList[EntrySignatures] = HeldList(
            desk, "closing-entries", ENTRIES,
            Words("entries", "No entries yet", "Do the cards, then draft the entries."), small=True,
        )  # fmt: skip
        self.text = EntryText()
        self.text.left.connect(self._save)
        self.doings = self._make_doings()
        self.buttons = {name: ActionButton(each) for name, each in self.doings.items()}
        self._lay_out()
        self.entries.pointed.connect(lambda _id: self._show_text())
        self.entries.answered.connect(self.entries.choose_first)
        self.entries.table.dataChanged.connect(lambda *_: self._show_text())
        self.lacking.opened.connect(self._open_lacking)
        desk.jobs.changed.connect(self._changed)

    def _make_doings(self) -> dict[str, QAction]:
        do = self._doing
        return {
            "draft": do("&Draft the entries", self._draft,
                        "Write every entry that is owed, to be read", "Ctrl+D"),
            "save": do("Save the &text", self._save, "Keep the text of the entry as it now reads", "Ctrl+T"),
            "sign": do("&Sign the entry…", self._sign,
                       "Sign the chosen entry with your own key", "Ctrl+Shift+S"),
            "print": do("P&rint the entries…", self._print,
                        "For ink: on Letter, A4 or labels", "Ctrl+Shift+P"),
            "list": do("Copy the &owner's list", self._copy_list,
                       "What was found unairworthy, to be given to the owner", "Ctrl+Shift+J"),
            "close": do("Close the &package", self._close,
                        "Once nothing is missing; it then stays as it is", "Ctrl+E"),
        }  # fmt: skip

    def _doing(self, text: str, does: Callable[[], object], tip: str, key: str) -> QAction:
        made = QAction(text, self)
        made.setShortcut(QKeySequence(key))
        made.setShortcutContext(Qt.ShortcutContext.WidgetWithChildrenShortcut)
        made.setToolTip(f"{tip} ({made.shortcut().toString(QKeySequence.SequenceFormat.NativeText)})")
        self.addAction(made)
        made.setEnabled(False)  # until it is known how the package stands
        made.triggered.connect(lambda: does())
        return made

    def _lay_out(self) -> None:
        row = FlowRow()
        for each in self.buttons.values():
            row.addWidget(each)
        entries = QSplitter(Qt.Orientation.Vertical)
        entries.setAccessibleName("Entries and their text")
        entries.addWidget(under_heading("Entries", self.entries))
        entries.addWidget(self.text)
        missing = under_heading("What is missing", self.lacking)
        both = Split(self.desk.theme, "What is missing, and the entries", missing, entries, beside=28)
        both.share(3, 2)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 6, 0, 0)
        column.addWidget(self.strip)
        column.addWidget(self.result)
        column.addLayout(row)
        column.addWidget(both, 1)
        keep_rows(self)

    # -- what is shown -----------------------------------------------------------------------------

    def take(self, shown: Shown) -> None:
        """Show this package's closing, when it is looked at."""
        self._shown, self._stale = shown, True
        if self.isVisible():
            self._ask()

    def showEvent(self, event: QShowEvent) -> None:
        """Ask when it comes to the front."""
        super().showEvent(event)
        if self._stale:
            self._ask()

    def _changed(self, kinds: frozenset[str]) -> None:
        if kinds & {"card", "result", "discrepancy", "entry", "signature", "package"}:
            self._stale = True
            if self.isVisible():
                self._ask()

    def _ask(self) -> None:
        if self._shown is None:
            return
        self._stale = False
        package_id, today, desk = self._package_id, self.desk.today, self.desk
        desk.jobs.read(
            lambda work: _read(work, package_id, desk.library(), today), self, self._take, self._failed,
            topic="closing",
        )  # fmt: skip

    @property
    def _package_id(self) -> int:
        assert self._shown is not None
        return self._shown.view.package.package_id

    def _take(self, seen: Closing) -> None:
        self.seen = seen
        closed = self._shown is not None and self._shown.view.package.state == package_states.CLOSED
        state = seen.state.value
        self.result.setText("Closed." if closed else f"{seen.state.working.result.capitalize()}.")
        self.lacking.say(CLOSED if closed else MAY_CLOSE)
        self.lacking.take([] if closed else state.lacking)
        self.entries.take(seen.entries)
        edits = self.desk.who.person.may_edit
        for name in ("draft", "save", "sign", "close"):
            self.doings[name].setVisible(edits)
        may = edits and not closed
        self.doings["draft"].setEnabled(may and not state.before_entries)
        self.doings["close"].setEnabled(may and state.may_close)
        self.doings["print"].setEnabled(bool(seen.entries))
        self.doings["list"].setEnabled(bool(state.unairworthy))
        self._show_text()
        self._lead()

    def _lead(self) -> None:
        """Let the button of the next step stand out: draft the entries, sign them, close the package."""
        drafted = self.seen is not None and bool(self.seen.entries)
        order = ("close", "sign") if drafted else ("draft",)
        next_step = next((name for name in order if self.doings[name].isEnabled()), "")
        for name, each in self.buttons.items():
            lead(each, on=name == next_step)

    def working(self) -> Working | None:
        """Why the package may or may not be closed."""
        return self.seen.state.working if self.seen is not None else None

    def _show_text(self) -> None:
        chosen = self.entries.current
        draft = chosen is not None and chosen.entry.state == "draft"
        person = self.desk.who.person
        self.text.show_entry(chosen.entry if chosen is not None else None, may_change=person.may_edit)
        self.doings["save"].setEnabled(draft and person.may_edit)
        signable = draft and chosen is not None and may_be_signed_here(person, chosen.entry.kind)
        self.doings["sign"].setEnabled(signable)
        self._lead()

    # -- acts ----------------------------------------------------------------------------------------

    def _draft(self) -> None:
        if self.seen is not None:
            approved = self.seen.state.value.approved
            self._write(DraftEntries(self._package_id, approved, self.desk.today))

    def _save(self) -> None:
        if self.text.unsaved is not None:
            entry, wanted = self.text.unsaved
            self._write(ChangeEntryText(entry.entry_id, entry.text, wanted))

    def _sign(self) -> None:
        from annual_planner.desktop.signing.dialog import SigningDialog

        chosen = self.entries.current
        if chosen is None or self._shown is None:
            return
        if self.text.unsaved is not None:
            self.strip.say("The text was changed and is being saved.", "Read it once more, then sign.")
            return
        people = signers(self.desk.who.person, self._shown.people)
        dialog = SigningDialog(self.desk, "log_entry", chosen.entry.entry_id, people, self.window())
        dialog.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        dialog.open()

    def _print(self) -> None:
        from annual_planner.desktop.annual.entries_dialog import print_entries_of

        if self.seen is not None:
            ids = [each.entry.entry_id for each in self.seen.entries]
            print_entries_of(self.desk, ids, self.window())

    def _copy_list(self) -> None:
        from PySide6.QtGui import QGuiApplication

        if self.seen is not None and self._shown is not None:
            registration = self._shown.view.aircraft.registration
            text = owners_list(self.seen.state.value, registration, self.desk.today)
            QGuiApplication.clipboard().setText(text)
            self.strip.say("The list is copied.", "Paste it, sign and date it, and give it to the owner.")

    def _close(self) -> None:
        package_id, desk = self._package_id, self.desk

        def close(library: Library) -> None:
            edit = ClosePackage(package_id, library, desk.today)
            desk.jobs.write(edit, self, lambda _changed: self._file(library), self._failed)

        desk.with_library(self, close, self._failed)

    def _file(self, library: Library) -> None:
        """Make the final papers and keep them, byte for byte as they are now."""
        self.desk.jobs.trail.clear()  # a closed package stays as it is
        package_id, desk = self._package_id, self.desk
        desk.jobs.long(
            lambda _progress: final_papers(desk.jobs.fleet, package_id, library, desk.today, moment_of(desk)),
            self, self._keep, self._failed, topic="final papers", says="Making the final papers",
        )  # fmt: skip

    def _keep(self, papers: tuple[FilePaper, ...]) -> None:
        for paper in papers:
            self.desk.jobs.write(paper, self, failed=self._failed)
        self.strip.say("The package is closed.", "Its papers are filed; find them in Records.")

    def _write(self, edit: DraftEntries | ChangeEntryText | ClosePackage) -> None:
        self.strip.put_away()
        self.desk.jobs.write(edit, self, failed=self._failed)

    def _open_lacking(self, place: int) -> None:
        each = self.lacking.held.rows[place]
        if each.about.value == "card":
            self.wants_card.emit(each.subject_id)
        elif each.about.value == "discrepancy":
            self.wants_discrepancy.emit(each.subject_id)

    def _failed(self, error: Exception) -> None:
        if isinstance(error, Refused):
            self.strip.refuse(error)
        else:
            self.strip.say("This could not be done. Nothing was lost.", "Try again.")


def _read(work: Work, package_id: int, library: Library, today: date) -> Closing:

    state = closing_state(work, package_id, library, today)
    entries = state.value.entries
    signed = signatures_on(work, "log_entry", [entry.entry_id for entry in entries])
    return Closing(state, tuple(EntrySignatures(entry, signed.get(entry.entry_id, ())) for entry in entries))
