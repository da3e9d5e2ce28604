"""The audit trail as a list: who changed what, when, from what to what."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from sqlalchemy import select

from annual_planner.store.mappings import AircraftRow, AuditRow
from annual_planner.store.searching import has_words, ids_of
from annual_planner.store.session import Work

MOST = 50_000
"""Lines of one list; older ones are found by an airplane or by words."""


@dataclass(frozen=True, slots=True)
class TrailLine:
    """One line of the trail; `before` and `after` hold the changed values by field, as plain text."""

    audit_id: int
    changed_at: datetime
    changed_by: str
    registration: str
    """Empty where the line is of no airplane, or of one that is gone."""
    table: str
    row_id: int
    what: str
    before: dict[str, object]
    after: dict[str, object]


def trail_ids(
    work: Work,
    *,
    aircraft_id: int | None = None,
    owner_id: int | None = None,
    search: str = "",
    oldest_first: bool = False,
) -> list[int]:
    """Ids of the lines, the newest first: of the fleet, an airplane, an owner's airplanes. One query."""
    query = select(AuditRow.id)
    if aircraft_id is not None:
        query = query.where(AuditRow.aircraft_id == aircraft_id)
    if owner_id is not None:
        own = select(AircraftRow.id).where(AircraftRow.owner_id == owner_id)
        query = query.where(AuditRow.aircraft_id.in_(own))
    if search.strip():
        query = query.where(has_words(search, (AuditRow.what, AuditRow.changed_by)))
    found = ids_of(work, query.order_by(AuditRow.id.desc()).limit(MOST))
    return found[::-1] if oldest_first else found


def trail_lines(work: Work, ids: Sequence[int]) -> list[TrailLine]:
    """The lines of these ids, in no order. One query."""
    query = (
        select(AuditRow, AircraftRow.registration)
        .outerjoin(AircraftRow, AircraftRow.id == AuditRow.aircraft_id)
        .where(AuditRow.id.in_(ids))
    )
    return [
        TrailLine(
            audit_id=row.id,
            changed_at=row.changed_at,
            changed_by=row.changed_by,
            registration=registration or "",
            table=row.table_name,
            row_id=row.row_id,
            what=row.what,
            before=dict(row.before),
            after=dict(row.after),
        )
        for row, registration in work.session.execute(query)
    ]
