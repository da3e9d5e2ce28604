"""The weeks on paper or as a spreadsheet, written off the window's thread."""

from __future__ import annotations

from collections.abc import Callable
from io import BytesIO
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, QStandardPaths
from PySide6.QtWidgets import QFileDialog

if TYPE_CHECKING:
    from PySide6.QtPrintSupport import QPrinter

    from annual_planner.desktop.weeks.page import WeeksPage
    from annual_planner.planning.shop_weeks.visits import WeeksAsked, WeeksPlan

KINDS = {".pdf": "PDF (*.pdf)", ".csv": "CSV (*.csv)"}


class WeeksOut(QObject):
    """Asks where to, then writes the plan that is shown."""

    def __init__(self, page: WeeksPage) -> None:
        super().__init__(page)
        self._page = page

    def print_weeks(self) -> None:
        """Ask for a printer and print the weeks, laid across."""
        from annual_planner.desktop.printer import ask_printer

        printer = ask_printer(self._page, "shop weeks", self._size(), across=True)
        if printer is not None:
            self.print_on(printer)

    def print_on(self, printer: QPrinter) -> None:
        """Print the plan on that printer."""
        from annual_planner.desktop.printer import printed

        page, make = self._page, self._maker()
        if make is not None:
            page.desk.jobs.long(
                lambda progress: printed(make, printer, progress),
                self, page.strip.say, page.failed, topic="out", says="Printing the weeks",
            )  # fmt: skip

    def _size(self) -> str:
        return str(self._page.desk.settings.value("paper/size", "letter"))

    def _maker(self) -> Callable[[], bytes] | None:
        """Makes the paper of the plan shown now; None where there is no plan."""
        seen, desk = self._page.seen, self._page.desk
        put = seen.shown.put if seen is not None else None
        if seen is None or put is None:
            return None
        left_out = seen.found.left_out if seen.found is not None else ()
        size, today, demo = self._size(), desk.today, seen.demo

        def make() -> bytes:
            from annual_planner.paper.shop_weeks import shop_weeks_pdf

            made = BytesIO()
            shop_weeks_pdf(put.asked, put.plan, left_out, made, today=today, page_size=size, demo=demo)
            return made.getvalue()

        return make

    def export(self) -> None:
        """Ask where the file goes, and as what."""
        folder = QStandardPaths.writableLocation(QStandardPaths.StandardLocation.DocumentsLocation)
        name = str(Path(folder) / f"shop weeks {self._page.desk.today.isoformat()}.pdf")
        path, chosen = QFileDialog.getSaveFileName(
            self._page, "Save the weeks as a file", name, ";;".join(KINDS.values())
        )
        if path:
            kind = next((kind for kind, words in KINDS.items() if words == chosen), ".pdf")
            self.write(Path(path) if Path(path).suffix.lower() in KINDS else Path(f"{path}{kind}"))

    def write(self, path: Path) -> None:
        """Write the plan; the file's ending says as what."""
        page = self._page
        seen = page.seen
        put = seen.shown.put if seen is not None else None
        if seen is None or put is None:
            return
        left_out = seen.found.left_out if seen.found is not None else ()
        today, demo = page.desk.today, seen.demo
        size = str(page.desk.settings.value("paper/size", "letter"))

        def work(_progress: object) -> str:
            if path.suffix.lower() == ".csv":
                return _as_table(put.asked, put.plan, path)
            from annual_planner.paper.shop_weeks import shop_weeks_pdf

            pages = shop_weeks_pdf(
                put.asked, put.plan, left_out, path, today=today, page_size=size, demo=demo
            )
            return f"{pages} pages"

        def done(said: str) -> None:
            page.strip.say(f"Saved as {path.name}: {said}.", str(path.parent))

        page.desk.jobs.long(work, self, done, page.failed, topic="out", says="Writing the weeks")


def _as_table(asked: WeeksAsked, plan: WeeksPlan, path: Path) -> str:
    from annual_planner.exchange.shop_weeks import WEEKS_HEADINGS, week_rows
    from annual_planner.exchange.tables import as_csv

    rows = week_rows(asked, plan)
    path.write_text(as_csv(WEEKS_HEADINGS, rows), encoding="utf-8-sig", newline="")
    return f"{len(rows)} visits"
