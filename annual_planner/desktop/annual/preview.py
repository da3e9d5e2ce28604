"""The paper as it will be printed: made off the window's thread, seen before it is saved or printed."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt
from PySide6.QtGui import QImage, QKeyEvent, QResizeEvent
from PySide6.QtWidgets import (
    QComboBox,
    QProgressBar,
    QPushButton,
    QScrollArea,
    QStackedWidget,
    QVBoxLayout,
    QWidget,
)

from annual_planner.desktop.annual import paper_jobs
from annual_planner.desktop.annual.pages import PageView
from annual_planner.desktop.annual.paper_out import PaperOut
from annual_planner.desktop.desk import Desk
from annual_planner.desktop.fields import Choice
from annual_planner.desktop.flow import FlowRow
from annual_planner.desktop.progress import Progress
from annual_planner.desktop.widgets import Blank, button, label
from annual_planner.planning.package_view import PackageView
from annual_planner.trade.refused import Refused

if TYPE_CHECKING:
    from annual_planner.paper.preview import PagePart

PAPERS = (("package", "whole package"), ("owner", "preparation list"))
SIZES = (("letter", "Letter"), ("a4", "A4"))
POINTS = {"letter": (612.0, 792.0), "a4": (595.3, 841.9)}
"""Width and height of a sheet."""
WIDE, WHOLE = 0.0, -1.0
ZOOMS = ((1.0, "100 %"), (WHOLE, "whole page"), (WIDE, "as wide as here"), (1.5, "150 %"), (2.0, "200 %"))
SCREEN_DOTS = 96 / 72
"""Pixels a point at 100 %."""


class PreviewPane(QWidget):
    """Page by page; Page Up and Page Down turn the pages."""

    def __init__(self, desk: Desk) -> None:
        super().__init__()
        self.setAccessibleName("Print preview")
        self._desk = desk
        self._view: PackageView | None = None
        self._made_of: tuple[PackageView, str, str] | None = None
        self._pdf = b""
        self._pages = 0
        self._number = 0
        self._running: Progress | None = None
        self.out = PaperOut(desk, self)
        self.which_box = self._choice("What is printed", PAPERS)
        self.size_box = self._choice("Paper size", SIZES)
        self.zoom_box = self._choice("Zoom", ZOOMS)
        self.part_box = self._choice("Go to a part of the paper", ())
        self.part_box.setMinimumContentsLength(20)
        self.page = PageView(desk.theme)
        self.blank = Blank()
        self.bar = QProgressBar()
        self.bar.setAccessibleName("Pages drawn")
        self.counted = label("")
        self._make_buttons()
        self._lay_out()
        self.size_box.setCurrentIndex(1 if str(desk.settings.value("paper/size", "letter")) == "a4" else 0)
        self.which_box.currentIndexChanged.connect(lambda _at: self.make())
        self.size_box.currentIndexChanged.connect(self._resized)
        desk.who.changed.connect(self._for_person)
        self._for_person()
        self.zoom_box.currentIndexChanged.connect(self._show_page)
        self.part_box.activated.connect(lambda _at: self.turn_to(self.part_box.currentData()))
        self.out.went.connect(self._note)
        desk.jobs.running.connect(self._follow_progress)
        self._enable()

    # -- putting together ----------------------------------------------------------------------------

    def _choice(self, name: str, offered: tuple[tuple[object, str], ...]) -> QComboBox:
        box = Choice()
        box.setAccessibleName(name)
        box.setToolTip(name)
        for value, words in offered:
            box.addItem(words, value)
        return box

    def _make_buttons(self) -> None:
        self.first = button("First", lambda: self.turn_to(0), tip="First page (Home)")
        self.back = button("Back", lambda: self.turn_to(self._number - 1), tip="Page before (Page Up)")
        self.on = button("Next", lambda: self.turn_to(self._number + 1), tip="Next page (Page Down)")
        self.last = button("Last", lambda: self.turn_to(self._pages - 1), tip="Last page (End)")
        self.save = button("Save PDF…", self.out.ask_and_save, tip="Save the paper as a PDF file")
        self.open = button("Open PDF", self.out.open_outside, tip="Open the paper in the system's viewer")
        self.print = button("Print…", self.out.ask_and_print, tip="Print these pages", leading=True)
        self.cancel = button("Cancel", self.stop)

    def _lay_out(self) -> None:
        row = FlowRow()
        parts: list[QWidget] = [
            self.which_box,
            label("Paper"),
            self.size_box,
            label("Zoom"),
            self.zoom_box,
            self.part_box,
            self.first,
            self.back,
            self.counted,
            self.on,
            self.last,
            self.save,
            self.open,
            self.print,
        ]
        for part in parts:
            row.addWidget(part)
        self.area = QScrollArea()
        self.area.setAccessibleName("Page of the paper")
        self.area.setAlignment(Qt.AlignmentFlag.AlignHCenter | Qt.AlignmentFlag.AlignTop)
        self.area.setWidget(self.page)
        self._waiting = QWidget()
        self._waiting.setAccessibleName("The paper is being drawn")
        inner = QVBoxLayout(self._waiting)
        inner.addStretch(2)
        for widget in (label("Drawing the paper …", section=True), self.bar, self.cancel):
            inner.addWidget(widget, 0, Qt.AlignmentFlag.AlignHCenter)
        inner.addStretch(3)
        self.bar.setMinimumWidth(220)
        self._stack = QStackedWidget()
        self._stack.setAccessibleName("The paper, or how far it is")
        for shown in (self.blank, self._waiting, self.area):
            self._stack.addWidget(shown)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 6, 0, 0)
        column.addLayout(row)
        column.addWidget(self._stack, 1)

    # -- making -----------------------------------------------------------------------------------------

    @property
    def page_size(self) -> str:
        """'letter' or 'a4'."""
        return str(self.size_box.currentData())

    @property
    def which(self) -> paper_jobs.WhichPaper:
        """What is printed."""
        return "owner" if self.which_box.currentData() == "owner" else "package"

    def show_paper(self, which: paper_jobs.WhichPaper) -> None:
        """Show the whole package, or the owner's preparation list alone."""
        self.which_box.setCurrentIndex(self.which_box.findData(which))

    def _for_person(self) -> None:
        """An owner takes the list home; whoever does the work wants all of it."""
        self.show_paper("package" if self._desk.who.person.may_edit else "owner")

    def take(self, view: PackageView) -> None:
        """There is another package, or it changed; draw it anew when it is looked at."""
        self._view = view
        if self.isVisible():
            self.make()

    def make(self) -> None:
        """Draw the paper, unless what is shown is still right."""
        view, size, which = self._view, self.page_size, self.which
        if view is None or not self.isVisible() or self._made_of == (view, size, which):
            return
        self._pdf, self._made_of = b"", None
        self._stack.setCurrentWidget(self._waiting)
        self.bar.setRange(0, 0)
        self._enable()
        self._running = self._desk.jobs.long(
            lambda progress: _drawn(view, size, which, progress),
            self,
            lambda made: self._take_pdf(view, (size, which), *made),
            self._failed,
            topic="pdf",
            says="Drawing the paper",
        )

    def stop(self) -> None:
        """Stop drawing; nothing half-done stays."""
        if self._running is not None:
            self._running.cancel()
            self._running = None
        self.blank.show_state("The paper was not drawn", "You stopped it.", "Draw it", self.make)
        self._stack.setCurrentWidget(self.blank)

    def _take_pdf(
        self, view: PackageView, how: tuple[str, str], pdf: bytes, pages: int, parts: Sequence[PagePart]
    ) -> None:
        self._running, self._made_of, self._pdf, self._pages = None, (view, *how), pdf, pages
        self.out.view, self.out.pdf, self.out.pages, self.out.page_size = view, pdf, pages, how[0]
        package = view.package
        self.out.name = (
            f"{package.registration} preparation list {package.start_on.isoformat()}.pdf"
            if how[1] == "owner"
            else ""
        )
        self._number = min(self._number, pages - 1)
        self.part_box.clear()
        for part in parts:
            self.part_box.addItem(f"    {part.title}" if part.within else part.title, part.page)
        self._stack.setCurrentWidget(self.area)
        self._show_page()

    def _note(self, way: str) -> None:
        """Write in the trail that this paper left the program."""
        from annual_planner.records.filing import NotePaper

        view = self.out.view
        if view is not None and self._desk.who.person.may_edit:
            package = view.package
            what = "preparation list of" if self.which == "owner" else "package"
            edit = NotePaper(f"{what} {package.number}", self.out.pdf, self._pages, way, package.package_id,
                             view.aircraft.aircraft_id)  # fmt: skip
            self._desk.jobs.write(edit, self)

    def _failed(self, error: Exception) -> None:
        self._running = None
        said = error.said if isinstance(error, Refused) else "The paper could not be drawn"
        remedy = error.remedy if isinstance(error, Refused) else "Nothing was lost."
        self.blank.show_state(said, remedy, "Try again", self.make)
        self._stack.setCurrentWidget(self.blank)

    def _follow_progress(self) -> None:
        running = self._running
        if running is not None and running.total:
            self.bar.setRange(0, running.total)
            self.bar.setValue(running.done)

    def _resized(self) -> None:
        self._desk.settings.setValue("paper/size", self.page_size)
        self.make()

    # -- showing ----------------------------------------------------------------------------------------

    def turn_to(self, number: int) -> None:
        """Show that page, from 0."""
        if self._pages:
            self._number = min(max(0, number), self._pages - 1)
            self._show_page()
            self.area.verticalScrollBar().setValue(0)

    def _show_page(self) -> None:
        self._enable()
        if not self._pdf:
            return
        pdf, number = self._pdf, self._number
        ratio = self.devicePixelRatioF()
        scale = self._scale() * ratio
        self._desk.jobs.long(
            lambda _p: paper_jobs.page_picture(pdf, number, scale),
            self,
            lambda image: self._take_page(image, ratio, number),
            topic="page",
            says="Drawing a page",
        )

    def _scale(self) -> float:
        zoom = float(self.zoom_box.currentData())
        if zoom > 0:
            return zoom * SCREEN_DOTS
        wide, high = POINTS[self.page_size]
        room = self.area.contentsRect()
        bar = self.area.verticalScrollBar().sizeHint().width()
        share = (room.width() - bar - 6) / wide if zoom == WIDE else (room.height() - 6) / high
        return min(2.0 * SCREEN_DOTS, max(0.3, share))

    def _take_page(self, image: QImage, ratio: float, number: int) -> None:
        image.setDevicePixelRatio(ratio)
        self.page.take(image, f"Page {number + 1} of {self._pages}")

    def _enable(self) -> None:
        there = bool(self._pdf)
        self.counted.setText(f"Page {self._number + 1} of {self._pages}" if there else "No page yet")
        moves: tuple[tuple[QPushButton, bool], ...] = (
            (self.first, self._number > 0),
            (self.back, self._number > 0),
            (self.on, self._number < self._pages - 1),
            (self.last, self._number < self._pages - 1),
        )
        for widget, can in moves:
            widget.setEnabled(there and can)
        for widget in (self.save, self.open, self.print):
            widget.setEnabled(there)
        self.part_box.setEnabled(there)
        if self.part_box.currentData() != self._number:
            begun = [at for at in range(self.part_box.count()) if self.part_box.itemData(at) <= self._number]
            self.part_box.setCurrentIndex(begun[-1] if begun else -1)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Fit the page to the new width."""
        super().resizeEvent(event)
        if self._pdf and float(self.zoom_box.currentData()) <= 0:
            self._show_page()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Page keys turn pages."""
        to = {
            Qt.Key.Key_PageDown: self._number + 1,
            Qt.Key.Key_PageUp: self._number - 1,
            Qt.Key.Key_Home: 0,
            Qt.Key.Key_End: self._pages - 1,
        }.get(Qt.Key(event.key()))
        if to is None:
            super().keyPressEvent(event)
        else:
            self.turn_to(to)


def _drawn(
    view: PackageView, size: str, which: paper_jobs.WhichPaper, progress: Progress
) -> tuple[bytes, int, Sequence[PagePart]]:
    """The paper as a PDF, how many pages it has, and its parts."""
    made = paper_jobs.make_pdf(view, size, progress, which)
    return made, paper_jobs.pages_of(made), paper_jobs.parts_of(made)
