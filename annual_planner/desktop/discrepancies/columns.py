"""Columns of the review, of its groups, of the promises that are held up, and of flow and age."""

from __future__ import annotations

from datetime import date

from annual_planner.desktop.column_room import LAST_RESORT
from annual_planner.desktop.columns import Column, day_text, days_from, hours_text, spoken_day
from annual_planner.desktop.discrepancies.words import (
    age_text,
    airworthy_word,
    amount_text,
    decided_text,
    waits_text,
    zone_text,
)
from annual_planner.store.review_rows import AgeBand, BlockedPromise, FlowMonth, GroupLine, ReviewLine


def review_columns(today: date) -> tuple[Column[ReviewLine], ...]:
    """A discrepancy: of which airplane, what, how it stands, who is waited for and what it takes."""
    return (
        Column("registration", "Airplane", lambda r: r.registration, "registration", 9),
        Column("text", "What was found", lambda r: r.text, "text", 36),
        Column("airworthy", "Airworthy", airworthy_word, "airworthy", 15, sign=airworthy_word,
               aside=LAST_RESORT + 1),
        Column("risk", "Risk", _risk_word, "risk", 18, sign=_risk_word, aside=8),
        Column("age", "Age", lambda r: age_text(r.age_days(today)), "found_on", 10, right=True,
               spoken=lambda r: f"{age_text(r.age_days(today))}, found on {spoken_day(r.found_on)}",
               tip=lambda r: f"found on {day_text(r.found_on)}", aside=LAST_RESORT),
        Column("waits_for", "Waits for", lambda r: waits_text(r, today), "waits_for", 20, aside=9),
        Column("state", "State", lambda r: r.state, "state", 10, aside=6),
        Column("disposition", "Decided", decided_text, "disposition", 16, aside=7),
        Column("hours_estimate", "Work (h)", lambda r: hours_text(r.hours_estimate), "hours_estimate", 9,
               right=True, aside=5),
        Column("cost_estimate", "Cost", lambda r: amount_text(r.cost_estimate), "cost_estimate", 9,
               right=True, aside=3),
        Column("zone", "Where", zone_text, "zone", 18, aside=2),
        Column("promised_on", "Promised", lambda r: day_text(r.promised_on), "promised_on", 12, right=True,
               tip=lambda r: days_from(today, r.promised_on), aside=4),
        Column("owner", "Owner", lambda r: r.owner, "owner", 18, aside=1),
        Column("parts", "Parts", lambda r: r.parts, "", 24, hidden=True),
        Column("package", "Package", lambda r: r.package, "", 12, hidden=True),
    )  # fmt: skip


def _risk_word(line: ReviewLine) -> str:
    return line.risk or "not said"


GROUP_COLUMNS: tuple[Column[GroupLine], ...] = (
    Column("value", "Group", lambda g: g.value or "not said", "value", 30),
    Column(
        "count",
        "How many",
        lambda g: str(g.count),
        "count",
        10,
        right=True,
        by=lambda g: g.count,
        aside=LAST_RESORT,
    ),
    Column(
        "hours",
        "Work (h)",
        lambda g: hours_text(g.hours),
        "hours",
        10,
        right=True,
        by=lambda g: g.hours,
        aside=2,
    ),
    Column(
        "cost", "Cost", lambda g: amount_text(g.cost), "cost", 10, right=True, by=lambda g: g.cost, aside=1
    ),
    Column(
        "oldest",
        "Oldest",
        lambda g: day_text(g.oldest_on),
        "oldest",
        13,
        right=True,
        by=lambda g: g.oldest_on,
        aside=3,
    ),
)


def promise_columns(today: date) -> tuple[Column[BlockedPromise], ...]:
    """A promised day and what stands in its way."""
    return (
        Column(
            "promised_on",
            "Promised",
            lambda p: day_text(p.promised_on),
            "promised_on",
            13,
            right=True,
            by=lambda p: p.promised_on,
            tip=lambda p: days_from(today, p.promised_on),
        ),
        Column("far", "That is", lambda p: days_from(today, p.promised_on), "", 14, aside=2),
        Column("registration", "Airplane", lambda p: p.registration, "registration", 10),
        Column("package", "Package", lambda p: p.package, "package", 14, aside=1),
        Column(
            "open",
            "Open",
            lambda p: str(p.open_count),
            "open",
            7,
            right=True,
            by=lambda p: p.open_count,
            aside=4,
        ),
        Column(
            "hours",
            "Work (h)",
            lambda p: hours_text(p.hours),
            "hours",
            10,
            right=True,
            by=lambda p: p.hours,
            aside=3,
        ),
        Column(
            "waiting",
            "Waits for",
            lambda p: ", ".join(p.waiting) or "nobody",
            "waiting",
            30,
            aside=LAST_RESORT,
        ),
    )


FLOW_COLUMNS: tuple[Column[FlowMonth], ...] = (
    Column("month", "Month", lambda m: f"{m.first_day:%b %Y}", "month", 11, by=lambda m: m.first_day),
    Column(
        "opened", "Found", lambda m: str(m.opened), "opened", 8, right=True, by=lambda m: m.opened, aside=1
    ),
    Column(
        "closed", "Closed", lambda m: str(m.closed), "closed", 8, right=True, by=lambda m: m.closed, aside=2
    ),
    Column(
        "open",
        "Left open",
        lambda m: str(m.open_at_end),
        "open",
        15,
        right=True,
        by=lambda m: m.open_at_end,
        aside=LAST_RESORT,
    ),
)

AGE_COLUMNS: tuple[Column[AgeBand], ...] = (
    Column("title", "Open for", lambda a: a.title, "", 24),
    Column("count", "How many", lambda a: str(a.count), "", 10, right=True),
)
