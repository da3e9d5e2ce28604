"""Columns of the fleet list and of the due list."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING

from annual_planner.desktop.column_room import LAST_RESORT
from annual_planner.desktop.columns import Column, day_text, days_from, hours_text, spoken_day

if TYPE_CHECKING:
    from annual_planner.store.rows import DueLine, FleetLine

STATES = ("overdue", "no record", "due soon", "in date")


def fleet_columns(today: date) -> tuple[Column[FleetLine], ...]:
    """An airplane, how it stands, what comes first and when."""
    return (
        Column("registration", "Airplane", lambda a: a.registration, "registration", 9),
        Column("state", "Standing", standing, "state", 15, sign=lambda a: a.state),
        Column("first_title", "Comes first", lambda a: a.first_title, "first_title", 30),
        Column(
            "comes_first_on",
            "Expected",
            lambda a: day_text(a.comes_first_on),
            "comes_first_on",
            12,
            right=True,
            spoken=lambda a: f"{spoken_day(a.comes_first_on)}, {days_from(today, a.comes_first_on)}",
            tip=lambda a: days_from(today, a.comes_first_on),
            aside=LAST_RESORT,
        ),
        Column(
            "annual_due_on",
            "Annual due",
            lambda a: day_text(a.annual_due_on),
            "annual_due_on",
            12,
            right=True,
            spoken=lambda a: spoken_day(a.annual_due_on),
            tip=lambda a: days_from(today, a.annual_due_on),
            aside=5,
        ),
        Column("hours_now", "Hours", lambda a: hours_text(a.hours_now), "hours_now", 8, right=True, aside=4),
        Column(
            "hours_per_month",
            "A month (h)",
            lambda a: hours_text(a.hours_per_month),
            "hours_per_month",
            10,
            right=True,
            aside=3,
        ),
        Column("model", "Type", lambda a: f"{a.maker} {a.model}", "maker", 20, aside=2),
        Column("owner", "Owner", lambda a: a.owner, "owner", 18, aside=1),
        Column("base", "Base", lambda a: a.base, "base", 16, hidden=True),
        Column(
            "read_on", "Meter read", lambda a: day_text(a.read_on), "read_on", 12, right=True, hidden=True
        ),
        Column("overdue", "Overdue", lambda a: str(a.overdue), "overdue", 8, right=True, hidden=True),
        Column("due_soon", "Due soon", lambda a: str(a.due_soon), "due_soon", 8, right=True, hidden=True),
    )


def standing(line: FleetLine) -> str:
    """The word, and how many requirements stand behind it."""
    count = {"overdue": line.overdue, "due soon": line.due_soon}.get(line.state, 0)
    return f"{line.state} ({count})" if count > 1 else line.state


def due_columns(today: date) -> tuple[Column[DueLine], ...]:
    """A requirement of an airplane, how it stands and when it falls due."""
    return (
        Column("registration", "Airplane", lambda d: d.registration, "registration", 9),
        Column("state", "Standing", lambda d: d.standing, "state", 13, sign=lambda d: d.state),
        Column("title", "Requirement", lambda d: d.title, "title", 34),
        Column(
            "comes_first_on",
            "Expected",
            lambda d: day_text(d.comes_first_on),
            "comes_first_on",
            12,
            right=True,
            spoken=lambda d: f"{spoken_day(d.comes_first_on)}, {days_from(today, d.comes_first_on)}",
            tip=between,
            aside=LAST_RESORT,
        ),
        Column("due_on", "Due on", lambda d: day_text(d.due_on), "due_on", 12, right=True, aside=6),
        Column(
            "due_hours", "Due at (h)", lambda d: hours_text(d.due_hours), "due_hours", 9, right=True, aside=5
        ),
        Column(
            "hours_left",
            "Hours left",
            lambda d: hours_text(d.hours_left),
            "hours_left",
            7,
            right=True,
            aside=4,
        ),
        Column("interval", "Interval", lambda d: d.interval, "interval", 22, aside=3),
        Column("citation", "Rests on", lambda d: d.citation, "citation", 22, aside=2),
        Column("force", "Force", lambda d: d.force, "force", 11, aside=1),
        Column("counts_on", "Counts on", lambda d: d.counts_on, "counts_on", 11, hidden=True),
        Column("last_on", "Last done", lambda d: day_text(d.last_on), "last_on", 12, right=True, hidden=True),
        Column("note", "Note", lambda d: d.note, "note", 30, hidden=True),
    )


def between(line: DueLine) -> str:
    """The bounds of the forecast in words."""
    if line.early_on is None or line.late_on is None:
        return line.first_limit
    return f"between {day_text(line.early_on)} and {day_text(line.late_on)}, as it is flown"
