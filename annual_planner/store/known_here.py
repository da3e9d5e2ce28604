"""What of a hand-over may be known here already: the airplane, its assemblies, the people it names."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass
from datetime import date
from typing import Any

from sqlalchemy import func, or_, select

from annual_planner.store.hand_over_reads import table_of
from annual_planner.store.mappings import (
    AircraftRow,
    AssemblyRow,
    CertificateRow,
    InstallationRow,
    PersonRow,
)
from annual_planner.store.received_mappings import ReceivedRecordRow
from annual_planner.store.session import Work

Row = dict[str, Any]
_OF_ENGINES = (
    "installation", "plug_rotation", "plug_stay", "plug_check", "compression_test", "cylinder_change",
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class AirplaneHere:
    """An airplane of this fleet."""

    aircraft_id: int
    registration: str
    maker: str
    model: str
    serial: str


@dataclass(frozen=True, slots=True)
class StayHere:
    """A stay of an assembly on an airplane of this fleet; `removed_on` is empty while it is fitted."""

    aircraft_id: int
    registration: str
    fitted_on: date
    removed_on: date | None


@dataclass(frozen=True, slots=True)
class AssemblyHere:
    """An assembly of this fleet with all its stays, the newest last."""

    assembly_id: int
    kind: str
    maker: str
    model: str
    serial: str
    stays: tuple[StayHere, ...]


def airplanes_like(work: Work, registration: str, maker: str, serial: str) -> list[AirplaneHere]:
    """Airplanes of this fleet with the registration, or with maker and serial."""
    of = AircraftRow
    query = select(of.id, of.registration, of.maker, of.model, of.serial).where(
        or_(
            func.upper(of.registration) == registration.upper(),
            (func.lower(of.maker) == maker.lower()) & (func.lower(of.serial) == serial.lower()),
        )
    )
    return [AirplaneHere(*row) for row in work.session.execute(query.order_by(of.id))]


def assemblies_like(work: Work, serials: Collection[str]) -> list[AssemblyHere]:
    """Assemblies of this fleet with one of these serials, the newest first."""
    of, stay = AssemblyRow, InstallationRow
    query = (
        select(of, stay.aircraft_id, AircraftRow.registration, stay.fitted_on, stay.removed_on)
        .outerjoin(stay, stay.assembly_id == of.id)
        .outerjoin(AircraftRow, AircraftRow.id == stay.aircraft_id)
        .where(of.serial.in_(serials), of.serial != "")
        .order_by(of.id.desc(), stay.fitted_on)
    )
    found: dict[int, tuple[AssemblyRow, list[StayHere]]] = {}
    for row, aircraft_id, registration, fitted_on, removed_on in work.session.execute(query):
        kept = found.setdefault(row.id, (row, []))[1]
        if aircraft_id is not None:
            kept.append(StayHere(aircraft_id, registration, fitted_on, removed_on))
    return [
        AssemblyHere(row.id, row.kind, row.maker, row.model, row.serial, tuple(stays))
        for row, stays in found.values()
    ]


def engine_tables(work: Work, assembly_ids: Collection[int]) -> dict[str, list[Row]]:
    """Everything written down about these assemblies, on whichever airplane, by table."""
    tables = {name: _rows(work, name, "assembly_id", assembly_ids) for name in _OF_ENGINES}
    tests = [row["id"] for row in tables["compression_test"]]
    tables["cylinder_reading"] = _rows(work, "cylinder_reading", "test_id", tests)
    plugs = {row["plug_id"] for name in ("plug_stay", "plug_check") for row in tables[name]}
    tables["spark_plug"] = _rows(work, "spark_plug", "id", plugs)
    tables["assembly"] = _rows(work, "assembly", "id", assembly_ids)
    return tables


def _rows(work: Work, name: str, column: str, values: Collection[int]) -> list[Row]:
    table = table_of(name)
    query = select(table).where(table.c[column].in_(sorted(values))).order_by(table.c.id)
    return [dict(row) for row in work.session.execute(query).mappings()]


def people_like(work: Work, names: Collection[str]) -> dict[str, tuple[int, frozenset[tuple[str, str]]]]:
    """People of this fleet with one of these names: their id, and kind and number of each certificate."""
    of = CertificateRow
    query = (
        select(PersonRow.id, PersonRow.name, of.kind, of.number)
        .outerjoin(of, of.person_id == PersonRow.id)
        .where(PersonRow.name.in_(names))
    )
    found: dict[str, tuple[int, set[tuple[str, str]]]] = {}
    for person_id, name, kind, number in work.session.execute(query):
        held = found.setdefault(name, (person_id, set()))[1]
        if number:
            held.add((str(kind), number))
    return {name: (person_id, frozenset(held)) for name, (person_id, held) in found.items()}


def received_seals(work: Work, aircraft_id: int) -> set[str]:
    """The seals of everything that earlier keepers signed about the airplane and that was taken in."""
    of = ReceivedRecordRow
    return set(work.session.scalars(select(of.seal).where(of.aircraft_id == aircraft_id)))
