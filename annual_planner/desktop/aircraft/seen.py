"""Everything the place shows of one airplane, read in one go."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal

from annual_planner.store.rows import (
    AircraftSheet,
    AssemblyLine,
    ComplianceLine,
    DiscrepancyLine,
    DueLine,
    PackageLine,
    PersonLine,
    ReadingLine,
)
from annual_planner.store.session import Work
from annual_planner.trade.refused import Refused


@dataclass(frozen=True, slots=True)
class FlownMonth:
    """Hours flown in one whole month."""

    month: date
    hours: Decimal
    more: Decimal | None = None
    """More than in the same month a year before; None where that wasn't recorded."""


@dataclass(frozen=True, slots=True)
class Seen:
    """One airplane as it stands."""

    sheet: AircraftSheet
    assemblies: tuple[AssemblyLine, ...]
    readings: tuple[ReadingLine, ...]
    compliances: tuple[ComplianceLine, ...]
    discrepancies: tuple[DiscrepancyLine, ...]
    packages: tuple[PackageLine, ...]
    people: tuple[PersonLine, ...]
    first: DueLine | None
    """What comes first."""
    months: tuple[FlownMonth, ...]

    @property
    def about(self) -> str:
        """Which airplane it is, in a line."""
        sheet = self.sheet
        parts = (
            f"{sheet.maker} {sheet.model}".strip(),
            f"serial {sheet.serial}" if sheet.serial else "",
            f"built {sheet.year_built}" if sheet.year_built else "",
            sheet.owner,
            sheet.base,
        )
        return "  ·  ".join(part for part in parts if part)

    def assembly_of(self, counts_on: str) -> AssemblyLine | None:
        """The fitted assembly that 'engine 1' or 'airframe' means."""
        kind, _, number = counts_on.partition(" ")
        fitted = [each for each in self.assemblies if each.removed_on is None and each.kind == kind]
        wanted = int(number) if number.isdecimal() else 1
        return next((each for each in fitted if each.position == wanted), fitted[0] if fitted else None)

    def hours_on(self, day: date, counts_on: str = "airframe") -> Decimal | None:
        """Hours of an assembly by the last reading taken until that day; None where none was taken."""
        airframe = next((each.hours for each in self.readings if each.read_on <= day), None)
        assembly = self.assembly_of(counts_on)
        if airframe is None or assembly is None or assembly.kind == "airframe":
            return airframe
        if assembly.hours_now is None or self.sheet.hours_now is None:
            return None
        return max(Decimal(0), airframe - (self.sheet.hours_now - assembly.hours_now))


def read_seen(work: Work, aircraft_id: int, owner_id: int | None, today: date) -> Seen:
    """Read one airplane. Raises Refused when it is gone or another owner's."""
    from annual_planner.store import fleet_reads as reads

    sheet = reads.aircraft_sheet(work, aircraft_id)
    if owner_id is not None and sheet.owner_id != owner_id:
        raise Refused("This airplane belongs to somebody else.", "Pick one of your own in the fleet list.")
    readings = tuple(reads.readings(work, aircraft_id))
    first = reads.due_page(work, aircraft_id=aircraft_id, limit=1)
    seen = Seen(
        sheet=sheet,
        assemblies=tuple(reads.assemblies(work, aircraft_id)),
        readings=readings,
        compliances=tuple(reads.compliances(work, aircraft_id)),
        discrepancies=tuple(reads.discrepancies(work, aircraft_id)),
        packages=tuple(reads.packages(work, aircraft_id=aircraft_id)),
        people=tuple(reads.people(work)),
        first=first[0] if first else None,
        months=(),
    )
    return replace(seen, months=flown_months(readings, sheet.stated_hours_per_month, today))


def flown_months(
    readings: tuple[ReadingLine, ...], stated: Decimal | None, today: date
) -> tuple[FlownMonth, ...]:
    """Hours flown in each whole month between the first and the last reading, oldest first."""
    from annual_planner.trade.usage import Reading, usage

    taken = [Reading(line.read_on, line.meter_hours, line.hours - line.meter_hours) for line in readings]
    try:
        found = usage(taken, stated_hours_per_month=stated, today=today).value
    except Refused:
        return ()
    if found.first_month is None:
        return ()
    months, month = [], found.first_month
    for place, hours in enumerate(found.months):
        more = hours - found.months[place - 12] if place >= 12 else None
        months.append(FlownMonth(month, hours, more))
        month = date(month.year + month.month // 12, month.month % 12 + 1, 1)
    return tuple(months)
