"""What a list shows, as cells for a spreadsheet: numbers and dates as such, the rest as text."""

from __future__ import annotations

import re
from datetime import date, datetime
from decimal import Decimal
from functools import lru_cache
from typing import TYPE_CHECKING, TypeVar

from annual_planner.desktop.columns import Column

if TYPE_CHECKING:
    from annual_planner.exchange.tables import Cell

R = TypeVar("R")
_NUMBER = re.compile(r"-?[0-9]+(\.[0-9]+)?", re.ASCII)
_DAY = re.compile(r"[0-9]{1,2} [A-Z][a-z]{2} [0-9]{4}", re.ASCII)


def cell_of(column: Column[R], row: R) -> Cell:
    """What the cell shows. Only a column set to the right holds numbers; a serial of digits is a text.

    >>> hours = Column("hours", "h", str, right=True)
    >>> cell_of(hours, "-2.5"), cell_of(Column("serial", "Serial", str), "0012"), cell_of(hours, "3 May 2026")
    (Decimal('-2.5'), '0012', datetime.date(2026, 5, 3))
    """
    text = column.text(row)
    if column.right and _NUMBER.fullmatch(text):
        return Decimal(text)
    return (_day(text) or text) if _DAY.fullmatch(text) else text


def copied(column: Column[R], row: R) -> str:
    """The text of the cell for the clipboard; one that a spreadsheet would run is quoted."""
    from annual_planner.exchange.tables import harmless

    text = " ".join(column.text(row).split())
    return harmless(text) if isinstance(cell_of(column, row), str) else text


@lru_cache(maxsize=16_384)
def _day(text: str) -> date | None:
    try:
        return datetime.strptime(text, "%d %b %Y").date()  # noqa: DTZ007 - a day has no time zone
    except ValueError:
        return None
