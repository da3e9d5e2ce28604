"""Columns of the lists of this place."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

from annual_planner.desktop.annual.seen import Share
from annual_planner.desktop.column_room import LAST_RESORT
from annual_planner.desktop.columns import Column, day_text, hours_text, spoken_day
from annual_planner.planning.package_view import DueAfter, HoursFor, PartNeed, ToolNeed
from annual_planner.store.rows import ItemLine, PackageLine

TICKED, OPEN = "☑", "☐"

DOER_WORDS = {
    "anyone": "anybody; nothing is signed",
    "owner": "the owner with a pilot certificate; preventive maintenance",
    "helper": "anybody under a certificated person's eye",
    "mechanic": "a certificated mechanic with the rating",
    "inspector": "a mechanic with inspection authorization",
    "repair station": "a certificated repair station",
    "manufacturer": "the maker",
    "not settled": "the rules leave it open; a person has to judge",
}


def tick(on: bool, yes: str, no: str) -> str:
    """A drawn box with its word."""
    return f"{TICKED} {yes}" if on else f"{OPEN} {no}"


def given_up(line: ItemLine) -> str:
    """What is lost of the interval by doing it early."""
    parts = [
        f"{line.given_up_hours:.1f} h" if line.given_up_hours else "",
        f"{line.given_up_days} days" if line.given_up_days else "",
    ]
    return ", ".join(part for part in parts if part)


def decided(line: ItemLine) -> str:
    """Whether a person decided otherwise than was proposed."""
    if line.do_now == line.proposed_now:
        return ""
    return "you decided to " + ("do it" if line.do_now else "leave it")


def quantity_text(part: PartNeed) -> str:
    """A quantity without idle zeros."""
    return f"{part.quantity.normalize():f}"


ITEMS: tuple[Column[ItemLine], ...] = (
    Column("now", "Decision", lambda r: tick(r.do_now, "do now", "leave"), sort="now", width=11,
           spoken=lambda r: "do now" if r.do_now else "leave", by=lambda r: not r.do_now),
    Column("title", "Requirement", lambda r: r.due.title, sort="title", width=36),
    Column("state", "Standing", lambda r: r.due.state, sort="state", width=12, sign=lambda r: r.due.state,
           aside=4),
    Column("due_on", "Due on", lambda r: day_text(r.due.due_on), sort="due_on", width=12, right=True,
           spoken=lambda r: spoken_day(r.due.due_on), by=lambda r: r.due.due_on or date.max,
           aside=LAST_RESORT),
    Column("due_hours", "Due at (h)", lambda r: hours_text(r.due.due_hours), sort="due_hours", width=10,
           right=True, by=lambda r: r.due.due_hours or Decimal(0), aside=3),
    Column("given_up", "Life given up", given_up, sort="given_up", width=17,
           by=lambda r: r.given_up_days or 0, aside=1),
    Column("decided", "Changed", decided, sort="decided", width=20, aside=2),
    Column("counts_on", "Counts on", lambda r: r.due.counts_on, sort="counts_on", width=11, hidden=True),
    Column("citation", "Rests on", lambda r: r.due.citation, sort="citation", width=26, hidden=True),
    Column("reason", "Why", lambda r: r.reason, sort="reason", width=60, aside=5),
)  # fmt: skip

PACKAGES: tuple[Column[PackageLine], ...] = (
    Column("state", "State", lambda r: r.state, sort="state", width=12, sign=lambda r: r.state),
    Column("registration", "Airplane", lambda r: r.registration, sort="registration", width=11),
    Column("title", "Title", lambda r: r.title, sort="title", width=34),
    Column("start_on", "Starts", lambda r: day_text(r.start_on), sort="start_on", width=12, right=True,
           by=lambda r: r.start_on, spoken=lambda r: spoken_day(r.start_on),
           aside=LAST_RESORT),
    Column("cards", "Cards", lambda r: str(r.cards), sort="cards", width=8, right=True,
           by=lambda r: r.cards, aside=2),
    Column("hours", "Likely (h)", lambda r: hours_text(r.hours_likely), sort="hours", width=10, right=True,
           by=lambda r: r.hours_likely, aside=3),
    Column("number", "Number", lambda r: r.number, sort="number", width=16, aside=1),
)  # fmt: skip

HOURS: tuple[Column[HoursFor], ...] = (
    Column("doer", "At least", lambda r: r.doer, sort="doer", width=22,
           tip=lambda r: DOER_WORDS.get(r.doer, "")),
    Column("cards", "Cards", lambda r: str(r.cards), sort="cards", width=8, right=True,
           by=lambda r: r.cards, aside=4),
    Column("low", "At best (h)", lambda r: hours_text(r.low), sort="low", width=11, right=True,
           by=lambda r: r.low, aside=2),
    Column("likely", "As a rule (h)", lambda r: hours_text(r.likely), sort="likely", width=12, right=True,
           by=lambda r: r.likely),
    Column("high", "At worst (h)", lambda r: hours_text(r.high), sort="high", width=12, right=True,
           by=lambda r: r.high, aside=3),
    Column("rest", "Who that is", lambda r: DOER_WORDS.get(r.doer, ""), sort="rest", width=40, aside=1),
)  # fmt: skip

SHARES: tuple[Column[Share], ...] = (
    Column("name", "Person", lambda r: r.name or "nobody yet", sort="name", width=22),
    Column("cards", "Cards", lambda r: str(r.cards), sort="cards", width=8, right=True,
           by=lambda r: r.cards, aside=3),
    Column("low", "At best (h)", lambda r: hours_text(r.low), sort="low", width=11, right=True,
           by=lambda r: r.low, aside=1),
    Column("likely", "As a rule (h)", lambda r: hours_text(r.likely), sort="likely", width=12, right=True,
           by=lambda r: r.likely),
    Column("high", "At worst (h)", lambda r: hours_text(r.high), sort="high", width=12, right=True,
           by=lambda r: r.high, aside=2),
)  # fmt: skip

PARTS: tuple[Column[PartNeed], ...] = (
    Column("name", "Part", lambda r: r.name, sort="name", width=36),
    Column("quantity", "Quantity", quantity_text, sort="quantity", width=9, right=True,
           by=lambda r: r.quantity),
    Column("unit", "Unit", lambda r: r.unit, sort="unit", width=9, aside=4),
    Column("sort", "Kind", lambda r: "used up" if r.consumable else "fitted", sort="sort", width=9, aside=1),
    Column("cards", "On cards", lambda r: numbers(r.card_numbers), sort="cards", width=24,
           by=lambda r: r.card_numbers, aside=3),
    Column("why", "Why", lambda r: r.reason, sort="why", width=30, aside=2),
)  # fmt: skip

TOOLS: tuple[Column[ToolNeed], ...] = (
    Column("name", "Tool", lambda r: r.name, sort="name", width=32),
    Column("cards", "On cards", lambda r: numbers(r.card_numbers), sort="cards", width=30,
           by=lambda r: r.card_numbers, aside=1),
)  # fmt: skip

AFTER: tuple[Column[DueAfter], ...] = (
    Column("state", "Standing then", lambda r: r.state, sort="state", width=13, sign=lambda r: r.state,
           aside=4),
    Column("title", "Requirement", lambda r: r.title, sort="title", width=40),
    Column("done", "At this visit", lambda r: "done" if r.done_now else "left", sort="done", width=12,
           aside=2),
    Column("due_on", "Next due on", lambda r: day_text(r.due_on), sort="due_on", width=13, right=True,
           by=lambda r: r.due_on or date.max, spoken=lambda r: spoken_day(r.due_on)),
    Column("due_hours", "Next due at (h)", lambda r: hours_text(r.due_hours), sort="due_hours", width=16,
           right=True, by=lambda r: r.due_hours or Decimal(0), aside=3),
    Column("citation", "Rests on", lambda r: r.citation, sort="citation", width=30, aside=1),
)  # fmt: skip


def numbers(of: tuple[int, ...]) -> str:
    """Card numbers in a row."""
    return ", ".join(str(number) for number in of)
