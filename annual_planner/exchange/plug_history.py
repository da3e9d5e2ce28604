"""An engine's history of plugs and compression as a text file: what a line may hold, and reading it.

One heading line, then one record a line; `record` says of which kind it is and so which columns count:
plug, stay, look, reading, work. Nothing is written here: the preview says what would be, and every fault.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from datetime import date
from decimal import Decimal
from pathlib import Path
from typing import Protocol

from annual_planner.exchange.history_cells import (
    CellFault,
    celsius,
    condition_words,
    day,
    decimal,
    feet,
    inches,
    minutes,
    paths_heard,
    several,
    text,
    whole,
    yes_or_no,
)
from annual_planner.exchange.tables import FORMULA_STARTS
from annual_planner.trade.engines import EngineType
from annual_planner.trade.plugs import Condition, ConditionSays, PlugType
from annual_planner.trade.refused import Refused

MOST_BYTES = 20_000_000
MOST_LINES = 100_000
SEPARATORS = (",", ";", "\t")
READERS: Mapping[str, Callable[[str], object]] = {
    "date": day,
    "engine_hours": decimal,
    "tag": text,
    "type": text,
    "hours_before": decimal,
    "place": text,
    "until": day,
    "until_hours": decimal,
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
    "cylinder": whole,
    "reading_psi": decimal,
    "first_psi": decimal,
    "heard": paths_heard,
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
    "work": text,
    "serial": text,
    "scrapped": day,
    "scrapped_why": text,
    "note": text,
}
"""Every column but `record`, and what reads its cells."""
HEADINGS = ("record", *READERS)
NEEDS: Mapping[str, tuple[str, ...]] = {
    "plug": ("tag", "type"),
    "stay": ("tag", "place", "date", "engine_hours"),
    "look": ("tag", "date", "stage"),
    "reading": ("date", "cylinder", "reading_psi"),
    "work": ("date", "cylinder", "work"),
}
"""Columns that a record of each kind must fill."""
TAKES: Mapping[str, tuple[str, ...]] = {
    "plug": ("date", "tag", "type", "hours_before", "scrapped", "scrapped_why", "note"),
    "stay": ("date", "engine_hours", "tag", "place", "until", "until_hours", "note"),
    "look": (
        "date", "engine_hours", "tag", "place", "stage", "condition", "damage", "dropped", "gap_in",
        "set_gap_in", "electrode_in", "oval_in", "resistance_ohm", "sparks", "note",
    ),
    "reading": (
        "date", "engine_hours", "cylinder", "reading_psi", "first_psi", "heard", "regulated_psi",
        "restrictor_in", "tester", "master_psi", "ambient_psi_a", "minutes_since_shutdown",
        "oil_temperature_c", "elevation_ft", "altimeter_inhg", "cold", "note",
    ),
    "work": ("date", "engine_hours", "cylinder", "work", "serial"),
}  # fmt: skip
"""Columns that a record of each kind may fill."""


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

    def day(self) -> date:
        """The date, which every kind but a plug must have."""
        found = self.cells["date"]
        assert isinstance(found, date), "the reader of the column gives a date"
        return found

    def number_of(self, column: str) -> Decimal | None:
        """A number of hours, psi, inch or ohm; None where the cell is empty."""
        found = self.cells.get(column)
        return found if isinstance(found, Decimal) else None


class HistoryShelf(Protocol):
    """The part of the library by which a history is read."""

    def plug_type(self, key: str) -> PlugType:
        """The plug type of that key. Raises Refused where there is none."""
        ...

    def conditions_say(self) -> Mapping[Condition, ConditionSays]:
        """What each condition of a plug says."""
        ...


@dataclass(frozen=True, slots=True)
class HistoryPreview:
    """What a file holds: its good lines in order, and all faults. With one fault nothing is written."""

    lines: tuple[HistoryLine, ...]
    faults: tuple[LineFault, ...]

    def of(self, record: str) -> tuple[HistoryLine, ...]:
        """The lines of one kind."""
        return tuple(line for line in self.lines if line.record == record)

    def tests(self) -> dict[date, list[HistoryLine]]:
        """The readings by the day of their test, days in order."""
        found: dict[date, list[HistoryLine]] = {}
        for line in sorted(self.of("reading"), key=lambda each: (each.day(), each.number)):
            found.setdefault(line.day(), []).append(line)
        return found

    @property
    def said(self) -> str:
        """What would be written, in one line."""
        counted = {
            "plugs": len(self.of("plug")),
            "stays": len(self.of("stay")),
            "looks": len(self.of("look")),
            "compression tests": len(self.tests()),
            "readings": len(self.of("reading")),
            "works on cylinders": len(self.of("work")),
        }
        return ", ".join(f"{count} {what}" for what, count in counted.items() if count) or "nothing"


@dataclass(slots=True)
class _Reading:
    """A file while it is read."""

    lines: list[HistoryLine] = field(default_factory=list)
    faults: list[LineFault] = field(default_factory=list)
    seen: dict[tuple[str, ...], int] = field(default_factory=dict)


def read_plug_history(
    source: Path | str, *, engine: EngineType, shelf: HistoryShelf, today: date
) -> HistoryPreview:
    """Read a file (Path) or its text and say what it holds for an engine of this type.

    Faults of lines are gathered in the preview. Raises Refused for a file that can't be read at all: not
    there, too large, not UTF-8, or without the heading line.
    """
    from annual_planner.exchange.history_checks import checked

    content = _text_of(source)
    separator = _separator(content)
    reading = _Reading()
    rows = csv.reader(io.StringIO(content, newline=""), delimiter=separator, strict=True)
    try:
        columns = _columns(next(rows, []))
        for row in rows:
            _take(reading, rows.line_num, columns, row)
    except csv.Error as error:
        reading.faults.append(LineFault(rows.line_num, "", f"it can't be read ({error})"))
    reading.faults += checked(reading.lines, engine, shelf, today)
    if not reading.lines and not reading.faults:
        raise Refused("The file holds a heading line and nothing else.", "Write a record a line under it.")
    faults = sorted(reading.faults, key=lambda fault: (fault.line, fault.column))
    return HistoryPreview(tuple(reading.lines), tuple(faults))


def _text_of(source: Path | str) -> str:
    if isinstance(source, str):
        return source.removeprefix("\ufeff")
    try:
        with source.open("rb") as file:
            raw = file.read(MOST_BYTES + 1)
    except OSError as error:
        raise Refused(
            f"{source} can't be read: {error.strerror or error}.", "Choose the file again."
        ) from error
    if len(raw) > MOST_BYTES:
        raise Refused(f"{source.name} is larger than {MOST_BYTES // 1_000_000} MB.", "Split it by engine.")
    try:
        content = raw.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = raw.count(b"\n", 0, error.start) + 1
        raise Refused(
            f"{source.name} is not UTF-8 text (line {line}).", "Save it as CSV in UTF-8 and read it again."
        ) from error
    if content.count("\n") > MOST_LINES:
        raise Refused(f"{source.name} has more than {MOST_LINES:,} lines.", "Split it by engine.")
    return content


def _separator(content: str) -> str:
    """The separator that cuts the heading line into most columns."""
    heading = content.partition("\n")[0]
    return max(SEPARATORS, key=heading.count)


def _columns(heading: Iterable[str]) -> list[str]:
    columns = [name.strip().casefold() for name in heading]
    unknown = [name for name in columns if name not in HEADINGS]
    if "record" not in columns or unknown or len(set(columns)) != len(columns):
        wrong = [f"unknown column '{name[:40]}'" for name in dict.fromkeys(unknown)]
        wrong += ["no column 'record'"] if "record" not in columns else []
        wrong += [f"column '{name}' twice" for name in dict.fromkeys(columns) if columns.count(name) > 1]
        raise Refused(
            f"The heading line can't be taken: {'; '.join(wrong[:5])}.",
            f"Use these headings, as many as are needed: {', '.join(HEADINGS)}.",
        )
    return columns


def _take(reading: _Reading, number: int, columns: list[str], row: list[str]) -> None:
    if not any(cell.strip() for cell in row):
        return
    if len(row) > len(columns):
        reading.faults.append(LineFault(number, "", f"{len(row)} cells under {len(columns)} headings"))
        return
    cells = {name: cell.strip() for name, cell in zip(columns, row, strict=False) if cell.strip()}
    key = tuple(f"{name}={value}" for name, value in sorted(cells.items()))
    if key in reading.seen:
        reading.faults.append(LineFault(number, "", f"the same as line {reading.seen[key]}"))
        return
    reading.seen[key] = number
    record = cells.pop("record", "").casefold()
    faults = list(_line_faults(number, record, cells))
    values = {} if faults else _values(number, cells, faults)
    reading.faults += faults
    if not faults:
        reading.lines.append(HistoryLine(number, record, values))


def _line_faults(number: int, record: str, cells: Mapping[str, str]) -> Iterator[LineFault]:
    if record not in NEEDS:
        yield LineFault(number, "record", f"'{record[:40]}' is none of {', '.join(NEEDS)}")
        return
    for name in NEEDS[record]:
        if name not in cells:
            yield LineFault(number, name, f"a {record} needs it, and it is empty")
    for name in cells:
        if name not in TAKES[record]:
            yield LineFault(number, name, f"a {record} doesn't have it: leave it empty")


def _values(number: int, cells: Mapping[str, str], faults: list[LineFault]) -> dict[str, object]:
    values = {}
    for name, cell in cells.items():
        try:
            values[name] = READERS[name](_plain(cell))
        except CellFault as fault:
            faults.append(LineFault(number, name, str(fault)))
    return values


def _plain(cell: str) -> str:
    """A cell without the mark that keeps a spreadsheet from running it. CellFault where it would be run."""
    if cell.startswith("'") and cell[1:].startswith(FORMULA_STARTS):
        return cell[1:]
    below_zero = cell.startswith("-") and cell[1:2].isdecimal()
    if cell.startswith(FORMULA_STARTS) and not below_zero:
        raise CellFault(f"'{cell[:40]}' begins like a formula: write the value itself")
    return cell
