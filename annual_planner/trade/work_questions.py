"""Questions about time, directives, limited parts and what follows work on an airplane."""

from __future__ import annotations

from datetime import date, timedelta
from decimal import Decimal
from typing import NamedTuple

from annual_planner.trade.refused import Refused
from annual_planner.trade.rule_facts import Fact, plain, question, told, yes
from annual_planner.trade.said import said_date, said_hours
from annual_planner.trade.working import Rule, Step, Worked

FORM_DAYS = 2
"""48 hours. 14 CFR 43 App. B(a)."""
FORBIDS, ALLOWS, UNREAD = "forbids it", "does not forbid it", "not read for it"

_TIME = Rule("14 CFR 1.1", "time in service runs from leaving the ground to touching it at the next landing")
_QUOTED = Rule(
    "14 CFR 39.27", "a document that a directive quotes is part of it; where they differ the directive wins"
)
_BREACH = Rule("14 CFR 39.7", "each flight against a directive is a breach of its own")
_FERRY = Rule(
    "14 CFR 39.23",
    "to a place where it is complied with under a special flight permit, unless the directive says no",
)
_PART_OFF = Rule(
    "14 CFR 43.10(b)",
    "a limited part taken off for maintenance and put back asks for nothing while its life status is "
    "unchanged, it goes on the same product, and that product flew no time meanwhile",
)
_PART_KEPT = Rule(
    "14 CFR 43.10(c)", "else its life status is kept by record, tag, mark or one of the other ways"
)
_CHECK = Rule(
    "14 CFR 91.407(b)",
    "after work that may have appreciably changed the handling or substantially affected operation in "
    "flight, only crew is aboard until a rated pilot, private or higher, has flown it, checked the work and "
    "logged the flight",
)
_FORM = Rule(
    "14 CFR 43 App. B(a), (d)",
    "two signed copies, one for the owner and one to the registration branch within 48 hours of approval; "
    "a third, kept aboard, for an extra tank in the cabin",
)

_BEFORE = Rule(
    "14 CFR 43.5",
    "nothing is approved for return to service before the entry is made, the form for major work completed "
    "where one is asked for, and changed limits or flight data stand in the flight manual",
)


def time_in_service(*, airborne_hours: Decimal, running_hours: Decimal) -> Worked[Decimal]:
    """What a flight adds to the time in service, in hours. Raises Refused for more than the engine ran.

    Source: 14 CFR 1.1.
    """
    if airborne_hours > running_hours:
        raise Refused("It was in the air for longer than the engine ran.", "Correct one of the two times.")
    return told(
        airborne_hours,
        f"{said_hours(airborne_hours)} are added to the time in service.",
        Step(
            "on the ground with the engine running, not counted", said_hours(running_hours - airborne_hours)
        ),
        rules=[_TIME],
        assumptions=[
            "An engine-running meter alone only comes near to it: the entry says which meter was read."
        ],
    )


def directive_interval(*, directive: Decimal, quoted: Decimal, unit: str) -> Worked[Decimal]:
    """Which interval holds where a directive and a document that it quotes differ. Source: 14 CFR 39.27."""
    return told(
        directive,
        f"The directive's own interval holds: {plain(directive)} {unit}.",
        Step(
            f"directive {plain(directive)} {unit}, quoted document {plain(quoted)} {unit}; they differ",
            yes(directive != quoted),
        ),
        rules=[_QUOTED],
        assumptions=["Both speak of the same action, and no other method was approved for it."],
    )


def directive_ferry(*, overdue: bool, permit: str = UNREAD) -> Worked[bool]:
    """Whether an airplane may be flown to where a directive is complied with, a permit aside.

    There is no allowance in hours. Source: 14 CFR 39.7, 39.23.
    """
    sentence = "The directive does not keep it on the ground."
    if overdue and permit == FORBIDS:
        sentence = "It may not be flown: the directive forbids a permit flight."
    elif overdue:
        unless = ", unless the directive forbids it" if permit == UNREAD else ""
        sentence = f"It may be flown there under a special flight permit only{unless}."
    return told(
        not overdue,
        sentence,
        Step("directive overdue", yes(overdue)),
        Step("a flight under a permit: the directive", permit),
        rules=[_BREACH, _FERRY],
        assumptions=["The ten hours of the 100-hour rule are not for directives: reasoned from the text."],
    )


def part_off(*, same_status: bool, same_product: bool, not_flown: bool) -> Worked[bool]:
    """Whether a limited part taken off keeps its life status with it. Source: 14 CFR 43.10(b), (c)."""
    must = not (same_status and same_product and not_flown)
    return told(
        must,
        "Its life status has to be kept with it."
        if must
        else "Nothing is asked for: it goes back as it came off.",
        Step("life status unchanged", yes(same_status)),
        Step("back on the product of the same serial number", yes(same_product)),
        Step("that product flew no time meanwhile", yes(not_flown)),
        rules=[_PART_OFF, _PART_KEPT],
        assumptions=["It was taken off for maintenance only."],
    )


