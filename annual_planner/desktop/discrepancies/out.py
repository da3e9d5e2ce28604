"""The list as it is shown, on paper or as a spreadsheet, written off the window's thread."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, QStandardPaths
from PySide6.QtWidgets import QFileDialog

from annual_planner.desktop.discrepancies.words import counted_words

if TYPE_CHECKING:
    from annual_planner.desktop.discrepancies.page import DiscrepanciesPage

KINDS = {".pdf": "PDF (*.pdf)", ".xlsx": "Workbook (*.xlsx)", ".csv": "CSV (*.csv)"}


class ListOut(QObject):
    """Asks where to, then writes what the filters show."""

    def __init__(self, page: DiscrepanciesPage) -> None:
        super().__init__(page)
        self._page = page

    def print_list(self) -> None:
        """Ask where the paper goes."""
        self._ask("Save the list on paper", (".pdf",))

    def export(self) -> None:
        """Ask where the spreadsheet goes."""
        self._ask("Save the list as a spreadsheet", (".xlsx", ".csv"))

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
        page = self._page
        asked = page.question()
        jobs, today = page.desk.jobs, page.desk.today
        size = str(page.desk.settings.value("paper/size", "letter"))

        def work(_progress: object) -> int:
            from annual_planner.exchange.review import review_csv, review_xlsx
            from annual_planner.paper.review import review_pdf
            from annual_planner.store.discrepancy_reads import review_ids, review_lines

            with jobs.fleet.reading() as reading:
                ids = review_ids(reading, **asked)
                lines = [
                    line
                    for at in range(0, len(ids), 500)
                    for line in review_lines(reading, ids[at : at + 500])
                ]
            if path.suffix.lower() == ".pdf":
                review_pdf(lines, path, today=today, page_size=size)
            elif path.suffix.lower() == ".csv":
                path.write_text(review_csv(lines, today), encoding="utf-8-sig", newline="")
            else:
                path.write_bytes(review_xlsx(lines, today))
            return len(lines)

        def done(count: int) -> None:
            page.strip.say(f"Saved as {path.name}: {counted_words(count)}.", str(path.parent))

        jobs.long(work, self, done, page.failed, topic="out", says="Writing the list")
