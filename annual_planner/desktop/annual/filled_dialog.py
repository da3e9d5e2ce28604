"""A filled copy of a work package: seen first, what differs and what is refused; then all or nothing."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QStandardPaths, Qt, Signal
from PySide6.QtWidgets import QDialog, QFileDialog, QHBoxLayout, QSplitter, QVBoxLayout, QWidget

from annual_planner.desktop.annual.held import HeldList
from annual_planner.desktop.annual.tabs import under_heading
from annual_planner.desktop.columns import Column
from annual_planner.desktop.desk import Desk
from annual_planner.desktop.fields import Choice
from annual_planner.desktop.flow import FlowRow
from annual_planner.desktop.listing import Words
from annual_planner.desktop.moment import moment_of
from annual_planner.desktop.widgets import Strip, button, label
from annual_planner.trade.refused import Refused

if TYPE_CHECKING:
    from annual_planner.desktop.annual.page import AnnualPage
    from annual_planner.exchange.filled_package import FilledFault, FilledLine, FilledPreview
    from annual_planner.exchange.form_fields import FormField
    from annual_planner.records.edits import Changed
    from annual_planner.store.rows import PersonLine
    from annual_planner.store.session import Work

LINES: tuple[Column[FilledLine], ...] = (
    Column("page", "Page", lambda each: str(each.page), "page", 6, right=True, by=lambda each: each.page,
           aside=1),
    Column("card", "Card", lambda each: str(each.card), "card", 6, right=True, by=lambda each: each.card),
    Column("what", "Field", lambda each: each.what, "what", 30),
    Column("stands", "Stands now", lambda each: each.stands, "stands", 14, aside=2),
    Column("wants", "Would be recorded", lambda each: each.wants, "wants", 34),
)  # fmt: skip
FAULTS: tuple[Column[FilledFault], ...] = (
    Column("page", "Page", lambda each: str(each.page), "page", 6, right=True, by=lambda each: each.page,
           aside=1),
    Column("field", "Field", lambda each: each.field, "field", 34),
    Column("said", "Why it can't be taken", lambda each: each.said, "said", 60),
)  # fmt: skip
SAYS = (
    "Nothing is recorded until you press Record all; then all of it or nothing, and Undo takes it back as "
    "one. A signature is never taken from a form."
)


class FilledDialog(QDialog):
    """Shows what a filled copy would record; `recorded` names the package once it is."""

    recorded = Signal(str)

    def __init__(
        self, desk: Desk, path: Path, people: Sequence[PersonLine], package: str, parent: QWidget
    ) -> None:
        super().__init__(parent)
        self.desk = desk
        self._package = package
        self._fields: tuple[FormField, ...] | None = None
        self.seen: FilledPreview | None = None
        self.setWindowTitle("Read a filled copy")
        self.setAccessibleName("Read a filled copy")
        of, room = desk.theme.sizes.of, self.screen().availableSize()
        self.resize(min(of(56), room.width()), min(of(39), room.height()))
        self.strip = Strip()
        self.person = Choice()
        self.person.setAccessibleName("Who did the work that bears no initials")
        self.person.setSizeAdjustPolicy(Choice.SizeAdjustPolicy.AdjustToContents)
        for each in people:
            self.person.addItem(each.name, each.person_id)
        self.person.setCurrentIndex(max(0, self.person.findData(desk.who.person.person_id)))
        self.counted = label("Reading the copy …", section=True)
        self.counted.setWordWrap(True)
        self.lines: HeldList[FilledLine] = HeldList(
            desk, "filled-lines", LINES,
            Words("fields", "Nothing to record", "What is filled in stands in the fleet, or is refused."),
            small=True,
        )  # fmt: skip
        self.faults: HeldList[FilledFault] = HeldList(
            desk, "filled-faults", FAULTS,
            Words("refusals", "Nothing is refused", "Every field can be taken."),
            small=True,
        )  # fmt: skip
        self.record = button("Record all", self._record, leading=True)
        self.leave = button("Cancel", self.reject)
        for press in (self.record, self.leave):
            press.setAutoDefault(False)
        self.record.setEnabled(False)
        self._lay_out(path.name)
        self.person.activated.connect(lambda _place: self._preview())
        desk.jobs.long(lambda _p: _read(path), self, self._take_fields, self._failed, says="Reading the copy")

    def _lay_out(self, name: str) -> None:
        who = FlowRow()
        who.addWidget(label("Who did the work that bears no initials"))
        who.addWidget(self.person)
        both = QSplitter(Qt.Orientation.Vertical)
        both.setAccessibleName("What would be recorded, and what is refused")
        both.addWidget(under_heading("Would be recorded", self.lines))
        both.addWidget(under_heading("Refused", self.faults))
        both.setStretchFactor(0, 3)
        both.setStretchFactor(1, 2)
        both.setChildrenCollapsible(False)
        says = label(SAYS, faint=True)
        says.setWordWrap(True)
        foot = QHBoxLayout()
        foot.addStretch(1)
        foot.addWidget(self.leave)
        foot.addWidget(self.record)
        column = QVBoxLayout(self)
        column.addWidget(label(name, section=True))
        column.addWidget(self.strip)
        column.addLayout(who)
        column.addWidget(self.counted)
        column.addWidget(both, 1)
        column.addWidget(says)
        column.addLayout(foot)

    # -- reading -----------------------------------------------------------------------------------

    def _take_fields(self, fields: tuple[FormField, ...]) -> None:
        self._fields = fields
        self._preview()

    def _preview(self) -> None:
        fields, person_id, at = self._fields, self.person.currentData(), moment_of(self.desk)
        if fields is None:
            return
        if not isinstance(person_id, int):
            self.strip.say("Nobody is in the fleet who could have done this.", "Add people first.")
            return

        def read(work: Work) -> FilledPreview:
            from annual_planner.exchange.filled_package import preview

            return preview(work, fields, person_id, at)

        self.record.setEnabled(False)
        self.desk.jobs.read(read, self, self._take, self._failed, topic="filled")

    def _take(self, seen: FilledPreview) -> None:
        self.seen = seen
        self.lines.take(seen.lines)
        self.faults.take(seen.faults)
        other = bool(self._package) and seen.package != self._package
        if other:
            said = f"This is a copy of package {seen.package}, not of {self._package}."
            self.strip.say(said, f"Open package {seen.package}, and read the copy there.")
        told = f"Package {seen.package}: {len(seen.lines)} to record, {seen.same} as they stand"
        self.counted.setText(f"{told}, {len(seen.faults)} refused." if seen.faults else f"{told}.")
        self.record.setEnabled(bool(seen.lines) and not seen.faults and not other)

    # -- recording ---------------------------------------------------------------------------------

    def _record(self) -> None:
        if self.seen is None:
            return
        self.record.setEnabled(False)
        self.desk.jobs.write(self.seen.edit(), self, self._recorded, self._failed)

    def _recorded(self, _changed: Changed) -> None:
        assert self.seen is not None
        self.recorded.emit(f"Package {self.seen.package}: {len(self.seen.lines)} things are recorded.")
        self.accept()

    def _failed(self, error: Exception) -> None:
        if isinstance(error, Refused):
            self.strip.refuse(error)
        else:
            self.strip.say("The copy could not be read. Nothing was recorded.", "Try again.")
        if self.seen is None:
            self.counted.setText("Nothing was read.")


def _read(path: Path) -> tuple[FormField, ...]:
    from annual_planner.exchange.filled_package import read_filled

    return read_filled(path)


def ask_filled_copy(page: AnnualPage) -> None:
    """Ask for a file and open the dialog on it."""
    folder = QStandardPaths.writableLocation(QStandardPaths.StandardLocation.DocumentsLocation)
    path, _ = QFileDialog.getOpenFileName(page, "Read a filled copy", folder, "PDF (*.pdf)")
    if path:
        open_filled_copy(page, Path(path))


def open_filled_copy(page: AnnualPage, path: Path) -> None:
    """Open the dialog on a file; of the package that is shown, if one is."""
    package = page.shown.view.package.number if page.shown is not None else ""

    def everyone(work: Work) -> tuple[PersonLine, ...]:
        from annual_planner.store.fleet_reads import people

        return tuple(people(work))

    def show(people: tuple[PersonLine, ...]) -> None:
        dialog = FilledDialog(page.desk, path, people, package, page.window())
        dialog.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        dialog.recorded.connect(recorded)
        dialog.open()

    def recorded(said: str) -> None:
        page.strip.say(said, "Undo takes all of it back.")
        page.tabs.turned.connect(page.strip.put_away, Qt.ConnectionType.SingleShotConnection)

    page.desk.jobs.read(everyone, page, show, page.failed, topic="people")
