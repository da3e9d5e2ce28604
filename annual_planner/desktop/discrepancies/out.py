"""The list as it is shown, printed or as a file, off the window's thread."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from io import BytesIO
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, QStandardPaths
from PySide6.QtWidgets import QFileDialog

from annual_planner.desktop.discrepancies.words import counted_words

if TYPE_CHECKING:
    from PySide6.QtPrintSupport import QPrinter

    from annual_planner.desktop.discrepancies.page import DiscrepanciesPage
    from annual_planner.store.review_rows import ReviewLine

AT_ONCE = 500
"""Rows read by one question."""
KINDS = {".pdf": "PDF (*.pdf)", ".xlsx": "Workbook (*.xlsx)", ".csv": "CSV (*.csv)"}


class ListOut(QObject):
    """Asks where to, then writes what the filters show."""

    def __init__(self, page: DiscrepanciesPage) -> None:
        super().__init__(page)
        self._page = page

    def print_list(self) -> None:
        """Ask for a printer and print the list, laid across."""
        from annual_planner.desktop.printer import ask_printer

        printer = ask_printer(self._page, "list of discrepancies", self._size(), across=True)
        if printer is not None:
            self.print_on(printer)

    def print_on(self, printer: QPrinter) -> None:
        """Print the list on that printer."""
        from annual_planner.desktop.printer import printed

        page, read = self._page, self._reader()
        page.desk.jobs.long(
            lambda progress: printed(lambda: self._pdf(*read()), printer, progress),
            self, page.strip.say, page.failed, topic="out", says="Printing the list",
        )  # fmt: skip

    def export(self) -> None:
        """Ask where the file goes, and as what."""
        self._ask("Save the list as a file", (".pdf", ".xlsx", ".csv"))

    def _ask(self, title: str, kinds: tuple[str, ...]) -> None:
        folder = QStandardPaths.writableLocation(QStandardPaths.StandardLocation.DocumentsLocation)
        name = f"discrepancies {self._page.desk.today.isoformat()}{kinds[0]}"
        filters = ";;".join(KINDS[kind] for kind in kinds)
        path, chosen = QFileDialog.getSaveFileName(self._page, title, str(Path(folder) / name), filters)
        if path:
            ending = next((kind for kind in kinds if KINDS[kind] == chosen), kinds[0])
            known = Path(path).suffix.lower() in kinds
            self.write(Path(path) if known else Path(f"{path}{ending}"))

    def write(self, path: Path) -> None:
        """Write the list; its ending says as what."""
        page, read, today = self._page, self._reader(), self._page.desk.today

        def work(_progress: object) -> int:
            from annual_planner.exchange.review import review_csv, review_xlsx
            from annual_planner.paper.target import check_target, write_whole

            lines, demo = read()
            if path.suffix.lower() == ".pdf":
                check_target(path)
                write_whole(path, self._pdf(lines, demo))
            elif path.suffix.lower() == ".csv":
                path.write_text(review_csv(lines, today), encoding="utf-8-sig", newline="")
            else:
                path.write_bytes(review_xlsx(lines, today))
            return len(lines)

        def done(count: int) -> None:
            page.strip.say(f"Saved as {path.name}: {counted_words(count)}.", str(path.parent))

        page.desk.jobs.long(work, self, done, page.failed, topic="out", says="Writing the list")

    def _reader(self) -> Callable[[], tuple[list[ReviewLine], bool]]:
        """Reads, off the window's thread, what the filters show now, and whether it is the sample."""
        asked, jobs = self._page.review.question(), self._page.desk.jobs

        def read() -> tuple[list[ReviewLine], bool]:
            from annual_planner.store.discrepancy_reads import review_ids, review_lines
            from annual_planner.store.fleet_reads import fleet_fact

            with jobs.fleet.reading() as work:
                ids = review_ids(work, **asked)
                parts = (ids[at : at + AT_ONCE] for at in range(0, len(ids), AT_ONCE))
                lines = [line for part in parts for line in review_lines(work, part)]
                return lines, fleet_fact(work, "demo") == "yes"

        return read

    def _pdf(self, lines: Sequence[ReviewLine], demo: bool) -> bytes:
        from annual_planner.paper.review import review_pdf

        desk, made = self._page.desk, BytesIO()
        review_pdf(lines, made, today=desk.today, page_size=self._size(), demo=demo)
        return made.getvalue()

    def _size(self) -> str:
        return str(self._page.desk.settings.value("paper/size", "letter"))
