"""What an airplane's due state is worked out from, in a fixed number of queries; and writing it down."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, fields
from datetime import date
from decimal import Decimal
from typing import Any

from sqlalchemy import BindParameter, bindparam, or_, select

from annual_planner.store.bulk import replace_rows
from annual_planner.store.mappings import (
    FAR_FUTURE,
    AircraftRow,
    AssemblyRow,
    ComplianceRow,
    InstallationRow,
    MeterReadingRow,
    MeterRow,
    RequirementRow,
)
from annual_planner.store.session import Work
from annual_planner.store.weighable import INTERVAL_COLUMNS, interval_of
from annual_planner.trade.periods import Force, Interval, Point
from annual_planner.trade.refused import Refused
from annual_planner.trade.usage import Reading


@dataclass(frozen=True, slots=True)
class Fitted:
    """An assembly as it is fitted now, with both hours at its fitting."""

    kind: str
    position: int
    airframe_hours_at_fitting: Decimal
    assembly_hours_at_fitting: Decimal

    def hours_at(self, airframe_hours: Decimal) -> Decimal:
        """Its own hours when the airframe has these."""
        return airframe_hours - self.airframe_hours_at_fitting + self.assembly_hours_at_fitting


@dataclass(frozen=True, slots=True)
class Done:
    """One doing, with the hours of the assembly that the requirement counts on."""

    point: Point
    enroute: bool


@dataclass(frozen=True, slots=True)
class Need:
    """One requirement as the due arithmetic asks for it."""

    requirement_id: int
    assembly_id: int | None
    key: str
    title: str
    citation: str
    force: Force
    interval: Interval | None
    effective: Point | None
    fixed_on: date | None
    terminated: str
    note: str


@dataclass(frozen=True, slots=True)
class DueFacts:
    """Everything one airplane's due state is worked out from."""

    aircraft_id: int
    registration: str
    stated_hours_per_month: Decimal | None
    readings: tuple[Reading, ...]
    """By date, of the meters whose hours count as time in service."""
    landings: tuple[tuple[date, int], ...]
    """Landings counted by a date, by date."""
    needs: tuple[Need, ...]
    done: dict[int, tuple[Done, ...]]
    """By requirement, oldest first."""
    fitted: dict[int, Fitted]
    """What is fitted now, by assembly."""


@dataclass(frozen=True, slots=True)
class KeptDue:
    """One line of the kept due state; `comes_first_on` None when it never comes due."""

    requirement_id: int
    aircraft_id: int
    due_on: date | None
    due_hours: Decimal | None
    due_cycles: int | None
    hours_left: Decimal | None
    cycles_left: int | None
    state: str
    first_limit: str
    forecast_on: date | None
    """As foreseen when the meter was last read, so it may have passed; so may the two bounds."""
    early_on: date | None
    late_on: date | None
    passed_on: date | None
    comes_first_on: date | None
    looks_again_on: date | None
    last_on: date | None
    last_hours: Decimal | None
    counts_on: str
    interval: str
    note: str


@dataclass(frozen=True, slots=True)
class KeptStanding:
    """How an airplane stands as a whole; `comes_first_on` None when nothing comes due."""

    aircraft_id: int
    comes_first_on: date | None
    first_requirement_id: int | None
    first_title: str
    state: str
    overdue: int
    due_soon: int
    annual_due_on: date | None
    hours_now: Decimal | None
    landings_now: int | None
    read_on: date | None
    hours_per_month: Decimal | None
    worked_out_on: date
    looks_again_on: date | None


