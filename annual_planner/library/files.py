"""Reading folders of TOML files: rows by key, a later folder's row in place of an earlier one's."""

from __future__ import annotations

import tomllib
from collections.abc import Collection, Iterable, Iterator, Mapping
from contextlib import suppress
from dataclasses import dataclass, field
from decimal import Decimal
from importlib.resources import files as packaged_files
from importlib.resources.abc import Traversable
from pathlib import Path
from typing import Any, Generic, TypeVar

from pydantic import BaseModel, ValidationError

from annual_planner.library.faults import SHIPPED, Fault, from_validation, row_name
from annual_planner.library.rows import Row

M = TypeVar("M", bound=Row)


@dataclass(frozen=True, slots=True)
class Kind(Generic[M]):
    """What lives in one sub-folder: the folder's name, the name of its tables, the model of a table."""

    folder: str
    table: str
    model: type[M]


@dataclass(frozen=True, slots=True)
class Entry(Generic[M]):
    """One good row and the file it stands in."""

    file: str
    row: M


@dataclass(slots=True)
class Shelf(Generic[M]):
    """All rows of one kind by key; `named` also holds the keys of rows that had faults."""

    kind: Kind[M]
    entries: dict[str, Entry[M]] = field(default_factory=dict)
    named: set[str] = field(default_factory=set)
    faults: list[Fault] = field(default_factory=list)

    def fault(self, key: str, field_name: str, expected: str, found: str) -> Fault:
        """Say what is wrong with one field of the good row `key`."""
        return Fault(self.entries[key].file, row_name(self.kind.table, key), field_name, expected, found)


def shipped() -> Traversable:
    """Return the folder of data files that came with the program."""
    return packaged_files("resources")


def read_shelf(kind: Kind[M], folders: Iterable[Traversable]) -> Shelf[M]:
    """Read every row of one kind. Faults are gathered on the shelf, never raised."""
    shelf = Shelf(kind)
    for folder in folders:
        seen: dict[str, str] = {}
        for file in _toml_files(folder, kind.folder):
            shown = shown_in(folder, _shown(file, kind.folder))
            for number, raw in enumerate(_tables(file, shown, shelf), start=1):
                _take(shelf, seen, shown, number, raw)
    return shelf


def shown_in(folder: Traversable, file: str) -> str:
    """A file as a fault names it: a shop's own by its place in the shop's folder, else as the program's."""
    return f"{SHIPPED} {file}" if folder == shipped() else file


def _toml_files(folder: Traversable, name: str) -> Iterator[Traversable]:
    """`name`.toml, then each file of folder `name` in the order of their names."""
    single = folder.joinpath(f"{name}.toml")
    if single.is_file():
        yield single
    inner = folder.joinpath(name)
    if inner.is_dir():
        found = (each for each in inner.iterdir() if each.name.endswith(".toml"))
        yield from sorted(found, key=lambda each: each.name)


def _shown(file: Traversable, folder: str) -> str:
    return file.name if file.name == f"{folder}.toml" else f"{folder}/{file.name}"


def unread(folder: Path, kinds: Collection[str], single: Collection[str]) -> Iterator[Fault]:
    """Find the TOML files in a shop's folder that nothing reads: a misspelt name would go by in silence.

    `kinds` may be a file or a folder of files, `single` are files; looked for in the folder and one below.
    """
    known = {*single, *(f"{kind}.toml" for kind in kinds)}
    for file in _toml_within(folder):
        top, below = file.parent == folder, file.parent.parent == folder
        if not (
            (top and file.name in known) or (below and file.parent.name in kinds and file.suffix == ".toml")
        ):
            expected = f"a name that is read: {', '.join((*single, *(f'{kind}/…' for kind in kinds)))}"
            yield Fault(str(file.relative_to(folder)), "whole file", "", expected, "another")


def _toml_within(folder: Path) -> Iterator[Path]:
    """Files that mean to be TOML, in the folder and in those of its folders that can be opened."""
    places = [each for each in sorted(folder.iterdir()) if not each.name.startswith(".")]
    for place in places:
        with suppress(PermissionError):
            inner = sorted(place.iterdir()) if place.is_dir() else [place]
            yield from (each for each in inner if each.suffix.lower() == ".toml")


def said_of(error: Exception) -> str:
    """What a fault in reading says, without the system's own number and path."""
    return str(getattr(error, "strerror", None) or error)


def _tables(file: Traversable, shown: str, shelf: Shelf[M]) -> list[Any]:
    """Read the array of tables in a file; what else stands there is a fault."""
    table = shelf.kind.table
    try:
        content = tomllib.loads(file.read_text(encoding="utf-8-sig"), parse_float=Decimal)
    except (ValueError, RecursionError, OSError) as error:  # not TOML, not UTF-8, nested too deep, a folder
        shelf.faults.append(Fault(shown, "whole file", "", "readable TOML in UTF-8", said_of(error)))
        return []
    for name in content.keys() - {table}:
        shelf.faults.append(Fault(shown, name, "", f"tables [[{table}]] only", f"[{name}]"))
    rows = content.get(table, [])
    if isinstance(rows, list):
        return rows
    shelf.faults.append(Fault(shown, table, "", f"tables [[{table}]]", f"[{table}]"))
    return []


def _take(shelf: Shelf[M], seen: dict[str, str], file: str, number: int, raw: Any) -> None:
    key = _key_of(raw)
    label = row_name(shelf.kind.table, key) if key else f"{shelf.kind.table} number {number}"
    if key in seen:
        shelf.faults.append(Fault(file, label, "key", "a key of its own", f"also in {seen[key]}"))
        return
    if key:
        seen[key] = file
        shelf.named.add(key)
    try:
        row = shelf.kind.model.model_validate(raw)
    except ValidationError as error:
        shelf.faults += from_validation(error, file, label, _fields(shelf.kind.model))
        return
    shelf.entries[key] = Entry(file, row)


def _key_of(raw: Any) -> str:
    if not isinstance(raw, Mapping):
        return ""
    key = raw.get("key", "")
    return key if isinstance(key, str) else ""


def _fields(model: type[BaseModel]) -> tuple[str, ...]:
    return tuple(model.model_fields)
