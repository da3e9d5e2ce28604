"""A glance at a fleet's file: the head of the fleet list, read before SQLAlchemy is there.

Importing SQLAlchemy and opening a fleet with it take longer than all else that stands between a person and
the first list, and a quarter of the program's memory. So the window shows what is read here and opens the
fleet behind it. Nothing is decided from a glance: the same rows are read anew as soon as the fleet is open.
A test holds the two to the same rows. SQLite is Python's own, as in SQLAlchemy's connections to a file.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Sequence
from contextlib import closing
from datetime import date
from decimal import Decimal
from pathlib import Path
from typing import Any, NamedTuple

from annual_planner.store.file_marks import APPLICATION_ID, HEAD
from annual_planner.store.fleet_line import FleetLine

LINES_SEEN = 200
"""More than any window has room for."""
NEVER = "9999-12-31"
"""How the file holds a day that never comes."""

_IN_ORDER = """
    FROM aircraft_standing
    JOIN aircraft ON aircraft.id = aircraft_standing.aircraft_id
    LEFT JOIN person ON person.id = aircraft.owner_id
    ORDER BY aircraft_standing.comes_first_on, aircraft_standing.aircraft_id
"""
_IDS = f"SELECT aircraft_standing.aircraft_id {_IN_ORDER}"
_LINES = f"""
    SELECT aircraft.id, aircraft.registration, aircraft.maker, aircraft.model, coalesce(person.name, ''),
        aircraft.owner_id, aircraft.base, aircraft_standing.state, aircraft_standing.first_title,
        aircraft_standing.comes_first_on, aircraft_standing.annual_due_on, aircraft_standing.hours_now,
        aircraft_standing.read_on, aircraft_standing.hours_per_month, aircraft_standing.overdue,
        aircraft_standing.due_soon,
        (SELECT max(work_package.id) FROM work_package
         WHERE work_package.aircraft_id = aircraft.id AND work_package.state != 'closed')
    {_IN_ORDER} LIMIT ?
"""
"""In the order of FleetLine's fields."""


class Glance(NamedTuple):
    """The ids of all airplanes by what comes first, and the lines of the first ones."""

    ids: list[int]
    lines: tuple[FleetLine, ...]


def glance_at(path: Path) -> Glance | None:
    """Look at a fleet's file; None where it isn't one of the present schema that can be read at once."""
    try:
        with closing(sqlite3.connect(f"{path.resolve().as_uri()}?mode=ro", uri=True, timeout=0)) as file:
            return _seen(file)
    except (sqlite3.Error, OSError, RuntimeError):  # opening the fleet says what is wrong
        return None


def _seen(file: sqlite3.Connection) -> Glance | None:
    file.isolation_level = None
    for setting in ("query_only=ON", "trusted_schema=OFF", "cell_size_check=ON", "mmap_size=0"):
        file.execute(f"PRAGMA {setting}")
    if file.execute("PRAGMA application_id").fetchone() != (APPLICATION_ID,):
        return None
    file.execute("BEGIN")
    if file.execute("SELECT version_num FROM alembic_version").fetchall() != [(HEAD,)]:
        return None
    ids = [row[0] for row in file.execute(_IDS)]
    return Glance(ids, tuple(_line(row) for row in file.execute(_LINES, (LINES_SEEN,))))


def _line(row: Sequence[Any]) -> FleetLine:
    *named, comes_first, annual_due, hours_now, read, per_month, overdue, due_soon, package_id = row
    comes_first = None if comes_first == NEVER else _day(comes_first)
    stands = (comes_first, _day(annual_due), _hours(hours_now), _day(read), _hours(per_month))
    fields = (*named, *stands, overdue, due_soon, package_id)
    return FleetLine(*fields)


def _day(kept: str | None) -> date | None:
    return None if kept is None else date.fromisoformat(kept)


def _hours(hundredths: int | None) -> Decimal | None:
    return None if hundredths is None else Decimal(hundredths) / 100
