"""What a line of an engine's history may hold: kinds of records, their columns, and how cells are read.

One heading line, then one record a line; `record` says of which kind it is and so which columns count. The
page resources/help/history.md says the same for people.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import Protocol

from annual_planner.exchange.history_cells import (
    celsius,
    condition_words,
    day,
    decimal,
    feet,
    inches,
    minutes,
    several,
    text,
    whole,
    words,
    yes_or_no,
)
from annual_planner.trade.engines import EngineType
from annual_planner.trade.plugs import Condition, ConditionSays, PlugType

READERS: Mapping[str, Callable[[str], object]] = {
    "date": day,
    "engine_hours": decimal,
    "tag": text,
    "type": text,
    "hours_before": decimal,
    "place": text,
    "until": day,
    "until_hours": decimal,
    "gasket_out": yes_or_no,
    "fitted_by": text,
    "removed_by": text,
    "rotation": text,
    "scheme": text,
    "moved": text,
    "in_tray": yes_or_no,
    "new_gaskets": whole,
    "stage": text,
    "condition": condition_words,
    "damage": several,
    "dropped": yes_or_no,
    "gap_in": inches,
    "set_gap_in": decimal,
    "electrode_in": decimal,
    "oval_in": inches,
    "resistance_ohm": decimal,
    "sparks": yes_or_no,
    "verdict": text,
    "overruled_because": text,
    "test": text,
    "cylinder": whole,
    "reading_psi": decimal,
    "first_psi": decimal,
    "heard": words,
    "step": text,
    "seen": text,
    "left_out": text,
    "regulated_psi": decimal,
    "restrictor_in": decimal,
    "tester": text,
    "master_psi": decimal,
    "ambient_psi_a": decimal,
    "minutes_since_shutdown": minutes,
    "oil_temperature_c": celsius,
    "elevation_ft": feet,
    "altimeter_inhg": decimal,
    "cold": yes_or_no,
    "after_work": text,
    "safety": words,
    "test_note": text,
    "work": text,
    "serial": text,
    "spare": yes_or_no,
    "scrapped": day,
    "scrapped_why": text,
    "note": text,
}
"""Every column but `record`, and what reads its cells."""
HEADINGS = ("record", *READERS)
NEEDS: Mapping[str, tuple[str, ...]] = {
    "plug": ("tag", "type"),
    "rotation": ("rotation", "date", "engine_hours"),
    "stay": ("tag", "place", "date", "engine_hours"),
    "look": ("tag", "date", "stage"),
    "reading": ("date", "cylinder", "reading_psi"),
    "recheck": ("date", "cylinder", "step"),
    "work": ("date", "cylinder", "work"),
}
"""Columns that a record of each kind must fill."""
OF_ONE_TEST = (
    "engine_hours",
    "regulated_psi",
    "restrictor_in",
    "tester",
    "master_psi",
    "ambient_psi_a",
    "minutes_since_shutdown",
    "oil_temperature_c",
    "elevation_ft",
    "altimeter_inhg",
    "cold",
    "after_work",
    "safety",
    "test_note",
)
"""Columns that say the same in every reading of one test."""
TAKES: Mapping[str, tuple[str, ...]] = {
    "plug": ("date", "tag", "type", "hours_before", "spare", "scrapped", "scrapped_why", "note"),
    "rotation": (
        "date", "engine_hours", "rotation", "scheme", "moved", "in_tray", "new_gaskets", "note",
    ),
    "stay": (
        "date", "engine_hours", "tag", "place", "until", "until_hours", "gasket_out", "fitted_by",
        "removed_by", "note",
    ),
    "look": (
        "date", "engine_hours", "tag", "place", "rotation", "stage", "condition", "damage", "dropped",
        "gap_in", "set_gap_in", "electrode_in", "oval_in", "resistance_ohm", "sparks", "verdict",
        "overruled_because", "note",
    ),
    "reading": ("date", "test", "cylinder", "reading_psi", "first_psi", "heard", *OF_ONE_TEST, "note"),
    "recheck": ("date", "test", "cylinder", "step", "reading_psi", "seen", "left_out"),
    "work": ("date", "engine_hours", "cylinder", "work", "serial"),
}  # fmt: skip
"""Columns that a record of each kind may fill."""

TestKey = tuple[date, str]
"""A test of the file: its day, and which of that day where there are several."""


@dataclass(frozen=True, slots=True)
class LineFault:
    """What is wrong with a cell, or with a whole line where the column is empty. Lines count from 1."""

    line: int
    column: str
    said: str

    def __str__(self) -> str:
        where = f"line {self.line}" + (f", column {self.column}" if self.column else "")
        return f"{where}: {self.said}"


@dataclass(frozen=True, slots=True)
class HistoryLine:
    """One good line: its number, its kind and its filled cells by column."""

    number: int
    record: str
    cells: Mapping[str, object]

    def get(self, column: str) -> object:
        """The value of a cell; None where it is empty."""
        return self.cells.get(column)

    def text(self, column: str) -> str:
        """A cell of words; nothing where it is empty."""
        return str(self.cells.get(column) or "")

    def day(self) -> date:
        """The date, which every kind but a plug must have."""
        found = self.cells["date"]
        assert isinstance(found, date), "the reader of the column gives a date"
        return found

    def until(self) -> date | None:
        """The day a stay ended; None while it goes on."""
        found = self.cells.get("until")
        return found if isinstance(found, date) else None

    def number_of(self, column: str) -> Decimal | None:
        """A number of hours, psi, inch or ohm; None where the cell is empty."""
        found = self.cells.get(column)
        return found if isinstance(found, Decimal) else None

    def test(self) -> TestKey:
        """The test that a reading or a step of its recheck belongs to."""
        return self.day(), self.text("test")

    def fault(self, column: str, said: str) -> LineFault:
        """A fault of this line."""
        return LineFault(self.number, column, said)


class HistoryShelf(Protocol):
    """The part of the library by which a history is read."""

    def engine(self, key: str) -> EngineType:
        """The engine type of that key. Raises Refused where there is none."""
        ...

    def plug_type(self, key: str) -> PlugType:
        """The plug type of that key. Raises Refused where there is none."""
        ...

    def conditions_say(self) -> Mapping[Condition, ConditionSays]:
        """What each condition of a plug says."""
        ...


@dataclass(frozen=True, slots=True)
class HistoryFile:
    """All good lines of a file, with what they are held against."""

    lines: Sequence[HistoryLine]
    engine: EngineType
    shelf: HistoryShelf
    today: date

    def of(self, record: str) -> list[HistoryLine]:
        """The lines of one kind, in the order of the file."""
        return [line for line in self.lines if line.record == record]


def by_test(lines: Sequence[HistoryLine]) -> dict[TestKey, list[HistoryLine]]:
    """Readings, or steps of their rechecks, by their test: days in order, tests of one day as they stand."""
    found: dict[TestKey, list[HistoryLine]] = {}
    for line in sorted(lines, key=lambda each: (each.day(), each.number)):
        found.setdefault(line.test(), []).append(line)
    return found
