"""Columns of the lists that say what the drawing shows."""

from __future__ import annotations

from datetime import date

from annual_planner.desktop.column_room import LAST_RESORT
from annual_planner.desktop.columns import Column, day_text
from annual_planner.planning.crew.laid_out import Moved
from annual_planner.planning.crew.open_time import said_moment
from annual_planner.planning.timeline import Bar
from annual_planner.store.shop_reads import PartAwaited

HoursLine = tuple[str, date, float]


def slack_text(bar: Bar) -> str:
    """Hours a card may slip; nothing where it isn't known."""
    return "" if bar.slack_hours is None else f"{bar.slack_hours:g}"


CARDS: tuple[Column[Bar], ...] = (
    Column("starts", "Starts", lambda r: said_moment(r.starts), "starts", 17, by=lambda r: r.starts),
    Column("ends", "Ends", lambda r: said_moment(r.ends), "ends", 17, by=lambda r: r.ends, aside=2),
    Column("card", "Card", lambda r: r.title, "card", 36),
    Column("who", "Who", lambda r: ", ".join(r.people), "who", 22, aside=LAST_RESORT),
    Column("zone", "Zone", lambda r: r.zone, "zone", 16, aside=1),
    Column(
        "slack",
        "Slack (h)",
        slack_text,
        "slack",
        9,
        right=True,
        by=lambda r: (r.slack_hours is None, r.slack_hours or 0),
        aside=3,
    ),
    Column("standing", "Stands out", lambda r: r.standing, "standing", 16, aside=5),
    Column("waits", "Can't be earlier", lambda r: r.waits, "waits", 60, aside=4),
)
HOURS: tuple[Column[HoursLine], ...] = (
    Column("who", "Who", lambda r: r[0], "who", 24),
    Column("day", "Day", lambda r: f"{r[1]:%a} {day_text(r[1])}", "day", 18, by=lambda r: r[1]),
    Column("hours", "Hours", lambda r: f"{r[2]:g}", "hours", 8, right=True, by=lambda r: r[2]),
)
MOVES: tuple[Column[Moved], ...] = (
    Column("card", "Card", lambda r: r.title, "card", 40),
    Column("was", "Was", lambda r: said_moment(r.was), "was", 17, by=lambda r: r.was, aside=2),
    Column("now", "Now", lambda r: said_moment(r.now), "now", 17, by=lambda r: r.now),
    Column(
        "people",
        "People",
        lambda r: "others" if set(r.were) != set(r.are) else "the same",
        "people",
        12,
        aside=1,
    ),
)
PARTS: tuple[Column[PartAwaited], ...] = (
    Column("name", "Part", lambda r: r.name, "name", 36),
    Column(
        "comes",
        "Comes",
        lambda r: day_text(r.arrives_on) or "not ordered",
        "comes",
        16,
        by=lambda r: r.arrives_on or date.max,
    ),
    Column(
        "here",
        "Here since",
        lambda r: day_text(r.arrived_on),
        "here",
        16,
        right=True,
        by=lambda r: r.arrived_on or date.max,
        aside=1,
    ),
)