# Made once: an airplane is worked out again at every change, and building its queries anew costs as much as
# some of them take.
_ID: BindParameter[int] = bindparam("airplane")
_AIRPLANE = select(AircraftRow.registration, AircraftRow.stated_hours_per_month).where(AircraftRow.id == _ID)
_READINGS = (
    select(
        MeterReadingRow.read_on,
        MeterReadingRow.meter_hours,
        MeterRow.offset_hours,
        MeterReadingRow.landings,
    )
    .join(MeterRow, MeterRow.id == MeterReadingRow.meter_id)
    .where(MeterReadingRow.aircraft_id == _ID)
    # A second meter that only runs along is kept, but its hours are not time in service.
    .where(or_(MeterRow.of_record, MeterRow.replaced_on.is_not(None)))
    .order_by(MeterReadingRow.read_on, MeterReadingRow.id)
)
_NEEDS = (
    select(
        RequirementRow.id,
        RequirementRow.assembly_id,
        RequirementRow.key,
        RequirementRow.title,
        RequirementRow.citation,
        RequirementRow.force,
        *INTERVAL_COLUMNS,
        RequirementRow.effective_on,
        RequirementRow.effective_hours,
        RequirementRow.fixed_on,
        RequirementRow.terminated,
        RequirementRow.note,
    )
    .where(RequirementRow.aircraft_id == _ID)
    .order_by(RequirementRow.id)
)
_DONE = (
    select(
        ComplianceRow.requirement_id,
        ComplianceRow.done_on,
        ComplianceRow.done_hours,
        ComplianceRow.done_cycles,
        ComplianceRow.enroute,
    )
    .join(RequirementRow, RequirementRow.id == ComplianceRow.requirement_id)
    .where(RequirementRow.aircraft_id == _ID)
    .order_by(ComplianceRow.requirement_id, ComplianceRow.done_on, ComplianceRow.id)
)
_FITTED = (
    select(
        InstallationRow.assembly_id,
        AssemblyRow.kind,
        InstallationRow.position,
        InstallationRow.airframe_hours_at_fitting,
        InstallationRow.assembly_hours_at_fitting,
    )
    .join(AssemblyRow, AssemblyRow.id == InstallationRow.assembly_id)
    .where(InstallationRow.aircraft_id == _ID, InstallationRow.removed_on.is_(None))
)


def due_facts(work: Work, aircraft_id: int) -> DueFacts:
    """Read them: five queries, however many requirements there are. Raises Refused when it is gone."""
    row = work.session.execute(_AIRPLANE, {"airplane": aircraft_id}).first()
    if row is None:
        raise Refused("The airplane is no longer in the fleet.", "Go back to the fleet list.")
    readings, landings = _readings(work, aircraft_id)
    return DueFacts(
        aircraft_id=aircraft_id,
        registration=row[0],
        stated_hours_per_month=row[1],
        readings=readings,
        landings=landings,
        needs=_needs(work, aircraft_id),
        done=_done(work, aircraft_id),
        fitted=_fitted(work, aircraft_id),
    )


def _readings(work: Work, aircraft_id: int) -> tuple[tuple[Reading, ...], tuple[tuple[date, int], ...]]:
    rows = work.session.execute(_READINGS, {"airplane": aircraft_id}).all()
    landings = tuple((read_on, count) for read_on, _, _, count in rows if count is not None)
    return tuple(Reading(read_on, hours, offset) for read_on, hours, offset, _ in rows), landings


def _needs(work: Work, aircraft_id: int) -> tuple[Need, ...]:
    return tuple(_need(row) for row in work.session.execute(_NEEDS, {"airplane": aircraft_id}))


def _need(row: Any) -> Need:
    counted = row.effective_on is not None or row.effective_hours is not None
    return Need(
        requirement_id=row.id,
        assembly_id=row.assembly_id,
        key=row.key,
        title=row.title,
        citation=row.citation,
        force=Force(row.force),
        interval=interval_of(row),
        effective=Point(row.effective_on, row.effective_hours) if counted else None,
        fixed_on=row.fixed_on,
        terminated=row.terminated,
        note=row.note,
    )


def _done(work: Work, aircraft_id: int) -> dict[int, tuple[Done, ...]]:
    done: dict[int, list[Done]] = {}
    for requirement_id, on, hours, cycles, enroute in work.session.execute(_DONE, {"airplane": aircraft_id}):
        done.setdefault(requirement_id, []).append(Done(Point(on, hours, cycles), enroute))
    return {requirement_id: tuple(each) for requirement_id, each in done.items()}


def _fitted(work: Work, aircraft_id: int) -> dict[int, Fitted]:
    rows = work.session.execute(_FITTED, {"airplane": aircraft_id})
    return {row[0]: Fitted(row[1], row[2], row[3], row[4]) for row in rows}


def write_due(work: Work, aircraft_id: int, lines: Sequence[KeptDue], standing: KeptStanding) -> None:
    """Put this due state in place of what is kept of the airplane."""
    replace_rows(work, "due", "aircraft_id", aircraft_id, [_stored(line) for line in lines])
    replace_rows(work, "aircraft_standing", "aircraft_id", aircraft_id, [_stored(standing)])


def _stored(kept: KeptDue | KeptStanding) -> dict[str, object]:
    values = {each.name: getattr(kept, each.name) for each in fields(kept)}
    values["comes_first_on"] = kept.comes_first_on or FAR_FUTURE
    return values


def aircraft_of_requirement(work: Work, requirement_id: int) -> int:
    """The airplane that a requirement belongs to. Raises Refused when it is gone."""
    query = select(RequirementRow.aircraft_id).where(RequirementRow.id == requirement_id)
    found = work.session.scalar(query)
    if found is None:
        raise Refused("The requirement is no longer in the fleet.", "Look at the list again.")
    return found
