"""What is read for one discrepancy, and for the tabs about all of them."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from annual_planner.records.alike import Alike
    from annual_planner.store.review_rows import AgeBand, BlockedPromise, DiscrepancySheet, FlowMonth
    from annual_planner.store.session import Work
    from annual_planner.trade.deferral import Equipment
    from annual_planner.trade.working import Worked

YEARS_OF_FLOW = 2


@dataclass(frozen=True, slots=True)
class Seen:
    """One discrepancy, what was found before, and what its forms offer."""

    sheet: DiscrepancySheet
    assembly: str
    before: Worked[Alike]
    next_inspection_on: date | None


@dataclass(frozen=True, slots=True)
class Facts:
    """What forms offer, the same for every discrepancy."""

    people: tuple[tuple[object, str], ...]
    airplanes: tuple[tuple[object, str], ...]
    zones: tuple[tuple[object, str], ...]
    equipment: tuple[Equipment, ...]


@dataclass(frozen=True, slots=True)
class OverTime:
    """Flow month by month, and the ages of what is open."""

    months: tuple[FlowMonth, ...]
    ages: tuple[AgeBand, ...]


def read_seen(work: Work, discrepancy_id: int, owner_id: int | None, today: date) -> Seen:
    """Read one discrepancy. Refused when it is gone, or of another owner's airplane."""
    from annual_planner.records.alike import alike
    from annual_planner.store import fleet_reads
    from annual_planner.store.discrepancy_reads import discrepancy_sheet
    from annual_planner.trade.refused import Refused

    sheet = discrepancy_sheet(work, discrepancy_id)
    line = sheet.line
    if owner_id is not None and fleet_reads.owner_of(work, line.aircraft_id) != owner_id:
        raise Refused("That discrepancy is of another owner's airplane.", "Choose one in the list.")
    parts = fleet_reads.assemblies(work, line.aircraft_id) if line.assembly_id is not None else []
    part = next((each for each in parts if each.assembly_id == line.assembly_id), None)
    before = alike(
        work, line.aircraft_id, line.zone, line.text, today, cylinder=line.cylinder, but_not=discrepancy_id
    )
    airplane = fleet_reads.fleet_lines(work, [line.aircraft_id])
    return Seen(
        sheet=sheet,
        assembly=f"{part.kind} {part.position}" if part is not None else "",
        before=before,
        next_inspection_on=airplane[0].annual_due_on if airplane else None,
    )


def read_facts(work: Work, zones: tuple[tuple[object, str], ...], equipment: tuple[Equipment, ...]) -> Facts:
    """Read the people and airplanes that forms offer."""
    from annual_planner.store import fleet_reads

    return Facts(
        people=tuple((each.person_id, each.name) for each in fleet_reads.people(work)),
        airplanes=fleet_reads.registrations(work),
        zones=zones,
        equipment=equipment,
    )


def read_over_time(work: Work, today: date) -> OverTime:
    """Flow of the last two years, and ages."""
    from annual_planner.store.discrepancy_reads import ages, flow

    return OverTime(
        flow(work, today.replace(year=today.year - YEARS_OF_FLOW, day=1), today), ages(work, today)
    )


def read_promises(work: Work) -> tuple[BlockedPromise, ...]:
    """Promised days that open discrepancies stand in the way of."""
    from annual_planner.store.discrepancy_reads import promises_blocked

    return promises_blocked(work)
