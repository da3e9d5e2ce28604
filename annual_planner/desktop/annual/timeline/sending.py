"""The plan as files: asks where to, and writes off the window's thread."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject
from PySide6.QtGui import QPageLayout
from PySide6.QtWidgets import QFileDialog

from annual_planner.desktop.annual.timeline.out import print_paper, save_calendars, save_paper
from annual_planner.desktop.printer import ask_printer
from annual_planner.desktop.progress import Progress

if TYPE_CHECKING:
    from PySide6.QtPrintSupport import QPrinter

    from annual_planner.desktop.annual.timeline.tab import Timeline


class Sending(QObject):
    """Calendars and paper of the plan that is shown."""

    def __init__(self, tab: Timeline) -> None:
        super().__init__(tab)
        self.tab = tab

    def save_calendars(self) -> None:
        """Ask for a folder and save a calendar file for each person there."""
        if self.tab.plan is None:
            return
        folder = QFileDialog.getExistingDirectory(self.tab, "Folder for the calendar files")
        if folder:
            self.calendars_to(Path(folder))

    def calendars_to(self, folder: Path) -> None:
        """Save a calendar file for each person in a folder."""
        seen, plan = self.tab.seen, self.tab.plan
        if seen is not None and plan is not None:
            made_at = datetime.now().astimezone()
            self._send(lambda _progress: save_calendars(seen, plan, folder, made_at), "Writing calendars")

    def save_paper(self) -> None:
        """Ask for a place and save the plan as a PDF there."""
        if self.tab.plan is None:
            return
        path, _ = QFileDialog.getSaveFileName(self.tab, "Save the plan", "work plan.pdf", "PDF (*.pdf)")
        if path:
            self.paper_to(Path(path if path.lower().endswith(".pdf") else f"{path}.pdf"))

    def paper_to(self, path: Path) -> None:
        """Save the plan as a PDF."""
        seen, plan, today, size = self.tab.seen, self.tab.plan, self.tab.desk.today, self._page_size
        if seen is not None and plan is not None:
            self._send(lambda _progress: save_paper(seen, plan, path, today, size), "Drawing the plan")

    def print_paper(self) -> None:
        """Ask for a printer and print the plan, laid across."""
        if self.tab.plan is None:
            return
        printer = ask_printer(self.tab, "work plan", self._page_size, across=True)
        if printer is not None:
            self.print_on(printer)

    def print_on(self, printer: QPrinter) -> None:
        """Print the plan on that printer."""
        seen, plan, today, size = self.tab.seen, self.tab.plan, self.tab.desk.today, self._page_size
        printer.setPageOrientation(QPageLayout.Orientation.Landscape)
        if seen is not None and plan is not None:
            self._send(lambda progress: print_paper(seen, plan, printer, today, size, progress), "Printing")

    @property
    def _page_size(self) -> str:
        return str(self.tab.desk.settings.value("paper/size", "letter"))

    def _send(self, work: Callable[[Progress], str], says: str) -> None:
        page = self.tab.page
        self.tab.desk.jobs.long(work, self, page.strip.say, page.failed, topic="out", says=says)
