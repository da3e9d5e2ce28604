"""Columns of the lists of this place."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

from annual_planner.desktop.aircraft.seen import FlownMonth
from annual_planner.desktop.column_room import LAST_RESORT
from annual_planner.desktop.columns import Column, day_text, hours_text, spoken_day
from annual_planner.library.zone_words import zone_words
from annual_planner.store.rows import (
    AssemblyLine,
    ComplianceLine,
    DiscrepancyLine,
    DueLine,
    ReadingLine,
)
from annual_planner.trade.periods import Force

FORCE_WORDS = {
    Force.RULE.value: "rule",
    Force.DIRECTIVE.value: "directive",
    Force.LIMITATION.value: "limitation",
    Force.RECOMMENDED.value: "advice",
}


def bounds_text(line: DueLine) -> str:
    """The early and the late bound of a forecast; empty where the day is fixed."""
    if line.early_on is None or line.late_on is None:
        return ""
    return f"{day_text(line.early_on)} – {day_text(line.late_on)}"


def force_word(force: str) -> str:
    """What stands behind a requirement, in one word."""
    return FORCE_WORDS.get(force, force)


DUE: tuple[Column[DueLine], ...] = (
    Column("state", "Standing", lambda r: r.standing, sort="state", width=13, sign=lambda r: r.state),
    Column("title", "Requirement", lambda r: r.title, sort="title", width=40),
    Column("due_on", "Due on", lambda r: day_text(r.due_on), sort="due_on", width=12, right=True,
           spoken=lambda r: spoken_day(r.due_on), aside=LAST_RESORT),
    Column("due_hours", "Due at (h)", lambda r: hours_text(r.due_hours), sort="due_hours", width=10,
           right=True, aside=9),
    Column("hours_left", "Hours left", lambda r: hours_text(r.hours_left), sort="hours_left", width=10,
           right=True, aside=8),
    Column("comes_first", "Expected", lambda r: day_text(r.comes_first_on), sort="comes_first", width=12,
           right=True,
           spoken=lambda r: spoken_day(r.comes_first_on)),
    Column("bounds", "Forecast between", bounds_text, sort="early_on", width=25, aside=5),
    Column("counts_on", "Counts on", lambda r: r.counts_on, sort="counts_on", width=10, aside=6),
    Column("interval", "Interval", lambda r: r.interval, sort="interval", width=22, aside=7),
    Column("last_on", "Last done", lambda r: day_text(r.last_on), sort="last_on", width=12, right=True,
           aside=4),
    Column("last_hours", "Last at (h)", lambda r: hours_text(r.last_hours), sort="last_hours", width=10,
           right=True, aside=3),
    Column("force", "Force", lambda r: force_word(r.force), sort="force", width=10, aside=2),
    Column("citation", "Rests on", lambda r: r.citation, sort="citation", width=26, aside=4),
    Column("note", "Note", lambda r: r.note, sort="note", width=30, aside=1),
)  # fmt: skip

_LAST = Decimal("1e9")
ASSEMBLIES: tuple[Column[AssemblyLine], ...] = (
    Column("kind", "Assembly", lambda r: _assembly_name(r), sort="kind", width=14),
    Column("maker", "Maker", lambda r: r.maker, sort="maker", width=20, aside=3),
    Column("model", "Model", lambda r: r.model, sort="model", width=16),
    Column("serial", "Serial", lambda r: r.serial, sort="serial", width=14, aside=6),
    Column("hours_now", "Hours", lambda r: hours_text(r.hours_now), sort="hours_now", width=10, right=True,
           by=lambda r: r.hours_now if r.hours_now is not None else _LAST),
    Column("since", "Since overhaul", lambda r: hours_text(r.hours_since_overhaul), sort="since", width=14,
           right=True,
           by=lambda r: r.hours_since_overhaul if r.hours_since_overhaul is not None else _LAST, aside=4),
    Column("fitted_on", "Fitted", lambda r: day_text(r.fitted_on), sort="fitted_on", width=12, right=True,
           by=lambda r: r.fitted_on, aside=5),
    Column("removed_on", "Removed", lambda r: day_text(r.removed_on), sort="removed_on", width=12, right=True,
           by=lambda r: r.removed_on or date.max, aside=2),
    Column("why_removed", "Why it came off", lambda r: r.why_removed, sort="why_removed", width=26,
           aside=1),
)  # fmt: skip

READINGS: tuple[Column[ReadingLine], ...] = (
    Column("read_on", "Read on", lambda r: day_text(r.read_on), sort="read_on", width=12, right=True,
           by=lambda r: r.read_on, spoken=lambda r: spoken_day(r.read_on)),
    Column("meter_hours", "Meter (h)", lambda r: hours_text(r.meter_hours), sort="meter_hours", width=10,
           right=True, by=lambda r: r.meter_hours),
    Column("hours", "Airframe (h)", lambda r: hours_text(r.hours), sort="hours", width=13, right=True,
           by=lambda r: r.hours, aside=3),
    Column("landings", "Landings", lambda r: "" if r.landings is None else str(r.landings),
           sort="landings", width=9, right=True, by=lambda r: r.landings or 0, aside=2),
    Column("note", "Note", lambda r: r.note, sort="note", width=24, aside=1),
)  # fmt: skip

MONTHS: tuple[Column[FlownMonth], ...] = (
    Column("month", "Month", lambda r: f"{r.month:%b %Y}", sort="month", width=12, by=lambda r: r.month),
    Column("hours", "Hours flown", lambda r: f"{r.hours:.1f}", sort="hours", width=12, right=True,
           by=lambda r: r.hours),
    Column("before", "Against a year before", lambda r: against(r), sort="before", width=22, aside=1,
           by=lambda r: r.more if r.more is not None else -_LAST),
)  # fmt: skip

DONE: tuple[Column[ComplianceLine], ...] = (
    Column("done_on", "Done on", lambda r: day_text(r.done_on), sort="done_on", width=12, right=True,
           by=lambda r: r.done_on, spoken=lambda r: spoken_day(r.done_on)),
    Column("title", "Requirement", lambda r: r.title, sort="title", width=36),
    Column("done_hours", "At (h)", lambda r: hours_text(r.done_hours), sort="done_hours", width=10,
           right=True, by=lambda r: r.done_hours or Decimal(0), aside=4),
    Column("method", "How", lambda r: r.method, sort="method", width=20, aside=3),
    Column("entry", "Entry", lambda r: r.entry, sort="entry", width=22, aside=2),
    Column("done_by", "By", lambda r: r.done_by, sort="done_by", width=18, aside=1),
)  # fmt: skip

DEFECTS: tuple[Column[DiscrepancyLine], ...] = (
    Column("found_on", "Found on", lambda r: day_text(r.found_on), sort="found_on", width=12, right=True,
           by=lambda r: r.found_on),
    Column("text", "What was found", lambda r: r.text, sort="text", width=46),
    Column("zone", "Where", lambda r: zone_words(r.zone), sort="zone", width=16, aside=1),
    Column("hours", "Work (h)", lambda r: hours_text(r.hours_estimate), sort="hours", width=9, right=True,
           by=lambda r: r.hours_estimate or Decimal(0), aside=2),
    Column("airworthy", "Airworthy", lambda r: _airworthy(r.airworthy), sort="airworthy", width=14,
           aside=4),
    Column("disposition", "Decided", lambda r: r.disposition or "not yet", sort="disposition", width=16,
           aside=3),
)  # fmt: skip


def against(line: FlownMonth) -> str:
    """How the month compares with the same one a year before."""
    if line.more is None:
        return ""
    if line.more == 0:
        return "as many"
    return f"{abs(line.more):.1f} h {'more' if line.more > 0 else 'fewer'}"


def _assembly_name(line: AssemblyLine) -> str:
    return line.kind.capitalize() if line.kind == "airframe" else f"{line.kind.capitalize()} {line.position}"


def _airworthy(answer: bool | None) -> str:
    return {True: "yes", False: "no", None: "not judged"}[answer]
