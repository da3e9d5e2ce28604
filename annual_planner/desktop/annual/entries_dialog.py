"""Entries on paper: the paper or label sheet is chosen, the pages are seen, then saved or printed."""

from __future__ import annotations

from collections.abc import Sequence
from io import BytesIO
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt
from PySide6.QtGui import QImage, QResizeEvent
from PySide6.QtWidgets import QDialog, QHBoxLayout, QScrollArea, QVBoxLayout, QWidget

from annual_planner.desktop.annual import paper_jobs
from annual_planner.desktop.annual.pages import PageView
from annual_planner.desktop.annual.paper_out import PaperOut
from annual_planner.desktop.desk import Desk
from annual_planner.desktop.fields import Choice
from annual_planner.desktop.flow import FlowRow
from annual_planner.desktop.moment import moment_of
from annual_planner.desktop.widgets import Strip, button, label
from annual_planner.trade.refused import Refused

if TYPE_CHECKING:
    from annual_planner.planning.entries_read import EntriesRead

PLAIN = (("letter", "Letter, one under another", 0, 0), ("a4", "A4, one under another", 0, 0))
"""Paper without labels: word, name, rows and columns of labels."""
ACTUAL_SIZE = "Print labels at actual size (100 %), and try plain paper over a label sheet first."
KEPT = "paper/entries"
PAGE_HEIGHT = 842.0
"""Points; the higher of both papers."""

Papers = tuple[tuple[str, str, int, int], ...]
Made = tuple["EntriesRead", bytes, int]


