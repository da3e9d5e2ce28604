"""Columns of the library's lists."""

from __future__ import annotations

from annual_planner.desktop.columns import Column
from annual_planner.trade.cards import CardTemplate, Caution, Hours
from annual_planner.trade.clauses import Clause
from annual_planner.trade.coverage import Covered
from annual_planner.trade.periods import interval_text
from annual_planner.trade.requirements import RequirementTemplate


def words(key: str) -> str:
    """A key of a data file as words."""
    return key.replace("_", " ")


def hours_span(hours: Hours) -> str:
    """Low, likely and high hours: 0.5 – 1 – 2."""
    return f"{hours.low.normalize():f} – {hours.likely.normalize():f} – {hours.high.normalize():f}"


CARD_COLUMNS: tuple[Column[CardTemplate], ...] = (
    Column("title", "Card", lambda c: c.title, "title", 38),
    Column("phase", "Phase", lambda c: words(c.phase), "phase", 11, by=lambda c: (c.phase.order, c.title)),
    Column("zone", "Zone", lambda c: words(c.zone), "zone", 14),
    Column("kind", "Kind", lambda c: words(c.kind), "kind", 9),
    Column("subject", "Subject", lambda c: words(c.subject), "subject", 11),
    Column(
        "hours", "Hours", lambda c: hours_span(c.hours), "hours", 15, right=True, by=lambda c: c.hours.likely,
        spoken=lambda c: f"{c.hours.low} at best, {c.hours.likely} as a rule, {c.hours.high} at worst",
    ),
    Column("who", "Owner may", lambda c: ", ".join(c.preventive), "who", 16),
    Column("covers", "Covers", lambda c: ", ".join(c.covers), "covers", 18, hidden=True),
    Column("key", "Key", lambda c: c.key, "key", 24, hidden=True),
)  # fmt: skip
REQUIREMENT_COLUMNS: tuple[Column[RequirementTemplate], ...] = (
    Column("title", "Requirement", lambda r: r.title, "title", 36),
    Column("citation", "Rests on", lambda r: r.citation, "citation", 24),
    Column("force", "Force", lambda r: words(r.force), "force", 12),
    Column("interval", "Interval", lambda r: every(r), "interval", 28),
    Column("counts_on", "Counts on", lambda r: words(r.counts_on), "counts_on", 11),
    Column("bites_on", "Bites on", lambda r: ", ".join(r.bites_on), "bites_on", 10),
    Column("source", "Source", lambda r: r.source, "source", 20, hidden=True),
)
CAUTION_COLUMNS: tuple[Column[Caution], ...] = (
    Column("title", "Caution", lambda c: c.title, "title", 30, sign=lambda _c: "caution"),
    Column("text", "What it says", lambda c: c.text, "text", 80),
)
RULE_COLUMNS: tuple[Column[Clause], ...] = (
    Column("citation", "Citation", lambda r: r.citation, "citation", 26),
    Column("decides", "Decides", lambda r: words(r.decides), "decides", 12),
    Column("says", "What it says, in our words", lambda r: r.says, "says", 80),
)
SCOPE_COLUMNS: tuple[Column[Covered], ...] = (
    Column("ref", "Item", lambda c: c.item.ref.removeprefix("14 CFR "), "ref", 15),
    Column("state", "Covered", lambda c: covered_word(c), "state", 15, sign=lambda c: covered_word(c)),
    Column("group", "Group", lambda c: words(c.item.group), "group", 17),
    Column("subject", "Subject", lambda c: c.item.subject, "subject", 40),
    Column("cards", "Cards that look at it", lambda c: ", ".join(c.cards), "cards", 44),
)


def covered_word(covered: Covered) -> str:
    """How an item of the scope stands, in one word of standing."""
    if covered.cards:
        return "covered"
    return "does not apply" if covered.not_applicable else "not covered"


def every(requirement: RequirementTemplate) -> str:
    """The interval in words, or that it stands elsewhere."""
    return interval_text(requirement.interval) if requirement.interval else "airplane by airplane"
