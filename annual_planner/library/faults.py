"""What is wrong with a data file, said so that the person who wrote it can mend it."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from pydantic import ValidationError

from annual_planner.library.rows import LONGEST_KEY, PATTERNS
from annual_planner.trade.refused import Refused

_LONGEST_FOUND = 80
SHIPPED = "the program's own"
"""Begins the name of a file that came with the program."""


@dataclass(frozen=True, slots=True)
class Fault:
    """One fault: where it stands, what was expected there and what was found."""

    file: str
    table: str
    key: str
    expected: str
    found: str

    def __str__(self) -> str:
        place = ", ".join(part for part in (self.file, self.table, self.key) if part)
        return f"{place}: expected {self.expected}; found {self.found}"


_MEND = "Mend the named keys and load again; until then the library stays as it was."
_TAKEN_AWAY = (
    "A row of the shop that takes the place of one of the same key must have all that others name: "
    "write it whole and load again; until then the library stays as it was."
)


def refuse(faults: Iterable[Fault]) -> None:
    """Raise one Refused that lists every fault, in the order of the files; do nothing when there is none."""
    lines = sorted({str(fault) for fault in faults})
    if not lines:
        return
    count = "One fault" if len(lines) == 1 else f"{len(lines)} faults"
    raise Refused(
        said=f"{count} in the library files, so none of them was loaded:\n" + "\n".join(lines),
        remedy=_TAKEN_AWAY if any(line.startswith(SHIPPED) for line in lines) else _MEND,
    )


def from_validation(
    error: ValidationError,
    file: str,
    table: str,
    known: tuple[str, ...],
    row_at: Callable[[tuple[int | str, ...]], str] = lambda loc: "",
) -> list[Fault]:
    """Turn what the model objects to into faults; `known` are the keys a table may have.

    `row_at` names the row a place lies in where the model holds rows; its first two parts then say no more.
    """
    return [_fault(each, file, table, known, row_at) for each in error.errors(include_url=False)]


def _fault(
    each: Any,
    file: str,
    table: str,
    known: tuple[str, ...],
    row_at: Callable[[tuple[int | str, ...]], str],
) -> Fault:
    row = row_at(each["loc"])
    key = ".".join(str(part) for part in each["loc"][2 if row else 0 :])
    table = row or table
    if each["type"] == "extra_forbidden":
        allowed = ", ".join(known) if len(each["loc"]) == 1 else "a key known there"
        return Fault(file, table, key, f"one of the keys {allowed}", f"the unknown key {each['loc'][-1]}")
    if each["type"] == "missing":
        return Fault(file, table, key, "this key", "nothing")
    return Fault(file, table, key, _expected(each), short(each["input"]))


_NUMBER, _WHOLE, _WORDS = "a number without quotes", "a whole number without quotes", "words in quotes"
_IN_WORDS = {
    "value_error": "{error}",
    "too_short": "at least {min_length} items",
    "too_long": "at most {max_length} items",
    "enum": "one of {expected}",
    "string_type": _WORDS,
    "string_too_short": _WORDS,
    "string_too_long": "at most {max_length} letters",
    "bool_type": "true or false",
    "int_type": _WHOLE,
    "int_from_float": _WHOLE,
    "float_type": _NUMBER,
    "decimal_type": _NUMBER,
    "decimal_parsing": _NUMBER,
    "tuple_type": "a list in [ ]",
    "model_type": "a table of its own",
}
"""How pydantic's kinds of error are said to somebody who writes TOML."""


def _expected(each: Any) -> str:
    context = each.get("ctx", {})
    if each["type"] == "string_pattern_mismatch":
        return PATTERNS.get(context["pattern"], "other words")
    if each["type"] in _IN_WORDS:
        return _IN_WORDS[each["type"]].format(**context)
    return str(each["msg"]).removeprefix("Input should be ")


def short(found: Any) -> str:
    """Show what was found, cut where it runs long."""
    text = _plain(found)
    return text if len(text) <= _LONGEST_FOUND else text[:_LONGEST_FOUND] + "…"


def row_name(table: str, key: str) -> str:
    """A row by its key, which is spelled and cut where it is no key that could be."""
    return f'{table} "{key}"' if key.isprintable() and len(key) <= LONGEST_KEY else f"{table} {short(key)}"


def _plain(found: Any) -> str:
    """As it might stand in the file; signs that can't be seen are spelled."""
    if isinstance(found, list):
        return "[" + ", ".join(_plain(each) for each in found) + "]"
    if isinstance(found, Mapping):
        return "{ " + ", ".join(f"{key} = {_plain(each)}" for key, each in found.items()) + " }"
    if isinstance(found, bool):
        return str(found).lower()
    return repr(found) if isinstance(found, str) else str(found)
