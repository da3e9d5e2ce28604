"""The audit trail: who changed what, when, from what to what; written in the change's own transaction."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import UTC, date, datetime
from decimal import Decimal

from sqlalchemy import func, insert, select

from annual_planner.store.mappings import AuditRow
from annual_planner.store.session import Work


def note_change(
    work: Work,
    table: str,
    row_id: int,
    aircraft_id: int | None,
    what: str,
    before: Mapping[str, object],
    after: Mapping[str, object],
) -> None:
    """Write one line of the trail: `what` for people to read, `before` and `after` the values by field."""
    line = {
        "changed_at": datetime.now(UTC),
        "changed_by": work.by,
        "table_name": table,
        "row_id": row_id,
        "aircraft_id": aircraft_id,
        "what": what,
        "before": as_plain(before),
        "after": as_plain(after),
    }
    work.session.execute(insert(AuditRow), [line])


def as_plain(values: Mapping[str, object]) -> dict[str, object]:
    """Values as JSON can hold them: decimals and dates as text, bytes by their digest."""
    return {key: _plain(value) for key, value in values.items()}


def _plain(value: object) -> object:
    if isinstance(value, Decimal):
        return f"{value:f}"
    if isinstance(value, date | datetime):
        return value.isoformat()
    if isinstance(value, list | tuple | set | frozenset):
        return [_plain(item) for item in value]
    return _digest(value) if isinstance(value, bytes) else value


def _digest(value: bytes) -> str:
    from hashlib import sha256  # late: a program that has just started needs no hashes

    return f"{len(value)} bytes, SHA-256 {sha256(value).hexdigest()}"


@dataclass(frozen=True, slots=True)
class LastChange:
    """Who changed a row last, and when."""

    changed_by: str
    changed_at: datetime


def newest_change(work: Work) -> int:
    """The number of the newest line of the trail; 0 where there is none. It only ever grows."""
    return work.session.scalar(select(func.max(AuditRow.id))) or 0


def last_change(work: Work, table: str, row_id: int) -> LastChange | None:
    """The newest change of one row; None where the trail has none."""
    query = (
        select(AuditRow.changed_by, AuditRow.changed_at)
        .where(AuditRow.table_name == table, AuditRow.row_id == row_id)
        .order_by(AuditRow.id.desc())
        .limit(1)
    )
    found = work.session.execute(query).first()
    return None if found is None else LastChange(*found)
