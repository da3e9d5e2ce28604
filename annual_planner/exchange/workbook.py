"""Rows as a workbook of one sheet: numbers and dates as such, text always as text, never a formula."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from decimal import Decimal
from typing import Any, BinaryIO

from annual_planner.exchange.tables import FORMULA_STARTS, Cell

TAKEN_OTHERWISE = (*FORMULA_STARTS, "#")
"""Texts that begin so are taken for a formula or for a fault; they are marked as texts."""
LONGEST_TEXT = 32_767
"""Letters in one cell (Office Open XML, as spreadsheets read it)."""


def write_workbook(
    out: BinaryIO,
    title: str,
    headings: Sequence[str],
    rows: Iterable[Sequence[Cell]],
    widths: Sequence[float],
) -> None:
    """Write the rows under their headings, which stay in sight; row by row, whatever their number.

    `title`: of the sheet. `widths`: of the columns, in letters.
    """
    from openpyxl import Workbook
    from openpyxl.utils import get_column_letter

    book = Workbook(write_only=True)
    sheet = book.create_sheet(title[:31])
    sheet.freeze_panes = "A2"
    for place, width in enumerate(widths, 1):
        sheet.column_dimensions[get_column_letter(place)].width = width
    sheet.append([_cell(sheet, heading) for heading in headings])
    for row in rows:
        sheet.append([_cell(sheet, value) for value in row])
    book.save(out)


def _cell(sheet: Any, value: Cell) -> object:
    """One cell; what no sheet can hold (control characters) is left out of a text."""
    if isinstance(value, Decimal):
        return float(value)
    return _text(sheet, value) if isinstance(value, str) else value


def _text(sheet: Any, value: str) -> object:
    told = value if value.isprintable() else _printable(value)
    told = told[:LONGEST_TEXT]
    if not told.startswith(TAKEN_OTHERWISE):
        return told
    from openpyxl.cell import WriteOnlyCell

    cell = WriteOnlyCell(sheet, told)
    # Set after the value, which would make a formula of a text that begins with '='.
    cell.data_type = "s"
    cell.quotePrefix = True
    return cell


def _printable(text: str) -> str:
    return "".join(letter for letter in text if letter.isprintable() or letter in "\n\t")
