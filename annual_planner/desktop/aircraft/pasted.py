"""Rows copied from a spreadsheet read as records, or what is wrong with each of them."""

from __future__ import annotations

import csv
import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from typing import Generic, TypeVar

from annual_planner.desktop.typed import read_day
from annual_planner.trade.refused import Refused

T = TypeVar("T")
MOST_ROWS = 2_000
_YEAR = re.compile(r"[0-9]{4}")
_MIDNIGHT = re.compile(r"[ T]0?0:00(:00)?$")


@dataclass(frozen=True, slots=True)
class Kind(Generic[T]):
    """A kind of record that can be pasted: what its columns are called, and how a row of them is read."""

    what: str
    """Plural, for messages: 'readings'."""
    headings: Mapping[str, Sequence[str]]
    """For each field the words over a column by which it is known, in small letters."""
    needed: frozenset[str]
    """Fields without whose headings the first row is no headings."""
    without_headings: Mapping[int, Sequence[str]]
    """The fields where no column has a heading, by how many columns there are."""
    ask: str
    """Which columns to copy, for a message."""
    read: Callable[[Mapping[str, str], date], T]
    """Reads the cells of a row by field. Raises Refused."""


@dataclass(frozen=True, slots=True)
class PastedRow(Generic[T]):
    """One row as it was pasted, and as it was read."""

    line: int
    """Of the spreadsheet's rows that were copied, from 1."""
    cells: Mapping[str, str]
    value: T | None = None
    fault: str = ""
    """Why it can't be taken; empty while nothing speaks against it."""
    stands: bool = False

    @property
    def word(self) -> str:
        """What becomes of it."""
        return "refused" if self.fault else ("stands already" if self.stands else "new")

    def looked_at(self, refused: str, stands: bool) -> PastedRow[T]:
        """The row with what the fleet says of it."""
        return replace(self, fault=refused, stands=stands)


def pasted_rows(text: str, today: date, kind: Kind[T]) -> tuple[PastedRow[T], ...]:
    """The rows of tab-separated text, empty ones left out. Raises Refused where they can't be such records.

    A column under another word than those of the kind is left out.
    """
    lines = [(number, cells) for number, cells in enumerate(_lines(text), 1) if any(cells)]
    if not lines:
        raise Refused("There are no rows on the clipboard.", "Copy the rows in the spreadsheet, then paste.")
    if len(lines) > MOST_ROWS:
        raise Refused(f"{len(lines)} rows are too many at once.", f"Paste up to {MOST_ROWS} at a time.")
    named = _named(lines[0][1], kind)
    fields = named or _unnamed(max(len(cells) for _, cells in lines), kind)
    return tuple(_row(line, fields, cells, today, kind) for line, cells in (lines[1:] if named else lines))


def _lines(text: str) -> list[list[str]]:
    rows = csv.reader(text.splitlines(keepends=True), delimiter="\t")
    return [[cell.strip().removeprefix("'") for cell in row] for row in rows]


def _named(cells: Sequence[str], kind: Kind[T]) -> tuple[str, ...]:
    """The field of each column by the words over it; nothing where the first row is no headings."""
    known = {word: field for field, words in kind.headings.items() for word in words}
    found = tuple(known.get(cell.casefold(), "") for cell in cells)
    return found if kind.needed <= set(found) else ()


def _unnamed(wide: int, kind: Kind[T]) -> Sequence[str]:
    if wide not in kind.without_headings:
        raise Refused(f"Rows of {wide} columns can't be told apart.", kind.ask)
    return kind.without_headings[wide]


def _row(line: int, fields: Sequence[str], cells: Sequence[str], today: date, kind: Kind[T]) -> PastedRow[T]:
    of = {field: cell for field, cell in zip(fields, cells, strict=False) if field}
    row: PastedRow[T] = PastedRow(line, of)
    try:
        return replace(row, value=kind.read(of, today))
    except Refused as refused:
        return replace(row, fault=f"{refused.said} {refused.remedy}".strip())


def pasted_day(text: str, today: date) -> date:
    """A day with its year; a spreadsheet's midnight is left away. Raises Refused."""
    typed = _MIDNIGHT.sub("", text)
    if typed and not _YEAR.search(typed):
        raise Refused(f"‘{text}’ has no year of four digits.", "Write it like 2026-04-03.")
    return read_day(typed, today)
