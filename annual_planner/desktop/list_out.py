"""Any list as a file for a spreadsheet: all its rows, as filtered and sorted, in the columns shown."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from contextlib import closing
from pathlib import Path
from typing import TYPE_CHECKING, Any

from PySide6.QtCore import QStandardPaths
from PySide6.QtWidgets import QFileDialog

from annual_planner.desktop.cells import cell_of
from annual_planner.desktop.columns import Column
from annual_planner.desktop.progress import Progress
from annual_planner.desktop.widgets import Strip

if TYPE_CHECKING:
    from annual_planner.desktop.listing import AnyListing
    from annual_planner.desktop.source import Batches
    from annual_planner.exchange.tables import Cell

KINDS = {".xlsx": "Workbook (*.xlsx)", ".csv": "CSV (*.csv)"}


def ask_and_export(listing: AnyListing, strip: Strip) -> None:
    """Ask where to, then write the list there."""
    today, folder = listing.desk.today, QStandardPaths.StandardLocation.DocumentsLocation
    name = Path(QStandardPaths.writableLocation(folder)) / f"{listing.what} {today.isoformat()}.xlsx"
    path, kind = QFileDialog.getSaveFileName(
        listing, "Save the whole list for a spreadsheet", str(name), ";;".join(KINDS.values())
    )
    if path:
        export(listing, with_ending(Path(path), kind), strip)


def with_ending(path: Path, kind: str) -> Path:
    """The path with an ending that says how it is written; `kind` is the filter chosen in the dialog.

    >>> with_ending(Path("fleet"), "CSV (*.csv)").name, with_ending(Path("fleet.CSV"), "").name
    ('fleet.csv', 'fleet.CSV')
    """
    if path.suffix.lower() in KINDS:
        return path
    ending = next((ending for ending, words in KINDS.items() if words == kind), ".xlsx")
    return Path(f"{path}{ending}")


def export(listing: AnyListing, path: Path, strip: Strip) -> None:
    """Write all rows of the list, as searched, filtered and sorted, off the window's thread."""
    columns, what = listing.view.shown_columns, listing.what
    batches = listing.table.batches()

    def work(progress: Progress) -> int:
        from annual_planner.exchange.lists import ListHead, write_list

        headings = tuple(column.heading or column.key for column in columns)
        head = ListHead(what.capitalize(), headings, tuple(column.width + 2 for column in columns))
        counter = Counter(progress)
        with closing(batches):
            write_list(path, head, counter.cells(columns, batches))
        return counter.written

    def done(count: int) -> None:
        from annual_planner.desktop.listing import counted

        strip.say(f"Saved as {path.name}: {counted(count, what)}.", str(path.parent))

    def failed(error: Exception) -> None:
        from annual_planner.trade.refused import Refused

        if isinstance(error, Refused):
            strip.refuse(error)

    listing.desk.jobs.long(work, listing, done, failed, topic="export", says=f"Writing the list of {what}")


class Counter:
    """Turns rows into cells and says how far it is; the progress stops it where a person cancels."""

    def __init__(self, progress: Progress) -> None:
        self._progress = progress
        self.written = 0

    def cells(self, columns: Sequence[Column[Any]], batches: Batches) -> Iterator[list[Cell]]:
        """Each row's cells in turn."""
        for batch in batches:
            self._progress(self.written, max(1, batch.total))
            for row in batch.rows:
                yield [cell_of(column, row) for column in columns]
            self.written += len(batch.rows)