def flight_check(*, changed: bool, shown_on_ground: bool) -> Worked[bool]:
    """Whether a flight check comes before passengers. Source: 14 CFR 91.407(b)."""
    needed = changed and not shown_on_ground
    return told(
        needed,
        "A flight check with crew alone comes before anyone else is carried."
        if needed
        else "No flight check is asked for.",
        Step("handling or operation in flight may be affected", yes(changed)),
        Step("the ground shows conclusively that it is not", yes(shown_on_ground)),
        rules=[_CHECK],
        assumptions=["The work is approved and entered: without that nobody flies."],
    )


def return_ready(
    *, entry: bool, major: bool, form: bool = False, limits: bool, manual: bool = False
) -> Worked[bool]:
    """Whether all is there that comes before the approval for return to service. Source: 14 CFR 43.5."""
    checked = (
        ("the entry", entry),
        ("the form for major work", form or not major),
        ("the change of the flight manual", manual or not limits),
    )
    missing = [text for text, there in checked if not there]
    return told(
        not missing,
        f"It may not be approved yet: missing is {', '.join(missing)}."
        if missing
        else "Nothing that comes before it is missing.",
        *(Step(f"{text} is there, or not asked for", yes(there)) for text, there in checked),
        rules=[_BEFORE],
        assumptions=["Who may approve it, and whether the work is right, are questions of their own."],
    )


class FormCopies(NamedTuple):
    """Day by which the copy is sent, and how many copies are made at least."""

    sent_by: date
    copies: int


def form_copies(*, approved_on: date, cabin_tank: bool = False) -> Worked[FormCopies]:
    """By when a major repair or alteration form is sent, and in how many copies. Source: 14 CFR 43 App. B."""
    found = FormCopies(approved_on + timedelta(days=FORM_DAYS), 3 if cabin_tank else 2)
    return told(
        found,
        f"At least {found.copies} copies, one sent by {said_date(found.sent_by)}, at the hour of approval.",
        Step(f"approved {said_date(approved_on)} + 48 hours", said_date(found.sent_by)),
        Step("extra fuel tank in cabin or baggage space", yes(cabin_tank)),
        rules=[_FORM],
        assumptions=["A repair station's own way with a work order is not asked for here."],
    )


QUESTIONS = (
    question(
        "flight-time-in-service",
        "How much time in service does this flight add?",
        "Time in service",
        _TIME.citation,
        time_in_service,
        Fact("airborne_hours", "In the air", "number", "h", tip="From leaving the ground to touching it."),
        Fact("running_hours", "Engine running", "number", "h"),
    ),
    question(
        "directive-interval",
        "Which interval holds where a directive and its quoted document differ?",
        "Directives",
        _QUOTED.citation,
        directive_interval,
        Fact("directive", "The directive says", "number"),
        Fact("quoted", "The quoted document says", "number"),
        Fact("unit", "Both in", "choice", choices=("h", "cycles", "days", "months", "calendar months")),
    ),
    question(
        "directive-ferry",
        "May it be flown to where an overdue directive is complied with?",
        "Directives",
        f"{_BREACH.citation}; {_FERRY.citation}",
        directive_ferry,
        Fact("overdue", "Directive overdue", "yes or no"),
        Fact(
            "permit",
            "What it says of a permit flight",
            "choice",
            choices=(FORBIDS, ALLOWS, UNREAD),
            needed=False,
        ),
    ),
    question(
        "limited-part-off",
        "Must the life status of a part taken off be kept with it?",
        "Life-limited parts",
        f"{_PART_OFF.citation}; {_PART_KEPT.citation}",
        part_off,
        Fact("same_status", "Life status unchanged", "yes or no"),
        Fact("same_product", "Back on the product of the same serial number", "yes or no"),
        Fact("not_flown", "That product flew no time meanwhile", "yes or no"),
    ),
    question(
        "return-to-service",
        "Is all there that comes before approving work for return to service?",
        "After work",
        _BEFORE.citation,
        return_ready,
        Fact("entry", "Entry made", "yes or no"),
        Fact("major", "Major repair or alteration", "yes or no"),
        Fact("form", "Form for major work completed", "yes or no", needed=False),
        Fact("limits", "Operating limits or flight data changed", "yes or no"),
        Fact("manual", "Change put into the flight manual", "yes or no", needed=False),
    ),
    question(
        "flight-check-needed",
        "Must a flight check come before passengers after this work?",
        "After work",
        _CHECK.citation,
        flight_check,
        Fact("changed", "Handling or operation in flight may be affected", "yes or no"),
        Fact("shown_on_ground", "Ground tests or inspection show that it is not", "yes or no"),
    ),
    question(
        "major-form-copies",
        "By when is the form for major work sent, and in how many copies?",
        "After work",
        _FORM.citation,
        form_copies,
        Fact("approved_on", "Work approved on", "day"),
        Fact("cabin_tank", "Extra fuel tank in cabin or baggage space", "yes or no", needed=False),
    ),
)
