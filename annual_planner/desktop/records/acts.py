"""What can be done in the place Records: print, correct and sign entries, close a key, check the chain."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, Qt

from annual_planner.desktop.records.keys import sign_closing
from annual_planner.desktop.signing.who_signs import may_be_signed_here, signers
from annual_planner.store.filed_reads import EntryLine, entries_of

if TYPE_CHECKING:
    from annual_planner.desktop.records.page import RecordsPage


class RecordsActs(QObject):
    """Acts on what is chosen in the lists; nothing that is signed is changed by any of them."""

    def __init__(self, page: RecordsPage) -> None:
        super().__init__(page)
        self.page = page
        page.action("Print the &entry…", self.print_entry, key="Ctrl+P", drawing="print",
                    tip="Print the chosen entry on Letter, A4 or labels")  # fmt: skip
        page.action("Print every entry of its &package…", self.print_package, key="Ctrl+Shift+P",
                    drawing="print",
                    tip="Print all entries of that package on Letter, A4 or labels")  # fmt: skip
        page.action("Co&rrect the entry…", self.correct, key="Ctrl+E", drawing="edit", edits=True,
                    tip="Draft a correction of the chosen signed entry, with its reason")  # fmt: skip
        page.action("&Sign the entry…", self.sign, key="Ctrl+Shift+S",
                    tip="Sign the chosen draft with a key")  # fmt: skip
        page.action("Close a &key…", self.close_key, key="Ctrl+Shift+K", edits=True,
                    tip="A second person signs that the chosen key is closed")  # fmt: skip

    def _entry(self) -> EntryLine | None:
        line = self.page.entries.listing.current
        if line is None:
            self.page.strip.say("No entry is chosen.", "Choose one in the list of entries.")
        return line

    # -- on paper --------------------------------------------------------------------------------------

    def print_entry(self) -> None:
        """Print the chosen entry."""
        line = self._entry()
        if line is not None:
            self._print((line,))

    def print_package(self) -> None:
        """Print every entry of the package the chosen one belongs to, but those that were superseded."""
        line = self._entry()
        if line is None:
            return
        package_id = line.package_id
        if package_id is None:
            self.page.strip.say("That entry belongs to no package.", "Print it by itself.")
            return
        self.page.desk.jobs.read(
            lambda work: entries_of(work, package_id=package_id), self, self._print, self.page.failed
        )

    def _print(self, lines: Sequence[EntryLine]) -> None:
        from annual_planner.desktop.annual.entries_dialog import print_entries_of

        print_entries_of(self.page.desk, [line.entry_id for line in lines], self.page.window())

    # -- signing ---------------------------------------------------------------------------------------

    def correct(self) -> None:
        """Draft a correction of the chosen signed entry."""
        line = self._entry()
        if line is None:
            return
        if line.state != "signed":
            self.page.strip.say(
                f"That entry is {line.state}; only a signed one is corrected.",
                "Change a draft under Closing, or choose the signed entry.",
            )
            return
        from annual_planner.desktop.records.correction import CorrectionDialog

        dialog = CorrectionDialog(self.page.desk, line, self.page.window())
        dialog.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        said, then = (
            "The correction is drafted.",
            "Choose it in the list and sign it; until then the old one holds.",
        )
        dialog.drafted.connect(lambda: self.page.strip.say(said, then))
        dialog.open()

    def sign(self) -> None:
        """Open the signing of the chosen draft; an owner signs their own preventive maintenance alone."""
        line, page = self._entry(), self.page
        if line is None or page.seen is None:
            return
        person = page.desk.who.person
        if line.state != "draft":
            page.strip.say(f"That entry is {line.state} already.", "Choose a draft.")
        elif not may_be_signed_here(person, line.kind):
            page.strip.say(
                "An owner signs their own preventive maintenance and nothing else.",
                "Choose your name at the foot of the rail, and such an entry; the shop signs the others.",
            )
        else:
            from annual_planner.desktop.signing.dialog import SigningDialog

            offered = signers(person, page.seen.people)
            dialog = SigningDialog(page.desk, "log_entry", line.entry_id, offered, page.window())
            dialog.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
            dialog.open()

    def close_key(self) -> None:
        """Let a second person sign that the chosen key is closed."""
        page = self.page
        page.tabs.show_part(page.keys)
        key = page.keys.listing.current
        if key is None or page.seen is None:
            page.strip.say("No key is chosen.", "Choose the key that is to be closed in the list.")
        elif key.witnessed is not None:
            page.strip.say("The closing of this key is signed already.", "Its holder can make a new one.")
        else:
            sign_closing(page.desk, key, page.seen.people, page.window())
