"""Columns of the lists that say what the drawing shows."""

from __future__ import annotations

from datetime import date

from annual_planner.desktop.column_room import LAST_RESORT
from annual_planner.desktop.columns import Column, day_text, hours_text, spoken_day
from annual_planner.desktop.weeks.seen import LeftOut, WishLine
from annual_planner.planning.shop_weeks.kept import VisitLine
from annual_planner.planning.shop_weeks.lanes import LoadLine


def week_text(monday: date | None) -> str:
    """A week by its Monday; 'no week' for none."""
    return day_text(monday) or "no week"


def day_word(day: date | None) -> str:
    """A day with its weekday, short."""
    return "" if day is None else f"{day:%a} {day.day} {day:%b}"


def months_text(months: int) -> str:
    """Months of life given up; nothing for none."""
    return f"{months} of 12 months" if months else ""


VISITS: tuple[Column[VisitLine], ...] = (
    Column("registration", "Airplane", lambda r: r.registration, "registration", 10),
    Column(
        "standing",
        "Standing",
        lambda r: r.standing,
        "standing",
        15,
        sign=lambda r: r.standing,
        aside=LAST_RESORT + 2,
    ),
    Column(
        "week",
        "Week of",
        lambda r: week_text(r.week_on),
        "week",
        13,
        by=lambda r: (r.week_on or date.max, r.placed.first_on or date.max),
        spoken=lambda r: spoken_day(r.week_on) if r.week_on else "no week",
        aside=3,
    ),
    Column("bay", "Bay", lambda r: r.placed.bay, "bay", 22, aside=4),
    Column(
        "in",
        "In",
        lambda r: day_word(r.placed.first_on),
        "in",
        11,
        by=lambda r: r.placed.first_on or date.max,
        spoken=lambda r: spoken_day(r.placed.first_on),
        aside=LAST_RESORT + 3,
    ),
    Column(
        "out",
        "Out",
        lambda r: day_word(r.placed.last_on),
        "out",
        11,
        by=lambda r: r.placed.last_on or date.max,
        spoken=lambda r: spoken_day(r.placed.last_on),
        aside=LAST_RESORT + 1,
    ),
    Column(
        "hours",
        "Work (h)",
        lambda r: hours_text(r.visit.hours),
        "hours",
        9,
        right=True,
        by=lambda r: r.visit.hours,
        aside=6,
    ),
    Column(
        "months",
        "Life given up",
        lambda r: months_text(r.months_up),
        "months",
        17,
        right=True,
        by=lambda r: r.months_up,
        aside=5,
    ),
    Column("pinned", "Pinned", lambda r: "by hand" if r.pinned else "", "pinned", 9, aside=2),
    Column(
        "due",
        "Due",
        lambda r: day_text(r.visit.due_on),
        "due",
        13,
        right=True,
        by=lambda r: r.visit.due_on,
        spoken=lambda r: spoken_day(r.visit.due_on),
        aside=LAST_RESORT,
    ),
    Column("owner", "Owner", lambda r: r.owner, "owner", 18, aside=1),
    Column("why", "What it costs there", lambda r: r.why, width=44, aside=7),
    Column(
        "latest",
        "Latest in",
        lambda r: day_text(r.visit.latest_on),
        "latest",
        13,
        right=True,
        by=lambda r: r.visit.latest_on,
        hidden=True,
    ),
)


def room_text(load: LoadLine) -> str:
    """How full a week is, in words."""
    if load.shut:
        return "closed"
    if load.hours > load.room_hours + 0.05:
        return "over what may be planned"
    return f"{load.share:.0%} of all hours"


def closed_text(load: LoadLine) -> str:
    """The days of a week that are closed though they would be open, with their reasons."""
    return ", ".join(day.said for day in load.week.closed)


LOADS: tuple[Column[LoadLine], ...] = (
    Column(
        "week",
        "Week of",
        lambda r: day_text(r.week.monday),
        "week",
        14,
        right=True,
        by=lambda r: r.week.monday,
    ),
    Column("begin", "Begin", lambda r: str(r.begin), "begin", 8, right=True, by=lambda r: r.begin, aside=4),
    Column(
        "hours",
        "Planned (h)",
        lambda r: f"{r.hours:.1f}",
        "hours",
        12,
        right=True,
        by=lambda r: r.hours,
        aside=LAST_RESORT,
    ),
    Column(
        "room",
        "May be planned (h)",
        lambda r: f"{r.room_hours:.1f}",
        "room",
        18,
        right=True,
        by=lambda r: r.room_hours,
        aside=5,
    ),
    Column(
        "all",
        "All hours",
        lambda r: f"{r.week.hours:.1f}",
        "all",
        10,
        right=True,
        by=lambda r: r.week.hours,
        aside=1,
    ),
    Column("full", "How full", room_text, "full", 24, by=lambda r: r.share, aside=LAST_RESORT + 1),
    Column(
        "bays",
        "Bay days",
        lambda r: f"{r.bay_days:.0f} of {r.all_bay_days}",
        "bays",
        12,
        right=True,
        by=lambda r: r.bay_days,
        aside=2,
    ),
    Column("closed", "Closed", closed_text, "closed", 34, by=lambda r: -len(r.week.closed), aside=3),
)
WISHES: tuple[Column[WishLine], ...] = (
    Column("registration", "Airplane", lambda r: r.registration, "registration", 10),
    Column("kind", "What", lambda r: r.kind, "kind", 16, aside=LAST_RESORT + 1),
    Column(
        "first",
        "From",
        lambda r: day_text(r.first_on),
        "first",
        13,
        right=True,
        by=lambda r: r.first_on,
        aside=LAST_RESORT + 3,
    ),
    Column(
        "last",
        "To",
        lambda r: day_text(r.last_on),
        "last",
        13,
        right=True,
        by=lambda r: r.last_on,
        aside=LAST_RESORT + 2,
    ),
    Column("why", "Why", lambda r: r.why, "why", 40, aside=LAST_RESORT),
)
LEFT_OUT: tuple[Column[LeftOut], ...] = (
    Column("registration", "Airplane", lambda r: r[0], "registration", 12),
    Column("why", "Why it isn't in these weeks", lambda r: r[1], "why", 70),
)
