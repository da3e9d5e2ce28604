"""Reading an engine's history of plugs and compression from a text file in the layout of history_layout.

Nothing is written here: the preview says what would be, and every fault.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from datetime import date
from pathlib import Path

from annual_planner.exchange.history_cells import CellFault
from annual_planner.exchange.history_checks import checked
from annual_planner.exchange.history_layout import (
    HEADINGS,
    NEEDS,
    READERS,
    TAKES,
    HistoryFile,
    HistoryLine,
    HistoryShelf,
    LineFault,
    TestKey,
    by_test,
)
from annual_planner.exchange.tables import FORMULA_STARTS
from annual_planner.trade.engines import EngineType
from annual_planner.trade.refused import Refused
from annual_planner.trade.said import said_date

MOST_BYTES = 20_000_000
MOST_LINES = 100_000
SEPARATORS = (",", ";", "\t")


@dataclass(frozen=True, slots=True)
class HistoryPreview:
    """What a file holds: its good lines in order, and all faults. With one fault nothing is written."""

    lines: tuple[HistoryLine, ...]
    faults: tuple[LineFault, ...]

    def of(self, record: str) -> tuple[HistoryLine, ...]:
        """The lines of one kind."""
        return tuple(line for line in self.lines if line.record == record)

    def tests(self) -> dict[TestKey, list[HistoryLine]]:
        """The readings by their test, days in order."""
        return by_test(self.of("reading"))

    def rechecks(self) -> dict[tuple[TestKey, object], list[HistoryLine]]:
        """The steps of rechecks in the order in which they were done, by test and cylinder."""
        found: dict[tuple[TestKey, object], list[HistoryLine]] = {}
        for line in self.of("recheck"):
            found.setdefault((line.test(), line.get("cylinder")), []).append(line)
        return found

    @property
    def said(self) -> str:
        """What would be written, in one line."""
        return ", ".join(_counted(count, *what) for what, count in self._counts() if count) or "nothing"

    @property
    def span(self) -> str:
        """From which day to which it tells; empty where it names no day."""
        days = [
            on
            for line in self.lines
            for name in ("date", "until", "scrapped")
            if isinstance(on := line.get(name), date)
        ]
        if not days:
            return ""
        first, last = said_date(min(days)), said_date(max(days))
        return f"of {first}" if first == last else f"from {first} to {last}"

    def _counts(self) -> Iterator[tuple[tuple[str, str], int]]:
        yield ("plug", "plugs"), len(self.of("plug"))
        yield ("rotation", "rotations"), len(self.of("rotation"))
        yield ("stay", "stays"), len(self.of("stay"))
        yield ("look", "looks"), len(self.of("look"))
        yield ("compression test", "compression tests"), len(self.tests())
        yield ("reading", "readings"), len(self.of("reading"))
        yield ("step of a recheck", "steps of rechecks"), len(self.of("recheck"))
        yield ("work on a cylinder", "works on cylinders"), len(self.of("work"))


def _counted(count: int, one: str, many: str) -> str:
    return f"{count} {one if count == 1 else many}"


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
    reading.faults += checked(HistoryFile(reading.lines, engine, shelf, today))
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
    if cell.startswith("'") and cell.lstrip("'").startswith(FORMULA_STARTS):
        return cell[1:]
    below_zero = cell.startswith("-") and cell[1:2].isdecimal()
    if cell.startswith(FORMULA_STARTS) and not below_zero:
        raise CellFault(f"'{cell[:40]}' begins like a formula: write the value itself")
    return cell
