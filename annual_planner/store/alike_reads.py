"""Earlier discrepancies of an airplane and of others of its type."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from sqlalchemy import select
from sqlalchemy.orm import aliased

from annual_planner.store.mappings import AircraftRow
from annual_planner.store.session import Work
from annual_planner.store.work_mappings import DiscrepancyRow

MOST = 2000
"""No more than the newest so many are compared."""


@dataclass(frozen=True, slots=True)
class AlikeLine:
    """An earlier discrepancy, as far as it is compared."""

    discrepancy_id: int
    aircraft_id: int
    registration: str
    found_on: date
    zone: str
    cylinder: int | None
    text: str
    closed_on: date | None


def alike_candidates(work: Work, aircraft_id: int, since: date) -> list[AlikeLine]:
    """Those found since a day on an airplane and on all of its maker and model, newest first: one query."""
    this, d = aliased(AircraftRow), DiscrepancyRow
    query = (
        select(
            d.id, d.aircraft_id, AircraftRow.registration, d.found_on, d.zone, d.cylinder, d.text, d.closed_on
        )
        .join(AircraftRow, AircraftRow.id == d.aircraft_id)
        .join(this, (this.maker == AircraftRow.maker) & (this.model == AircraftRow.model))
        .where(this.id == aircraft_id, d.found_on >= since)
        .order_by(d.found_on.desc(), d.id.desc())
        .limit(MOST)
    )
    return [AlikeLine(*row) for row in work.session.execute(query)]
