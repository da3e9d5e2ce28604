"""Cells of a plug history: text into values, or what is wrong with it in one line."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable
from datetime import date
from decimal import Decimal

from annual_planner.trade.plugs import Condition

LONGEST = 20_000
BETWEEN = "|"
"""Stands between several values of one cell."""
_DAY = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}")
_NUMBER = re.compile(r"[0-9]{1,10}(\.[0-9]{1,20})?")
_CONDITIONS = {each.value: each for each in Condition}


class CellFault(ValueError):  # noqa: N818 - what a person reads of a cell
    """What is wrong with a cell, said to a person."""


def text(cell: str) -> str:
    """Words, of several lines too. Raises CellFault when too long or with control characters."""
    if len(cell) > LONGEST:
        raise CellFault(f"longer than {LONGEST:,} letters")
    lines = cell.replace("\r\n", "\n")
    if any(_is_control(letter) for letter in lines):
        raise CellFault("it holds characters that can't be written")
    return lines


def _is_control(letter: str) -> bool:
    return letter != "\n" and unicodedata.category(letter) in ("Cc", "Cs", "Zl", "Zp")


def readable(words: str) -> str:
    """Words as `text` reads them again: no control characters, nothing empty around them."""
    lines = "\n".join(words.splitlines())
    return "".join(" " if _is_control(letter) else letter for letter in lines).strip()


def day(cell: str) -> date:
    """A day as 2026-05-04, 1900 to 2199. Raises CellFault for anything else."""
    try:
        found = date.fromisoformat(cell) if _DAY.fullmatch(cell) else None
    except ValueError:
        found = None
    if found is None or not 1900 <= found.year <= 2199:
        raise CellFault(f"{_short(cell)} is no day: write it like 2026-05-04")
    return found


def decimal(cell: str) -> Decimal:
    """A number of 0 or more, with a point. Raises CellFault for anything else."""
    if not _NUMBER.fullmatch(cell):
        raise CellFault(f"{_short(cell)} is no number of 0 or more with a decimal point")
    return Decimal(cell)


def whole(cell: str) -> int:
    """A cylinder's number, or a count, of two digits at most. Raises CellFault for anything else."""
    if not re.fullmatch(r"[0-9]{1,2}", cell):
        raise CellFault(f"{_short(cell)} is no whole number of at most two digits")
    return int(cell)


def minutes(cell: str) -> int:
    """Whole minutes, 0 or more. Raises CellFault for anything else."""
    if not re.fullmatch(r"[0-9]{1,5}", cell):
        raise CellFault(f"{_short(cell)} is no number of whole minutes")
    return int(cell)


def celsius(cell: str) -> Decimal:
    """A temperature in degrees Celsius, which may be below zero."""
    return -decimal(cell[1:]) if cell.startswith("-") else decimal(cell)


def feet(cell: str) -> Decimal:
    """An elevation in feet, which may be below the sea."""
    return celsius(cell)


def yes_or_no(cell: str) -> bool:
    """Yes or no. Raises CellFault for anything else."""
    found = {"yes": True, "no": False}.get(cell.casefold())
    if found is None:
        raise CellFault(f"{_short(cell)} is neither yes nor no")
    return found


def several(cell: str) -> tuple[str, ...]:
    """Words with | between them."""
    return tuple(text(each.strip()) for each in cell.split(BETWEEN) if each.strip())


def inches(cell: str) -> tuple[float, ...]:
    """Sizes in inch with | between them."""
    return tuple(float(decimal(each)) for each in several(cell))


def condition_words(cell: str) -> tuple[Condition, ...]:
    """Conditions of a plug by name, with | between them."""
    return tuple(_condition(each) for each in several(cell))


def _condition(word: str) -> Condition:
    found = _CONDITIONS.get(word.casefold().replace("_", " "))
    if found is None:
        raise CellFault(f"{_short(word)} is none of {', '.join(_CONDITIONS)}")
    return found


def words(cell: str) -> tuple[str, ...]:
    """Keys, of leak paths or steps, with | between them."""
    return tuple(each.casefold() for each in several(cell))


def joined(values: Iterable[object]) -> str:
    """Several values as one cell."""
    return BETWEEN.join(str(each) for each in values)


def number(value: float | Decimal | None) -> Decimal | str | None:
    """A number as `decimal` reads it: every digit it has, and no exponent."""
    if value is None:
        return None
    written = value if isinstance(value, Decimal) else Decimal(str(value + 0.0))
    return f"{written:f}" if "E" in str(written) else written


def _short(cell: str) -> str:
    return f"'{cell[:40]}'"
