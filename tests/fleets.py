"""Fleets on a real database for tests: the same tests run on SQLite and on PostgreSQL."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from decimal import Decimal
from functools import cache
from itertools import count
from pathlib import Path

import pytest
from sqlalchemy import NullPool, create_engine, make_url, text

from annual_planner.records.aircraft import AddAircraft, NewAssembly
from annual_planner.records.apply import apply
from annual_planner.records.edits import Edit
from annual_planner.records.requirements import AddRequirement
from annual_planner.store.opening import open_fleet
from annual_planner.store.session import Fleet
from annual_planner.trade.periods import Interval

TODAY = date(2026, 5, 4)
ANN, BEN = "Ann Quill", "Ben Sorrel"
TEMPLATE = "fleet_template"

_numbers = count(1)


@pytest.fixture(scope="session")
def server_template(pg_url: str) -> str:
    """The address of a server that holds an empty fleet to copy from."""
    _make_template(pg_url)
    return pg_url


@cache
def _make_template(server: str) -> None:
    """Once for each server, though each folder of tests has the fixture for itself."""
    open_fleet(new_database(server, TEMPLATE), create=True).close()


def server_fleet_address(server: str) -> str:
    """The address of a fresh empty fleet on the server."""
    return new_database(server, f"fleet_{next(_numbers)}", template=TEMPLATE)


def new_database(server: str, name: str, *, template: str = "template1") -> str:
    """Make a database on the server; its address."""
    engine = create_engine(server, isolation_level="AUTOCOMMIT", poolclass=NullPool)
    with engine.connect() as connection:
        connection.execute(text(f"CREATE DATABASE {name} TEMPLATE {template}"))
    return make_url(server).set(database=name).render_as_string(hide_password=False)


@pytest.fixture(params=["sqlite", pytest.param("postgresql", marks=pytest.mark.postgres)])
def fleet(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[Fleet]:
    """An empty fleet, once in a file and once on a server."""
    if request.param == "sqlite":
        opened = open_fleet(tmp_path / "test.fleet", create=True)
    else:
        opened = open_fleet(server_fleet_address(request.getfixturevalue("server_template")))
    yield opened
    opened.close()


def airplane(registration: str = "N012AP", **given: object) -> AddAircraft:
    """A two-seater with one engine and propeller: 1500.0 h on 4 January 2026."""
    values: dict[str, object] = {
        "registration": registration,
        "maker": "Harrow",
        "model": "Kestrel 2",
        "serial": "17",
        "year_built": 1985,
        "features": ("wheels", "elt"),
        "counts": {"engines": 1, "cylinders": 4, "plugs": 8, "wheels": 3},
        "stated_hours_per_month": Decimal(10),
        "hours_now": Decimal("1500.0"),
        "read_on": date(2026, 1, 4),
        "landings": 2000,
        "assemblies": (
            NewAssembly("engine", "Brindle", "B-100", "E5", Decimal("500.0"), Decimal("500.0")),
            NewAssembly("propeller", "Fenn", "F-2", "P5", Decimal("100.0")),
        ),
    }
    return AddAircraft(**{**values, **given})  # type: ignore[arg-type]


def made(fleet: Fleet, edit: Edit, by: str = ANN, today: date = TODAY) -> int:
    """Apply an edit; the id of what it made."""
    changed = apply(fleet, edit, by, today)
    assert changed.made_id is not None
    return changed.made_id


def annual(aircraft_id: int) -> AddRequirement:
    return AddRequirement(
        aircraft_id,
        "Annual inspection",
        "rule",
        Interval(calendar_months=12),
        key="annual",
        citation="91.409(a)",
    )


def hundred_hour(aircraft_id: int) -> AddRequirement:
    interval = Interval(hours=Decimal(100), enroute_excess_hours=Decimal(10))
    return AddRequirement(aircraft_id, "100-hour inspection", "rule", interval, key="hundred_hour")
