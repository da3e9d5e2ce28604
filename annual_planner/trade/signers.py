"""Whether the signer of an inspection is entitled on its date: authorization, activity, recent experience."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from annual_planner.trade.answer import answer
from annual_planner.trade.said import said_date
from annual_planner.trade.working import Step, Worked, Working

ACTIVITY_FREE_DAYS = 90
"""An authorization held for fewer days than this needs no activity. 14 CFR 65.93(b)."""
RECENT_MONTHS = Decimal(6)
"""Months of work within 24 that keep a mechanic current. 14 CFR 65.83."""


def _authorization_end(issued_on: date) -> date:
    """31 March of the first odd year not before the issue."""
    year = issued_on.year + (1 - issued_on.year % 2)
    end = date(year, 3, 31)
    return end if issued_on <= end else date(year + 2, 3, 31)


def authorization_expires(issued_on: date, *, printed_on: date | None = None) -> Worked[date]:
    """When an inspection authorization expires: 31 March of the next odd year; the card as issued governs.

    Source: 14 CFR 65.92(a).
    """
    expires = printed_on or _authorization_end(issued_on)
    soon = printed_on is None and (expires - issued_on).days < ACTIVITY_FREE_DAYS
    reckoned = f"issued {said_date(issued_on)}, next 31 March of an odd year"
    text = "as the card says" if printed_on else reckoned
    return answer(
        expires,
        "Inspection authorization",
        f"expires {said_date(expires)}",
        citation="14 CFR 65.92(a)",
        steps=[Step(text, said_date(expires))],
        assumptions=["Read to the word; look at the card, which governs."] if soon else [],
    )


@dataclass(frozen=True, slots=True)
class Activity:
    """What the holder did in one year of the authorization, ending on a 31 March."""

    annuals: int = 0
    major_approvals: int = 0
    progressives: int = 0
    course_hours: int = 0
    oral_test: bool = False


@dataclass(frozen=True, slots=True)
class ActivityMet:
    """Whether activity was asked and met; until when the privileges run; the card's own last day."""

    needed: bool
    met: bool
    privileges_through: date
    expires_on: date


def first_year_activity(held_from: date, activity: Activity) -> Worked[ActivityMet]:
    """Whether the activity of the first year was met, and how long the privileges run.

    By 31 March of the even year, one of: an annual for each 90 days held, twice as many approvals after major
    work, a progressive inspection, an eight-hour course, an oral test. Held fewer than 90 days by then: none.
    Missed, the privileges rest from 1 April until an oral test, though the card runs on.
    Source: 14 CFR 65.93.
    """
    expires = _authorization_end(held_from)
    checked = date(expires.year - 1, 3, 31)
    held_days = (checked - held_from).days + 1
    needed = held_days >= ACTIVITY_FREE_DAYS
    asked = held_days // ACTIVITY_FREE_DAYS if needed else 0
    met = not needed or _met(activity, asked)
    value = ActivityMet(needed, met, expires if met else checked, expires)
    return _activity_answer(value, activity, held_days, asked, checked)


def _met(activity: Activity, asked: int) -> bool:
    return (
        activity.annuals >= asked
        or activity.major_approvals >= 2 * asked
        or activity.progressives >= 1
        or activity.course_hours >= 8
        or activity.oral_test
    )


def _activity_answer(
    value: ActivityMet, activity: Activity, held_days: int, asked: int, checked: date
) -> Worked[ActivityMet]:
    held = f"held {max(held_days, 0)} days by {said_date(checked)}"
    steps = [Step(held, f"{asked} annuals or their like asked")]
    if value.needed:
        done = f"{activity.annuals} annuals, {activity.major_approvals} approvals after major work"
        steps.append(Step(done, "enough" if value.met else "not enough"))
    result = f"privileges through {said_date(value.privileges_through)}"
    result += "" if value.met else "; then an oral test first"
    return answer(
        value,
        "Activity of the authorization's first year",
        result,
        citation="14 CFR 65.93",
        steps=steps,
        assumptions=["Only whole spans of 90 days held are counted."] if value.needed else [],
    )


