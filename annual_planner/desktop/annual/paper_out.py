"""What becomes of the paper that was looked at: saved, opened in the system's viewer, printed."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtCore import QObject, QStandardPaths, QTemporaryDir, QUrl, Signal
from PySide6.QtGui import QDesktopServices
from PySide6.QtWidgets import QFileDialog, QWidget

from annual_planner.desktop.annual import paper_jobs
from annual_planner.desktop.desk import Desk
from annual_planner.desktop.printer import ask_printer
from annual_planner.planning.package_view import PackageView
from annual_planner.trade.refused import Refused


class PaperOut(QObject):
    """Takes the PDF as it was previewed; nothing is drawn anew."""

    said = Signal(str, str)
    """Something to say at the top of the page, and a remedy."""
    went = Signal(str)
    """The paper was 'saved' or 'printed'."""

    def __init__(self, desk: Desk, pane: QWidget) -> None:
        super().__init__(pane)
        self._desk = desk
        self._pane = pane
        self._folder: QTemporaryDir | None = None
        self.view: PackageView | None = None
        self.pdf = b""
        self.page_size = "letter"
        self.pages = 0
        """How many pages the paper has; 0: not known."""
        self.name = ""
        """A name of its own for the file, where the paper isn't a package's."""

    def file_name(self) -> str:
        """A name by airplane and day."""
        if self.name:
            return self.name
        if self.view is None:
            return "annual.pdf"
        package = self.view.package
        return f"{package.registration} annual {package.start_on.isoformat()}.pdf"

    def ask_and_save(self) -> None:
        """Ask for a place and save the PDF there."""
        folder = QStandardPaths.writableLocation(QStandardPaths.StandardLocation.DocumentsLocation)
        name = str(Path(folder) / self.file_name())
        path, _ = QFileDialog.getSaveFileName(self._pane, "Save the paper", name, "PDF (*.pdf)")
        if path:
            self.save_to(Path(path if path.lower().endswith(".pdf") else f"{path}.pdf"))

    def save_to(self, path: Path) -> None:
        """Save the PDF there."""
        pdf = self.pdf
        self._desk.jobs.long(
            lambda _p: paper_jobs.save_pdf(pdf, path),
            self,
            self._saved,
            self._tell,
            topic="save",
            says="Saving the PDF",
        )

    def _saved(self, path: Path) -> None:
        self.went.emit("saved")
        self.said.emit(f"Saved as {path.name}.", str(path.parent))

    def open_outside(self) -> None:
        """Open the PDF in the system's viewer."""
        if self._folder is None:
            self._folder = QTemporaryDir()
        path, pdf = Path(self._folder.path()) / self.file_name(), self.pdf
        self._desk.jobs.long(
            lambda _p: paper_jobs.save_pdf(pdf, path),
            self,
            self._show_outside,
            self._tell,
            topic="open",
            says="Opening the PDF",
        )

    def _show_outside(self, path: Path) -> None:
        if not QDesktopServices.openUrl(QUrl.fromLocalFile(str(path))):
            self.said.emit("No viewer for PDF files answered.", "Save the PDF and open it by hand.")

    def ask_and_print(self) -> None:
        """Ask for a printer and print what is seen."""
        printer = ask_printer(self._pane, self.file_name(), self.page_size, pages=self.pages)
        if printer is not None:
            pdf = self.pdf
            self._desk.jobs.long(
                lambda progress: paper_jobs.print_pdf(pdf, printer, progress),
                self,
                self._printed,
                self._tell,
                topic="print",
                says="Printing",
            )

    def _printed(self, pages: int) -> None:
        self.went.emit("printed")
        self.said.emit(f"{pages} page{'' if pages == 1 else 's'} went to the printer.", "")

    def _tell(self, error: Exception) -> None:
        said = error.said if isinstance(error, Refused) else "That didn't work."
        self.said.emit(said, error.remedy if isinstance(error, Refused) else "Nothing was lost; try again.")
