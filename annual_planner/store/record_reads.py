"""Readers of one airplane's records: assemblies, readings, compliances, discrepancies, packages."""

from __future__ import annotations

from decimal import Decimal

from sqlalchemy import ColumnElement, ScalarSelect, case, exists, func, select
from sqlalchemy.orm import aliased

from annual_planner.store.mappings import (
    AircraftRow,
    AssemblyRow,
    AuditRow,
    ComplianceRow,
    InstallationRow,
    MeterReadingRow,
    MeterRow,
    RequirementRow,
    StandingRow,
)
from annual_planner.store.rows import (
    AssemblyLine,
    ComplianceLine,
    DiscrepancyLine,
    PackageLine,
    ReadingLine,
)
from annual_planner.store.session import Work
from annual_planner.store.work_mappings import CardRow, DiscrepancyRow, PackageRow


def assemblies(work: Work, aircraft_id: int) -> list[AssemblyLine]:
    """What is or was fitted to an airplane, what is fitted now first."""
    query = (
        select(AssemblyRow, InstallationRow, StandingRow.hours_now, _fitted_again(), _change_of_stay())
        .join(InstallationRow, InstallationRow.assembly_id == AssemblyRow.id)
        .outerjoin(StandingRow, StandingRow.aircraft_id == InstallationRow.aircraft_id)
        .where(InstallationRow.aircraft_id == aircraft_id)
        .order_by(
            InstallationRow.removed_on.is_not(None),
            AssemblyRow.kind,
            InstallationRow.position,
            InstallationRow.fitted_on.desc(),
            InstallationRow.id,
        )
    )
    return [_assembly_line(*row) for row in work.session.execute(query)]


def _fitted_again() -> ColumnElement[bool]:
    """Whether the assembly was fitted once more since, here or to another airplane."""
    later = aliased(InstallationRow)
    same = (later.assembly_id == InstallationRow.assembly_id) & (later.id > InstallationRow.id)
    return exists().where(same)


def _change_of_stay() -> ScalarSelect[str]:
    """What the newest change of a stay was called: for one that ended, the removal with its reason."""
    of_stay = (AuditRow.table_name == "installation") & (AuditRow.row_id == InstallationRow.id)
    newest = select(AuditRow.what).where(of_stay).order_by(AuditRow.id.desc()).limit(1)
    return newest.correlate(InstallationRow).scalar_subquery()


def _assembly_line(
    row: AssemblyRow, stay: InstallationRow, airframe_hours: Decimal | None, again: bool, change: str | None
) -> AssemblyLine:
    hours = _hours(stay, airframe_hours)
    # What is kept is what it had at its last fitting: of an earlier stay it says nothing.
    since = None if again else row.hours_since_overhaul_at_fitting
    flown = None if hours is None else hours - stay.assembly_hours_at_fitting
    return AssemblyLine(
        assembly_id=row.id,
        kind=row.kind,
        position=stay.position,
        maker=row.maker,
        model=row.model,
        serial=row.serial,
        fitted_on=stay.fitted_on,
        removed_on=stay.removed_on,
        hours_now=hours,
        hours_since_overhaul=None if since is None or flown is None else since + flown,
        type_key=row.type_key,
        why_removed="" if stay.removed_on is None else (change or "").partition(": ")[2],
    )


def _hours(stay: InstallationRow, airframe_hours: Decimal | None) -> Decimal | None:
    if stay.removed_on is not None:
        return stay.assembly_hours_at_removal
    if airframe_hours is None:
        return None
    return airframe_hours - stay.airframe_hours_at_fitting + stay.assembly_hours_at_fitting


def readings(work: Work, aircraft_id: int) -> list[ReadingLine]:
    """An airplane's meter readings, newest first."""
    query = (
        select(MeterReadingRow, MeterRow.kind, MeterRow.offset_hours)
        .join(MeterRow, MeterRow.id == MeterReadingRow.meter_id)
        .where(MeterReadingRow.aircraft_id == aircraft_id)
        .order_by(MeterReadingRow.read_on.desc(), MeterReadingRow.id.desc())
    )
    return [
        ReadingLine(
            reading_id=row.id,
            meter_id=row.meter_id,
            meter=kind,
            read_on=row.read_on,
            meter_hours=row.meter_hours,
            hours=row.meter_hours + offset,
            landings=row.landings,
            note=row.note,
            version=row.version,
        )
        for row, kind, offset in work.session.execute(query)
    ]


def compliances(work: Work, aircraft_id: int) -> list[ComplianceLine]:
    """What was done on an airplane, newest first."""
    query = (
        select(ComplianceRow, RequirementRow.title)
        .join(RequirementRow, RequirementRow.id == ComplianceRow.requirement_id)
        .where(RequirementRow.aircraft_id == aircraft_id)
        .order_by(ComplianceRow.done_on.desc(), ComplianceRow.id.desc())
    )
    return [
        ComplianceLine(
            compliance_id=row.id,
            requirement_id=row.requirement_id,
            title=title,
            done_on=row.done_on,
            done_hours=row.done_hours,
            method=row.method,
            entry=row.entry,
            done_by=row.done_by,
            version=row.version,
        )
        for row, title in work.session.execute(query)
    ]


def discrepancies(
    work: Work, aircraft_id: int | None = None, *, open_only: bool = True
) -> list[DiscrepancyLine]:
    """Defects of an airplane, or of the fleet; oldest first."""
    query = select(DiscrepancyRow).order_by(DiscrepancyRow.found_on, DiscrepancyRow.id)
    if aircraft_id is not None:
        query = query.where(DiscrepancyRow.aircraft_id == aircraft_id)
    if open_only:
        query = query.where(DiscrepancyRow.closed_on.is_(None))
    return [
        DiscrepancyLine(
            discrepancy_id=row.id,
            aircraft_id=row.aircraft_id,
            found_on=row.found_on,
            zone=row.zone,
            text=row.text,
            airworthy=row.airworthy,
            disposition=row.disposition,
            closed_on=row.closed_on,
            hours_estimate=row.hours_estimate,
        )
        for row in work.session.scalars(query)
    ]


def packages(work: Work, *, aircraft_id: int | None = None) -> list[PackageLine]:
    """Work packages of the fleet or of one airplane, the latest start first, with their included cards."""
    hours = func.coalesce(func.sum(case((CardRow.included, CardRow.hours_likely))), 0)
    included = func.count(case((CardRow.included, CardRow.id)))
    query = (
        select(
            PackageRow.id,
            PackageRow.number,
            PackageRow.aircraft_id,
            AircraftRow.registration,
            PackageRow.title,
            PackageRow.start_on,
            PackageRow.state,
            included,
            hours,
        )
        .join(AircraftRow, AircraftRow.id == PackageRow.aircraft_id)
        .outerjoin(CardRow, CardRow.package_id == PackageRow.id)
        .group_by(PackageRow.id, AircraftRow.registration)
        .order_by(PackageRow.start_on.desc(), PackageRow.id.desc())
    )
    if aircraft_id is not None:
        query = query.where(PackageRow.aircraft_id == aircraft_id)
    return [PackageLine(*row) for row in work.session.execute(query)]
