"""What the shop's weeks are planned from: every airplane with its annual, and the hours visits took."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from sqlalchemy import func, select

from annual_planner.store.due_days import shown
from annual_planner.store.mappings import AircraftRow, DueRow, PersonRow, RequirementRow, StandingRow
from annual_planner.store.session import Work
from annual_planner.store.work_mappings import CardRow, PackageRow
from annual_planner.trade.package_states import CLOSED

ANNUAL_KEY = "annual"


@dataclass(frozen=True, slots=True)
class AnnualAhead:
    """An airplane and when its annual is due; no dates where it was never recorded."""

    aircraft_id: int
    registration: str
    owner: str
    engines: int
    due_on: date | None
    early_on: date | None


@dataclass(frozen=True, slots=True)
class VisitHours:
    """Likely hours of an airplane's newest package, and whether it is still open."""

    package_id: int
    hours: Decimal
    open: bool
    start_on: date


def annuals_ahead(work: Work, *, aircraft_id: int | None = None) -> tuple[AnnualAhead, ...]:
    """Every airplane, or this one, with the due date of its annual, what comes first first: two queries.

    Joined here: a database without statistics would go through all annuals again for each airplane.
    """
    dues = (
        select(RequirementRow.aircraft_id, DueRow.due_on, shown(DueRow.early_on))
        .join(DueRow, DueRow.requirement_id == RequirementRow.id)
        .outerjoin(StandingRow, StandingRow.aircraft_id == RequirementRow.aircraft_id)
        .where(RequirementRow.key == ANNUAL_KEY, RequirementRow.terminated == "")
    )
    airplanes = (
        select(AircraftRow.id, AircraftRow.registration, PersonRow.name, AircraftRow.counts)
        .outerjoin(PersonRow, PersonRow.id == AircraftRow.owner_id)
        .order_by(AircraftRow.registration)
    )
    if aircraft_id is not None:
        dues = dues.where(RequirementRow.aircraft_id == aircraft_id)
        airplanes = airplanes.where(AircraftRow.id == aircraft_id)
    due: dict[int, tuple[date | None, date | None]] = {}
    for row_id, due_on, early_on in work.session.execute(dues):
        due[row_id] = min(
            due.get(row_id, (None, None)), (due_on, early_on), key=lambda each: each[0] or date.max
        )
    found = (
        AnnualAhead(
            row_id, registration, owner or "", max(int(counts.get("engines", 1)), 1),
            *due.get(row_id, (None, None)),
        )
        for row_id, registration, owner, counts in work.session.execute(airplanes)
    )  # fmt: skip
    return tuple(sorted(found, key=lambda annual: annual.due_on or date.max))


def visit_hours(work: Work) -> dict[int, VisitHours]:
    """Hours of each airplane's newest package, by airplane: one query."""
    newest = select(func.max(PackageRow.id)).group_by(PackageRow.aircraft_id).scalar_subquery()
    query = (
        select(
            PackageRow.aircraft_id,
            PackageRow.id,
            PackageRow.state,
            PackageRow.start_on,
            func.sum(CardRow.hours_likely),
        )
        .join(CardRow, CardRow.package_id == PackageRow.id)
        .where(PackageRow.id.in_(newest), CardRow.included)
        .group_by(PackageRow.aircraft_id, PackageRow.id, PackageRow.state, PackageRow.start_on)
    )
    return {
        aircraft_id: VisitHours(package_id, hours, state != CLOSED, start_on)
        for aircraft_id, package_id, state, start_on, hours in work.session.execute(query)
    }
