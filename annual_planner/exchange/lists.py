"""A whole list as a file for a spreadsheet."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from pathlib import Path

from annual_planner.exchange.tables import Cell, write_csv
from annual_planner.exchange.workbook import write_workbook
from annual_planner.trade.refused import Refused


@dataclass(frozen=True, slots=True)
class ListHead:
    """What stands over the rows: the list's name, its headings, and the widths of its columns in letters."""

    title: str
    headings: tuple[str, ...]
    widths: tuple[float, ...]


def write_list(path: Path, head: ListHead, rows: Iterable[Sequence[Cell]]) -> None:
    """Write the rows to a workbook or, by the ending of `path`, a CSV file.

    A file that stands there is replaced only when all is written. Raises Refused where it can't be written.
    """
    beside = path.with_name(f"{path.name}.part")
    try:
        if path.suffix.lower() == ".csv":
            # With a byte order mark: spreadsheets then read the letters rightly.
            with beside.open("w", encoding="utf-8-sig", newline="") as out:
                write_csv(out, head.headings, rows)
        else:
            with beside.open("wb") as book:
                write_workbook(book, head.title, head.headings, rows, head.widths)
        beside.replace(path)
    except OSError as error:
        reason = error.strerror or str(error)
        raise Refused(
            f"{path.name} could not be written: {reason}.",
            "Close it where it is open, or choose another folder.",
        ) from error
    finally:
        beside.unlink(missing_ok=True)