class EntriesDialog(QDialog):
    """Prints the entries of these ids; what is previewed is what is saved or printed."""

    def __init__(self, desk: Desk, entry_ids: Sequence[int], parent: QWidget) -> None:
        super().__init__(parent)
        self.desk = desk
        self._ids = tuple(entry_ids)
        self.pdf = b""
        self.pages = 0
        self._number = 0
        self._read: EntriesRead | None = None
        self.setWindowTitle("Entries on paper")
        self.setAccessibleName("Entries on paper")
        self.resize(760, 720)
        self.strip = Strip()
        self.paper = Choice()
        self.paper.setAccessibleName("Paper or label sheet")
        self.paper.setSizeAdjustPolicy(Choice.SizeAdjustPolicy.AdjustToContents)
        self.first = Choice()
        self.first.setSizeAdjustPolicy(Choice.SizeAdjustPolicy.AdjustToContents)
        self.first.setAccessibleName("First free label, from the top left along the rows")
        self.first_name = label("First free label")
        self.first_name.setBuddy(self.first)
        self.hint = label(ACTUAL_SIZE, faint=True)
        self.hint.setWordWrap(True)
        self.page = PageView(desk.theme)
        self.counted = label("")
        self.out = PaperOut(desk, self)
        self._make_buttons()
        self._lay_out()
        self.out.said.connect(self.strip.say)
        self.out.went.connect(self._file)
        self.paper.activated.connect(lambda _place: self._paper_chosen())
        self.first.activated.connect(lambda _place: self.make())
        desk.jobs.long(lambda _p: _papers(), self, self._take_papers, self._failed, topic="label sheets")

    def _make_buttons(self) -> None:
        self.back = button("Back", lambda: self.turn_to(self._number - 1), tip="Page before")
        self.on = button("Next", lambda: self.turn_to(self._number + 1), tip="Next page")
        self.save = button("Save PDF…", self.out.ask_and_save)
        self.outside = button("Open PDF", self.out.open_outside, tip="Open in the system's viewer")
        self.print = button("Print…", self.out.ask_and_print, leading=True)
        self.leave = button("Close", self.reject)
        for each in (self.back, self.on, self.save, self.outside, self.print, self.leave):
            each.setAutoDefault(False)

    def _lay_out(self) -> None:
        row = FlowRow()
        for part in (
            label("Paper"),
            self.paper,
            self.first_name,
            self.first,
            self.back,
            self.counted,
            self.on,
        ):
            row.addWidget(part)
        self.area = QScrollArea()
        self.area.setAccessibleName("Page of the entries")
        self.area.setAlignment(Qt.AlignmentFlag.AlignHCenter | Qt.AlignmentFlag.AlignTop)
        self.area.setWidget(self.page)
        foot = QHBoxLayout()
        foot.addWidget(self.hint, 1)
        for each in (self.save, self.outside, self.print, self.leave):
            foot.addWidget(each)
        column = QVBoxLayout(self)
        column.addWidget(self.strip)
        column.addLayout(row)
        column.addWidget(self.area, 1)
        column.addLayout(foot)
        self._enable()

    # -- making ------------------------------------------------------------------------------------

    def _take_papers(self, papers: Papers) -> None:
        for key, name, rows, columns in papers:
            self.paper.addItem(name, (key, rows, columns))
        kept = str(self.desk.settings.value(KEPT, "letter"))
        keys = [each[0] for each in papers]
        self.paper.setCurrentIndex(keys.index(kept) if kept in keys else 0)
        self._paper_chosen()

    def _paper_chosen(self) -> None:
        key, rows, columns = self.paper.currentData()
        self.desk.settings.setValue(KEPT, key)
        self.first.clear()
        for place in range(rows * columns):
            row, column = divmod(place, columns)
            self.first.addItem(f"{place + 1}: row {row + 1}, column {column + 1}", place + 1)
        for part in (self.first, self.first_name, self.hint):
            part.setVisible(rows > 0)
        self.make()

    def make(self) -> None:
        """Draw the entries for the chosen paper, off the window's thread."""
        if self.paper.count() == 0:
            return
        paper, first = self.paper.currentData()[0], self.first.currentData() or 1
        ids, desk = self._ids, self.desk
        self.pdf = b""
        self._enable()

        def draw(_progress: object) -> Made:
            from annual_planner.paper.entries import print_entries
            from annual_planner.planning.entries_read import read_entries

            with desk.jobs.fleet.reading() as work:
                read = read_entries(work, desk.today, entry_ids=ids)
            made = BytesIO()
            pages = print_entries(read, made, paper=paper, first_label=first)
            return read, made.getvalue(), pages

        desk.jobs.long(draw, self, self._take, self._failed, topic="entries pdf", says="Drawing the entries")

    def _take(self, made: Made) -> None:
        self._read, self.pdf, self.pages = made
        read = self._read
        self.strip.put_away()
        self.out.pdf, self.out.pages = self.pdf, self.pages
        self.out.page_size = "a4" if self.paper.currentData()[0].startswith("a4") else "letter"
        self.out.name = f"{read.registration} entries {read.today.isoformat()}.pdf"
        self._number = min(self._number, self.pages - 1)
        self._show_page()

    def _file(self, way: str) -> None:
        """Keep what was printed or saved with the fleet, byte for byte: it can be told what went out."""
        from annual_planner.records.filing import FilePaper

        read = self._read
        if read is None or not self.desk.who.person.may_edit:
            return
        of = f"package {read.package}" if read.package else read.registration
        line = read.entries[0].line
        title = f"Entries of {of}, {way}: {self.paper.currentText()}"
        paper = FilePaper(
            title, self.pdf, self.pages, moment_of(self.desk), line.aircraft_id, line.package_id
        )
        self.desk.jobs.write(paper, self, failed=self._failed)

    # -- showing -----------------------------------------------------------------------------------

    def turn_to(self, number: int) -> None:
        """Show that page, from 0."""
        self._number = min(max(0, number), self.pages - 1)
        self._show_page()

    def _show_page(self) -> None:
        self._enable()
        if not self.pdf:
            return
        pdf, number, ratio = self.pdf, self._number, self.devicePixelRatioF()
        scale = max(0.5, (self.area.height() - 8) / PAGE_HEIGHT) * ratio
        self.desk.jobs.long(
            lambda _p: paper_jobs.page_picture(pdf, number, scale),
            self,
            lambda image: self._take_page(image, ratio),
            topic="entries page",
        )

    def _take_page(self, image: QImage, ratio: float) -> None:
        image.setDevicePixelRatio(ratio)
        self.page.take(image, f"Page {self._number + 1} of {self.pages}")

    def _enable(self) -> None:
        there = bool(self.pdf)
        self.counted.setText(f"Page {self._number + 1} of {self.pages}" if there else "No page yet")
        self.back.setEnabled(there and self._number > 0)
        self.on.setEnabled(there and self._number < self.pages - 1)
        for each in (self.save, self.outside, self.print):
            each.setEnabled(there)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Fit the page to the new height."""
        super().resizeEvent(event)
        self._show_page()

    def _failed(self, error: Exception) -> None:
        if isinstance(error, Refused):
            self.strip.refuse(error)
        else:
            self.strip.say("The entries could not be drawn. Nothing was lost.", "Try again.")


def _papers() -> Papers:
    from annual_planner.library.label_sheets import load_label_sheets

    labels = tuple((each.key, each.name, each.rows, each.columns) for each in load_label_sheets().values())
    return (*PLAIN, *labels)


def print_entries_of(desk: Desk, entry_ids: Sequence[int], parent: QWidget) -> None:
    """Open the dialog for these entries."""
    dialog = EntriesDialog(desk, entry_ids, parent)
    dialog.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
    dialog.open()
