"""How the facts of a discrepancy are put into words and signs."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

from annual_planner.desktop.columns import day_text
from annual_planner.library.zone_words import zone_words
from annual_planner.store.review_rows import ReviewLine
from annual_planner.trade.discrepancy_life import Life

AIRWORTHY = {True: "airworthy", False: "not airworthy", None: "not judged"}


def airworthy_word(line: ReviewLine) -> str:
    """Whether it was judged airworthy."""
    return AIRWORTHY[line.airworthy]


def age_text(days: int) -> str:
    """An age in days as people say it.

    >>> age_text(0), age_text(1), age_text(40), age_text(400)
    ('today', '1 day', '40 days', '13 months')
    """
    if days <= 0:
        return "today"
    if days > 90:
        return f"{round(days / 30.44)} months"
    return f"{days} day" + ("" if days == 1 else "s")


def zone_text(line: ReviewLine) -> str:
    """Its place, with the cylinder where it has one."""
    place = zone_words(line.zone)
    return f"{place}, cylinder {line.cylinder}" if line.cylinder is not None else place


def waits_text(line: ReviewLine, today: date) -> str:
    """Who is waited for, and how long already."""
    if not line.waits_for:
        return ""
    since = line.waits_since
    return line.waits_for if since is None else f"{line.waits_for}, {age_text((today - since).days)}"


def decided_text(line: ReviewLine) -> str:
    """What was decided, and until when."""
    until = f" to {day_text(line.deferred_until)}" if line.deferred_until else ""
    return f"{line.disposition}{until}"


def amount_text(amount: Decimal | None) -> str:
    """A sum without a currency, in whole units where it is whole.

    >>> amount_text(Decimal("120.00")), amount_text(Decimal("12.50")), amount_text(None)
    ('120', '12.50', '')
    """
    if amount is None:
        return ""
    return f"{amount:,.0f}" if amount == amount.to_integral_value() else f"{amount:,.2f}"


def counted_words(count: int) -> str:
    """How many discrepancies there are.

    >>> counted_words(1), counted_words(3)
    ('1 discrepancy', '3 discrepancies')
    """
    return "1 discrepancy" if count == 1 else f"{count} discrepancies"


def life_of_line(line: ReviewLine) -> Life:
    """Where it stands, for what may follow."""
    return Life(
        state=line.state,
        airworthy=line.airworthy,
        disposition=line.disposition,
        deferred_until=line.deferred_until,
        placard=line.placard,
        waits_for=line.waits_for,
        waits_since=line.waits_since,
        owner_answer=line.owner_answer,
        owner_answered_on=line.owner_answered_on,
        owner_answered_how=line.owner_answered_how,
        closed_on=line.closed_on,
    )
