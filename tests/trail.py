"""The audit trail as tests look at it."""

from __future__ import annotations

from annual_planner.store.session import Work
from annual_planner.store.trail_reads import TrailLine, trail_ids, trail_lines


def newest_lines(work: Work, aircraft_id: int | None = None, most: int = 200) -> list[TrailLine]:
    """The newest lines of the trail, of one airplane or of the fleet, the newest first."""
    lines = trail_lines(work, trail_ids(work, aircraft_id=aircraft_id)[:most])
    return sorted(lines, key=lambda line: line.audit_id, reverse=True)
