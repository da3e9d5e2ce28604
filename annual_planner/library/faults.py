"""What is wrong with a data file, said so that the person who wrote it can mend it."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from pydantic import ValidationError

from annual_planner.trade.refused import Refused

_LONGEST_FOUND = 80


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


def refuse(faults: Iterable[Fault]) -> None:
    """Raise one Refused that lists every fault, in the order of the files; do nothing when there is none."""
    lines = sorted({str(fault) for fault in faults})
    if not lines:
        return
    count = "One fault" if len(lines) == 1 else f"{len(lines)} faults"
    raise Refused(
        said=f"{count} in the library files, so none of them was loaded:\n" + "\n".join(lines),
        remedy="Mend the named keys and load again; until then the library stays as it was.",
    )


def from_validation(error: ValidationError, file: str, table: str, known: tuple[str, ...]) -> list[Fault]:
    """Turn what the model objects to into faults; `known` are the keys a table may have."""
    return [_fault(each, file, table, known) for each in error.errors(include_url=False)]


def _fault(each: Any, file: str, table: str, known: tuple[str, ...]) -> Fault:
    key = ".".join(str(part) for part in each["loc"])
    if each["type"] == "extra_forbidden":
        allowed = ", ".join(known) if len(each["loc"]) == 1 else "a key known there"
        return Fault(file, table, key, f"one of the keys {allowed}", f"the unknown key {each['loc'][-1]}")
    if each["type"] == "missing":
        return Fault(file, table, key, "this key", "nothing")
    return Fault(file, table, key, _expected(each), short(each["input"]))


def _expected(each: Any) -> str:
    if each["type"] == "value_error":
        return str(each["ctx"]["error"])
    if each["type"] == "too_short":
        return f"at least {each['ctx']['min_length']} items"
    if each["type"] == "too_long":
        return f"at most {each['ctx']['max_length']} items"
    if each["type"] == "enum":
        return f"one of {each['ctx']['expected']}"
    return str(each["msg"]).removeprefix("Input should be ").removeprefix("Value error, ")


def short(found: Any) -> str:
    """Show what was found, cut where it runs long."""
    text = repr(found) if isinstance(found, str) else _plain(found)
    return text if len(text) <= _LONGEST_FOUND else text[:_LONGEST_FOUND] + "…"


def _plain(found: Any) -> str:
    if isinstance(found, list):
        return "[" + ", ".join(_plain(each) for each in found) + "]"
    return str(found)
