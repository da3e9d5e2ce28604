"""The inspection authorization and the mechanic's certificate: how long they serve, and what they ask for."""

from __future__ import annotations

from datetime import date, timedelta
from decimal import Decimal
from typing import NamedTuple

from annual_planner.trade.clauses import Expiry
from annual_planner.trade.facts import MONTHS_OF_WORK
from annual_planner.trade.rule_facts import Fact, plain, question, told, yes
from annual_planner.trade.said import said_date
from annual_planner.trade.working import Rule, Step, Worked

ABOUT = "Inspection authorization"
EXPIRY = Expiry(3, 31, "odd", 1)
"""31 March of odd years; the first year's activity is looked at a year before. 14 CFR 65.92(a), 65.93(c)."""
ACTIVITY_DAYS = 90
"""Held for fewer days nothing is asked; otherwise so much for each 90 days held. 14 CFR 65.93(a), (b)."""
COURSE_HOURS = Decimal(8)
"""14 CFR 65.93(a)."""
FIRST, SECOND = "first", "second"

_EXPIRY = Rule("14 CFR 65.92(a)", "an inspection authorization ends on 31 March of each odd year")
_ACTIVITY = Rule(
    "14 CFR 65.93(a)",
    "in each of the two years one of: an annual for each 90 days held, major work approved twice for each, "
    "a progressive inspection, a course of 8 hours, an oral test; evidence of it in March of the odd year",
)
_SHORT = Rule("14 CFR 65.93(b)", "nothing is asked for a year in which it was held for less than 90 days")
_MISSED = Rule(
    "14 CFR 65.93(c)",
    "after a first year without it no privileges from 1 April on, until an oral test is passed",
)
_RECENT = Rule(
    "14 CFR 65.83",
    "within the 24 months before, six months of work under the certificate, or found able by the agency",
)


def authorization_expiry(*, issued_on: date, printed_on: date | None = None) -> Worked[date]:
    """When an inspection authorization ends; the day printed on the card governs. Source: 14 CFR 65.92(a)."""
    if printed_on is not None:
        step, assumptions = Step("as the card says", said_date(printed_on)), ["The card governs."]
        return told(
            printed_on, f"It ends on {said_date(printed_on)}.", step, rules=[_EXPIRY], assumptions=assumptions
        )
    ends = EXPIRY.next_from(issued_on)
    return told(
        ends,
        f"It ends on {said_date(ends)}.",
        Step(f"issued {said_date(issued_on)}: next 31 March of an odd year", said_date(ends)),
        rules=[_EXPIRY],
        assumptions=["Read to the word; look at the card, which governs."],
    )


class Activity(NamedTuple):
    """Whether a year asks for activity, whether it was met, until when the privileges run, the card's end."""

    needed: bool
    met: bool
    privileges_through: date
    expires_on: date


def authorization_activity(
    *,
    held_from: date,
    year: str,
    annuals: Decimal = Decimal(0),
    major_work: Decimal = Decimal(0),
    progressives: Decimal = Decimal(0),
    course_hours: Decimal = Decimal(0),
    oral_test: bool = False,
) -> Worked[Activity]:
    """Whether the activity of one of an authorization's two years was met, and how long the privileges run.

    A first year that was missed stops them after 31 March of the even year, though the card runs on; a second
    one only keeps the card from being renewed. Source: 14 CFR 65.92(a), 65.93.
    """
    expires = EXPIRY.next_from(held_from)
    middle = date(expires.year - EXPIRY.activity_checked_years_before, expires.month, expires.day)
    begins, ends = (
        (held_from, middle) if year == FIRST else (max(held_from, middle + timedelta(days=1)), expires)
    )
    held_days = max((ends - begins).days + 1, 0)
    asked = held_days // ACTIVITY_DAYS
    met = (
        asked == 0
        or annuals >= asked
        or major_work >= 2 * asked
        or progressives >= 1
        or course_hours >= COURSE_HOURS
        or oral_test
    )
    found = Activity(asked > 0, met, middle if year == FIRST and not met else expires, expires)
    return told(
        found,
        _activity_sentence(found, year),
        Step(f"held in that year, through {said_date(ends)}", f"{held_days} days"),
        Step(f"whole spans of {ACTIVITY_DAYS} days", str(asked)),
        Step(
            f"{asked} annuals, {2 * asked} times major work, or one of the others",
            yes(met) if asked else "not asked",
        ),
        Step("the authorization itself ends", said_date(expires)),
        rules=[_EXPIRY, _ACTIVITY, _SHORT, _MISSED],
        assumptions=[
            "What was not stated counts as none; kinds are not added up.",
            "The first day held and the last of the year both count; a year runs from 1 April.",
            "Evidence is shown in March of the odd year, whatever was asked for.",
        ],
    )


def _activity_sentence(found: Activity, year: str) -> str:
    through = said_date(found.privileges_through)
    if not found.needed:
        return f"No activity is asked for in that year; the authorization ends on {through}."
    if found.met:
        return f"The activity of that year was met; the privileges run through {through}."
    if year == FIRST:
        return f"It was not met: the privileges rest after {through}, until an oral test is passed."
    return f"It was not met: the authorization ends on {through} and is not renewed on it."


def mechanic_recent(*, months_worked: Decimal, found_able: bool = False) -> Worked[bool]:
    """Whether a mechanic may use the certificate: months of work within the last 24. Source: 14 CFR 65.83."""
    recent = found_able or months_worked >= MONTHS_OF_WORK
    return told(
        recent,
        f"The mechanic {'may' if recent else 'may not'} use the certificate.",
        Step(
            f"{plain(months_worked)} months, at least {plain(MONTHS_OF_WORK)}",
            yes(months_worked >= MONTHS_OF_WORK),
        ),
        Step("found able by the agency within the 24 months", yes(found_able)),
        rules=[_RECENT],
        assumptions=["The 24 months are those before the day of the work, counted by date."],
    )


def _count(key: str, label: str, unit: str = "") -> Fact:
    return Fact(key, label, "number", unit, needed=False, most=Decimal(10_000), whole=not unit)


QUESTIONS = (
    question(
        "authorization-expiry",
        "When does this inspection authorization end?",
        ABOUT,
        _EXPIRY.citation,
        authorization_expiry,
        Fact("issued_on", "Issued on", "day"),
        Fact("printed_on", "End printed on the card", "day", needed=False),
    ),
    question(
        "authorization-activity",
        "Was the activity of an authorization's year met?",
        ABOUT,
        f"{_EXPIRY.citation}; 14 CFR 65.93",
        authorization_activity,
        Fact("held_from", "Held from", "day", tip="Of this card, or of its last renewal."),
        Fact(
            "year",
            "Which of its two years",
            "choice",
            choices=(FIRST, SECOND),
            tip="A year ends on 31 March.",
        ),
        _count("annuals", "Annuals done"),
        _count("major_work", "Major repairs and alterations inspected"),
        _count("progressives", "Progressive inspections"),
        _count("course_hours", "Hours of an accepted course", "h"),
        Fact("oral_test", "Oral test passed", "yes or no", needed=False),
    ),
    question(
        "mechanic-recent",
        "May a mechanic with so much recent work use the certificate?",
        "Mechanic",
        _RECENT.citation,
        mechanic_recent,
        Fact("months_worked", "Months worked in the last 24", "number", "months", most=Decimal(24)),
        Fact("found_able", "Found able by the agency since", "yes or no", needed=False),
    ),
)
