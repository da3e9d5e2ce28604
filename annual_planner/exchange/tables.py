"""Rows written out as a text table, as CSV or as JSON."""

from __future__ import annotations

import csv
import io
import json
from collections.abc import Iterable, Mapping, Sequence
from datetime import date
from decimal import Decimal
from typing import TextIO

FORMULA_STARTS = ("=", "+", "-", "@", "\t", "\r")
"""A spreadsheet would run a cell that begins with one of these."""

Cell = str | int | Decimal | date | bool | None


def as_table(headings: Sequence[str], rows: Sequence[Sequence[Cell]]) -> str:
    """Columns set under their headings, numbers to the right; 'nothing' when there are no rows."""
    if not rows:
        return "nothing"
    texts = [[_text(cell) for cell in row] for row in rows]
    widths = [max(len(heading), *(len(row[i]) for row in texts)) for i, heading in enumerate(headings)]
    rights = [_is_number_column(rows, i) for i in range(len(headings))]
    lines = [_line(headings, widths, rights), "  ".join("-" * width for width in widths)]
    lines += [_line(row, widths, rights) for row in texts]
    return "\n".join(lines)


def as_csv(headings: Sequence[str], rows: Iterable[Sequence[Cell]]) -> str:
    """Comma-separated, dates as ISO, one heading line; cells that a spreadsheet would run are quoted."""
    out = io.StringIO()
    write_csv(out, headings, rows)
    return out.getvalue()


def write_csv(out: TextIO, headings: Sequence[str], rows: Iterable[Sequence[Cell]]) -> None:
    """Write rows as `as_csv` gives them, one after the other."""
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(headings)
    writer.writerows([_harmless(cell) for cell in row] for row in rows)


def as_json(values: Mapping[str, object] | Sequence[object]) -> str:
    """Indented JSON; decimals and dates become text so that no digit is lost."""
    return json.dumps(values, indent=2, ensure_ascii=False, default=_json_value)


def _text(cell: Cell) -> str:
    return "" if cell is None else str(cell)


def _line(texts: Sequence[str], widths: Sequence[int], rights: Sequence[bool]) -> str:
    cells = [
        text.rjust(width) if right else text.ljust(width)
        for text, width, right in zip(texts, widths, rights, strict=True)
    ]
    return "  ".join(cells).rstrip()


def _is_number_column(rows: Sequence[Sequence[Cell]], column: int) -> bool:
    cells = [row[column] for row in rows if row[column] is not None]
    return bool(cells) and all(isinstance(cell, int | Decimal) for cell in cells)


def harmless(text: str) -> str:
    """The text as no spreadsheet runs it: quoted where it would begin a formula, or where it is quoted so.

    >>> harmless("=1+1"), harmless("oil"), harmless("'=1+1")
    ("'=1+1", 'oil', "''=1+1")
    """
    return f"'{text}" if text.lstrip("'").startswith(FORMULA_STARTS) else text


def _harmless(cell: Cell) -> str:
    return harmless(cell) if isinstance(cell, str) else _text(cell)


def _json_value(value: object) -> str:
    if isinstance(value, Decimal | date):
        return str(value)
    raise TypeError(f"no JSON form for {type(value).__name__}")