@dataclass(frozen=True, slots=True)
class SignerFacts:
    """What is known of an annual's signer on the date of the entry."""

    authorization_expires: date | None
    """None where no inspection authorization is held."""
    first_year_activity_met: bool = True
    oral_test_on: date | None = None
    base_moved_on: date | None = None
    base_notice_on: date | None = None
    ratings: frozenset[str] = frozenset({"airframe", "powerplant"})
    recent: bool = True


def annual_signer_valid(signer: SignerFacts, on: date) -> Worked[bool]:
    """Whether a mechanic may sign an annual on a date: every condition on the day of the entry.

    The authorization has not run out; its first year's activity was met, or an oral test passed since; after
    the fixed base moved, notice was sent; both ratings are held and the mechanic is current.
    Source: 14 CFR 65.83, 65.92, 65.93(c), 65.95(a)(2), (c).
    """
    checks = (
        ("inspection authorization in date", "65.92(a)", _in_date(signer, on)),
        ("first-year activity met, or oral test since", "65.93(c)", _activity_stands(signer, on)),
        ("notice sent after a move of the base", "65.95(c)", _notice_stands(signer, on)),
        ("airframe and powerplant ratings", "65.92(a)", signer.ratings >= {"airframe", "powerplant"}),
        ("recent experience as a mechanic", "65.83", signer.recent),
    )
    parts = [_check(text, citation, holds) for text, citation, holds in checks]
    valid = all(holds for _, _, holds in checks)
    failed = ", ".join(text for text, _, holds in checks if not holds)
    result = "entitled" if valid else f"not entitled: fails {failed}"
    title = f"Signer of an annual on {said_date(on)}"
    return answer(valid, title, result, citation="14 CFR 65.95(a)(2)", parts=parts)


def _check(text: str, citation: str, holds: bool) -> Working:
    return answer(holds, text, "yes" if holds else "no", citation=f"14 CFR {citation}").working


def _in_date(signer: SignerFacts, on: date) -> bool:
    return signer.authorization_expires is not None and on <= signer.authorization_expires


def _activity_stands(signer: SignerFacts, on: date) -> bool:
    if signer.first_year_activity_met or signer.authorization_expires is None:
        return True
    checked = date(signer.authorization_expires.year - 1, 3, 31)
    tested = signer.oral_test_on is not None and signer.oral_test_on <= on
    return on <= checked or tested


def _notice_stands(signer: SignerFacts, on: date) -> bool:
    if signer.base_moved_on is None or on < signer.base_moved_on:
        return True
    # A notice older than the move may tell of an earlier one: the cautious reading waits for a new one.
    return signer.base_notice_on is not None and signer.base_moved_on <= signer.base_notice_on <= on


def mechanic_current(months_worked_in_24: Decimal, *, found_able: bool = False) -> Worked[bool]:
    """Whether a mechanic is current: six months' work in the last 24, or found able by the agency.

    Source: 14 CFR 65.83.
    """
    current = found_able or months_worked_in_24 >= RECENT_MONTHS
    steps = [
        Step(f"{months_worked_in_24} months worked of {RECENT_MONTHS} asked"),
        Step("found able by the agency within the 24 months", "yes" if found_able else "no"),
    ]
    result = "current" if current else "not current"
    return answer(current, "Mechanic's recent experience", result, citation="14 CFR 65.83", steps=steps)


_PILOTS_QUALIFIED = frozenset({"private", "commercial", "airline transport"})


def flight_check_pilot(grade: str) -> Worked[bool]:
    """Whether a pilot may make the flight check after work that could change how the airplane flies.

    Private certificate or higher, rated on the airplane, only crew aboard, the flight logged in the
    airplane's records. Source: 14 CFR 91.407(b).
    """
    qualified = grade in _PILOTS_QUALIFIED
    return answer(
        qualified,
        "Flight check",
        "qualified" if qualified else "not qualified: private certificate or higher",
        citation="14 CFR 91.407(b)",
        inputs=[("pilot's certificate", grade)],
        assumptions=["The pilot is rated on the airplane; only crew is aboard; the flight is logged."],
    )
