"""Rows copied from a spreadsheet read as meter readings, or what is wrong with each of them."""

from __future__ import annotations

import csv
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date

from annual_planner.desktop.typed import read_count, read_day, read_decimal
from annual_planner.records.many_readings import NewReading
from annual_planner.trade.refused import Refused

MOST_ROWS = 2_000
HEADINGS = {
    "read_on": ("date", "day", "read on", "on"),
    "meter_hours": ("reading", "hours", "meter (h)", "meter hours", "meter shows", "shows"),
    "meter": ("meter", "which meter", "kind"),
    "landings": ("landings", "landings in all"),
    "note": ("note", "notes", "remark", "remarks"),
}
"""Words over a column by which it is known, in small letters; a column under another word is left out."""
WITHOUT_HEADINGS = {
    2: ("read_on", "meter_hours"),
    3: ("read_on", "meter", "meter_hours"),
    4: ("read_on", "meter", "meter_hours", "landings"),
    5: ("read_on", "meter", "meter_hours", "landings", "note"),
}
"""The columns where none has a heading, by how many there are."""
_YEAR = re.compile(r"[0-9]{4}")
_MIDNIGHT = re.compile(r"[ T]0?0:00(:00)?$")


@dataclass(frozen=True, slots=True)
class PastedRow:
    """One row as it was pasted, and as it was read."""

    line: int
    """Of the spreadsheet's rows that were copied, from 1."""
    cells: Mapping[str, str]
    reading: NewReading | None = None
    fault: str = ""
    """Why it can't be taken; empty while nothing speaks against it."""
    stands: bool = False

    @property
    def word(self) -> str:
        """What becomes of it."""
        return "refused" if self.fault else ("stands already" if self.stands else "new")

    def looked_at(self, refused: str, stands: bool) -> PastedRow:
        """The row with what the fleet says of it."""
        return replace(self, fault=refused, stands=stands)


def pasted_rows(text: str, today: date) -> tuple[PastedRow, ...]:
    r"""The rows of tab-separated text, empty ones left out. Raises Refused where they can't be readings.

    >>> [row.word for row in pasted_rows("2026-03-01\t1515.2\nlater\t1516", date(2026, 5, 4))]
    ['new', 'refused']
    """
    lines = [(number, cells) for number, cells in enumerate(_lines(text), 1) if any(cells)]
    if not lines:
        raise Refused("There are no rows on the clipboard.", "Copy the rows in the spreadsheet, then paste.")
    if len(lines) > MOST_ROWS:
        raise Refused(f"{len(lines)} rows are too many at once.", f"Paste up to {MOST_ROWS} at a time.")
    named = _named(lines[0][1])
    fields = named or _unnamed(max(len(cells) for _, cells in lines))
    return tuple(_row(number, fields, cells, today) for number, cells in (lines[1:] if named else lines))


def _lines(text: str) -> list[list[str]]:
    rows = csv.reader(text.splitlines(keepends=True), delimiter="\t")
    return [[cell.strip().removeprefix("'") for cell in row] for row in rows]


def _named(cells: Sequence[str]) -> tuple[str, ...]:
    """The field of each column by the words over it; nothing where the first row is no headings."""
    known = {word: field for field, words in HEADINGS.items() for word in words}
    found = tuple(known.get(cell.casefold(), "") for cell in cells)
    return found if {"read_on", "meter_hours"} <= set(found) else ()


def _unnamed(wide: int) -> tuple[str, ...]:
    if wide not in WITHOUT_HEADINGS:
        raise Refused(
            f"Rows of {wide} columns can't be told apart.",
            "Copy the columns date, meter and reading, or copy their headings too.",
        )
    return WITHOUT_HEADINGS[wide]


def _row(line: int, fields: Sequence[str], cells: Sequence[str], today: date) -> PastedRow:
    of = {field: cell for field, cell in zip(fields, cells, strict=False) if field}
    row = PastedRow(line, of)
    try:
        return replace(row, reading=_reading(of, today))
    except Refused as refused:
        return replace(row, fault=f"{refused.said} {refused.remedy}".strip())


def _reading(of: Mapping[str, str], today: date) -> NewReading:
    landings = of.get("landings", "")
    return NewReading(
        _day(of.get("read_on", ""), today),
        read_decimal(of.get("meter_hours", "")),
        of.get("meter", ""),
        read_count(landings, "landings") if landings else None,
        of.get("note", ""),
    )


def _day(text: str, today: date) -> date:
    """A day with its year; a spreadsheet's midnight is left away. Raises Refused."""
    typed = _MIDNIGHT.sub("", text)
    if typed and not _YEAR.search(typed):
        raise Refused(f"‘{text}’ has no year of four digits.", "Write it like 2026-04-03.")
    return read_day(typed, today)
