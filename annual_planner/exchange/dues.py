"""The due list as rows and as values for scripts."""

from __future__ import annotations

from collections.abc import Sequence

from annual_planner.exchange.tables import Cell
from annual_planner.store.rows import DueLine

DUE_HEADINGS = (
    "airplane", "what", "standing", "due on", "due at hours", "hours left",
    "expected on", "early", "late", "limit first", "force", "source",
)  # fmt: skip


def due_rows(lines: Sequence[DueLine]) -> list[list[Cell]]:
    """One row for each line, in the order of DUE_HEADINGS."""
    return [
        [
            line.registration, line.title, line.standing, line.due_on, line.due_hours, line.hours_left,
            line.forecast_on, line.early_on, line.late_on, line.first_limit, line.force, line.citation,
        ]
        for line in lines
    ]  # fmt: skip


def due_values(lines: Sequence[DueLine]) -> list[dict[str, object]]:
    """One object for each line.

    Keys: aircraft, requirement_id, title, citation, force, counts_on, interval, last_on, last_hours, due_on,
    due_hours, hours_left, state, standing (as the window words it: 'past advice' too), first_limit,
    forecast_on, early_on, late_on. Dates are ISO text, hours decimal text, and what isn't known is null.
    """
    return [
        {
            "aircraft": line.registration,
            "requirement_id": line.requirement_id,
            "title": line.title,
            "citation": line.citation,
            "force": line.force,
            "counts_on": line.counts_on,
            "interval": line.interval,
            "last_on": line.last_on,
            "last_hours": line.last_hours,
            "due_on": line.due_on,
            "due_hours": line.due_hours,
            "hours_left": line.hours_left,
            "state": line.state,
            "standing": line.standing,
            "first_limit": line.first_limit,
            "forecast_on": line.forecast_on,
            "early_on": line.early_on,
            "late_on": line.late_on,
        }
        for line in lines
    ]
