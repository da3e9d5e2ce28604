"""What the shop's weeks are planned from: every airplane with its annual, and the hours visits took."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from sqlalchemy import func, select

from annual_planner.store.due_days import shown
from annual_planner.store.mappings import (
    AircraftRow,
    CardRow,
    DueRow,
    PackageRow,
    PersonRow,
    RequirementRow,
    StandingRow,
)
from annual_planner.store.session import Work

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
    """Every airplane, or this one, with the due date of its annual, what comes first first: one query."""
    due = (
        select(RequirementRow.aircraft_id, DueRow.due_on, shown(DueRow.early_on).label("early_on"))
        .join(DueRow, DueRow.requirement_id == RequirementRow.id)
        .outerjoin(StandingRow, StandingRow.aircraft_id == RequirementRow.aircraft_id)
        .where(RequirementRow.key == ANNUAL_KEY, RequirementRow.terminated == "")
        .subquery()
    )
    query = (
        select(
            AircraftRow.id,
            AircraftRow.registration,
            PersonRow.name,
            AircraftRow.counts,
            due.c.due_on,
            due.c.early_on,
        )
        .outerjoin(due, due.c.aircraft_id == AircraftRow.id)
        .outerjoin(PersonRow, PersonRow.id == AircraftRow.owner_id)
        .order_by(due.c.due_on, AircraftRow.registration)
    )
    if aircraft_id is not None:
        query = query.where(AircraftRow.id == aircraft_id)
    return tuple(
        AnnualAhead(
            row_id, registration, owner or "", max(int(counts.get("engines", 1)), 1), due_on, early_on
        )
        for row_id, registration, owner, counts, due_on, early_on in work.session.execute(query)
    )


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
        aircraft_id: VisitHours(package_id, hours, state != "closed", start_on)
        for aircraft_id, package_id, state, start_on, hours in work.session.execute(query)
    }
