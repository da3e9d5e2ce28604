"""What the checks of records ask of the fleet before something is written down."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import Any

from sqlalchemy import Select, or_, select

from annual_planner.store.mappings import (
    AircraftRow,
    AssemblyRow,
    ComplianceRow,
    InstallationRow,
    MeterReadingRow,
    MeterRow,
    RequirementRow,
)
from annual_planner.store.session import Work
from annual_planner.trade.refused import Refused
from annual_planner.trade.usage import Reading

_COUNTS = or_(MeterRow.of_record, MeterRow.replaced_on.is_not(None))
"""Meters whose hours count, or counted until they were replaced."""


@dataclass(frozen=True, slots=True)
class Meter:
    """The meter of record of an airplane."""

    meter_id: int
    kind: str
    offset_hours: Decimal


@dataclass(frozen=True, slots=True)
class Counted:
    """A requirement with what its hours count on."""

    requirement_id: int
    aircraft_id: int
    title: str
    year_built: int | None
    terminated: str
    assembly_id: int | None
    fitted_on: date | None
    """When that assembly was fitted; None for the airframe or what is not fitted."""
    offset_hours: Decimal | None
    """What is added to the airframe's hours to give those of the assembly; None where it isn't fitted."""


def meter_of_record(work: Work, aircraft_id: int) -> Meter:
    """The meter whose hours count as time in service. Raises Refused when there is none."""
    query = (
        select(MeterRow.id, MeterRow.kind, MeterRow.offset_hours)
        .where(MeterRow.aircraft_id == aircraft_id, MeterRow.of_record, MeterRow.replaced_on.is_(None))
        .order_by(MeterRow.id.desc())
        .limit(1)
    )
    row = work.session.execute(query).first()
    if row is None:
        raise Refused("The airplane has no meter whose hours count.", "Add the airplane's meter first.")
    return Meter(row[0], row[1], row[2])


def offset_of_meter(work: Work, meter_id: int) -> Decimal:
    """What is added to a meter's reading to give the airframe's hours."""
    return work.session.execute(select(MeterRow.offset_hours).where(MeterRow.id == meter_id)).scalar_one()


def readings_around(
    work: Work, aircraft_id: int, on: date, *, without: int | None = None
) -> tuple[Reading | None, Reading | None]:
    """The last counting reading on or before a day, and the first on or after it; `without` one reading."""
    query = (
        select(MeterReadingRow.read_on, MeterReadingRow.meter_hours, MeterRow.offset_hours)
        .join(MeterRow, MeterRow.id == MeterReadingRow.meter_id)
        .where(MeterReadingRow.aircraft_id == aircraft_id)
        .where(_COUNTS)
        .limit(1)
    )
    if without is not None:
        query = query.where(MeterReadingRow.id != without)
    newest, oldest = MeterReadingRow.read_on.desc(), MeterReadingRow.read_on
    before = query.where(MeterReadingRow.read_on <= on).order_by(newest, MeterReadingRow.id.desc())
    after = query.where(MeterReadingRow.read_on >= on).order_by(oldest, MeterReadingRow.id)
    found = [work.session.execute(each).first() for each in (before, after)]
    first, second = (Reading(row[0], row[1], row[2]) if row else None for row in found)
    return first, second


@dataclass(frozen=True, slots=True)
class CountingMeter:
    """A meter whose hours count, or counted until it was replaced."""

    meter_id: int
    kind: str
    fitted_on: date
    offset_hours: Decimal


def counting_meters(work: Work, aircraft_id: int) -> list[CountingMeter]:
    """The meters whose hours count or counted, the first one fitted first."""
    query = select(MeterRow.id, MeterRow.kind, MeterRow.fitted_on, MeterRow.offset_hours)
    query = query.where(MeterRow.aircraft_id == aircraft_id, _COUNTS)
    rows = work.session.execute(query.order_by(MeterRow.fitted_on, MeterRow.id))
    return [CountingMeter(*row) for row in rows]


def meter_on(meters: Sequence[CountingMeter], day: date) -> CountingMeter:
    """Of an airplane's counting meters the one that was in it on a day: from the day it was fitted on.

    Before the first was fitted it is that one. Raises Refused when there is none.
    """
    if not meters:
        raise Refused("The airplane has no meter whose hours count.", "Add the airplane's meter first.")
    fitted = [meter for meter in meters if meter.fitted_on <= day]
    return fitted[-1] if fitted else meters[0]


def counting_readings(work: Work, aircraft_id: int) -> list[Reading]:
    """Every reading of those meters, oldest first."""
    query = (
        select(MeterReadingRow.read_on, MeterReadingRow.meter_hours, MeterRow.offset_hours)
        .join(MeterRow, MeterRow.id == MeterReadingRow.meter_id)
        .where(MeterReadingRow.aircraft_id == aircraft_id, _COUNTS)
        .order_by(MeterReadingRow.read_on, MeterReadingRow.id)
    )
    return [Reading(*row) for row in work.session.execute(query)]


def has_reading_on(work: Work, meter_id: int, on: date, *, without: int | None = None) -> bool:
    """Say whether this meter has a reading of that day."""
    query = select(MeterReadingRow.id).where(
        MeterReadingRow.meter_id == meter_id, MeterReadingRow.read_on == on
    )
    if without is not None:
        query = query.where(MeterReadingRow.id != without)
    return work.session.execute(query.limit(1)).first() is not None


def counted(work: Work, requirement_id: int) -> Counted:
    """A requirement with what it counts on. Raises Refused when it is gone."""
    row = work.session.execute(counted_query().where(RequirementRow.id == requirement_id)).first()
    if row is None:
        raise Refused("The requirement is no longer in the fleet.", "Look at the list again.")
    return counted_row(tuple(row))


def counted_query() -> Select[*tuple[Any, ...]]:
    """Asks for requirements with what they count on; `counted_row` reads a row of it."""
    return (
        select(
            RequirementRow.id,
            RequirementRow.aircraft_id,
            RequirementRow.title,
            AircraftRow.year_built,
            RequirementRow.terminated,
            RequirementRow.assembly_id,
            InstallationRow.fitted_on,
            InstallationRow.assembly_hours_at_fitting,
            InstallationRow.airframe_hours_at_fitting,
        )
        .join(AircraftRow, AircraftRow.id == RequirementRow.aircraft_id)
        .outerjoin(
            InstallationRow,
            (InstallationRow.assembly_id == RequirementRow.assembly_id)
            & InstallationRow.removed_on.is_(None),
        )
    )


def counted_row(row: Sequence[Any]) -> Counted:
    """A row of `counted_query`."""
    return Counted(row[0], row[1], row[2], row[3], row[4], row[5], row[6], _offset(row[5], row[7], row[8]))


def _offset(assembly_id: int | None, own: Decimal | None, airframe: Decimal | None) -> Decimal | None:
    if assembly_id is None:
        return Decimal(0)
    return None if own is None or airframe is None else own - airframe


def done_on_same_day(work: Work, requirement_id: int, on: date) -> bool:
    """Say whether the requirement is written down as done on that day."""
    query = select(ComplianceRow.id).where(
        ComplianceRow.requirement_id == requirement_id, ComplianceRow.done_on == on
    )
    return work.session.execute(query.limit(1)).first() is not None


def fitted_by_kind(work: Work, aircraft_id: int) -> dict[str, list[int]]:
    """Ids of what is fitted now by kind of assembly, in the order of position."""
    query = (
        select(AssemblyRow.kind, AssemblyRow.id)
        .join(InstallationRow, InstallationRow.assembly_id == AssemblyRow.id)
        .where(InstallationRow.aircraft_id == aircraft_id, InstallationRow.removed_on.is_(None))
        .order_by(InstallationRow.position, AssemblyRow.id)
    )
    fitted: dict[str, list[int]] = {}
    for kind, assembly_id in work.session.execute(query):
        fitted.setdefault(kind, []).append(assembly_id)
    return fitted


def taken_on(work: Work, aircraft_id: int) -> set[tuple[str, int | None]]:
    """Keys of the templates an airplane has taken on and still has, with the assembly each counts on."""
    query = select(RequirementRow.key, RequirementRow.assembly_id).where(
        RequirementRow.aircraft_id == aircraft_id, RequirementRow.terminated == "", RequirementRow.key != ""
    )
    return {(key, assembly_id) for key, assembly_id in work.session.execute(query)}


def is_taken(work: Work, registration: str) -> bool:
    """Say whether an airplane of the fleet has this registration."""
    query = select(AircraftRow.id).where(AircraftRow.registration == registration)
    return work.session.execute(query).first() is not None
