"""The annual, the 100-hour and the progressive inspection: what one stands for, and what comes after it."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from typing import NamedTuple

from annual_planner.trade.intervals import next_due
from annual_planner.trade.periods import DuePoint, Interval, Point, add_calendar_months
from annual_planner.trade.refused import Refused
from annual_planner.trade.rule_facts import MONTH_ENDS, Fact, question, told, yes
from annual_planner.trade.said import said_date, said_hours
from annual_planner.trade.working import Rule, Step, Worked

ABOUT = "Inspections"
ANNUAL_MONTHS = 12
"""Calendar months. 14 CFR 91.409(a), (d)."""
HUNDRED_HOUR = Interval(hours=Decimal(100), enroute_excess_hours=Decimal(10))
"""14 CFR 91.409(b)."""
EN_ROUTE, FOR_HIRE, PRIVATELY = "on the way to the inspection", "for hire", "privately"
STANDARD = "standard"
CERTIFICATES = (STANDARD, "special flight permit", "experimental", "light-sport special", "provisional")
"""What an airplane flies under; all but the first are outside. 14 CFR 91.409(c)(1)."""
ANNUAL, HUNDRED = "annual", "100-hour"

_ANNUAL = Rule(
    "14 CFR 91.409(a)", "an annual, with approval, within the 12 calendar months before any flight"
)
_STANDS_IN = Rule(
    "14 CFR 91.409(a), (b)",
    "a 100-hour replaces an annual only when someone entitled to annuals did it and entered it as one; "
    "an annual serves as a 100-hour too",
)
_HUNDRED = Rule(
    "14 CFR 91.409(b)",
    "with persons carried for hire, and for paid instruction in an airplane that the instructor provides, an "
    "inspection within 100 h; at most 10 h more on the way to it, which come off the next 100",
)
_PROGRESSIVE = Rule(
    "14 CFR 91.409(d)", "after a progressive program was dropped all counts from its last complete inspection"
)
_OUTSIDE = Rule(
    "14 CFR 91.409(c)",
    "neither annual nor 100-hour for a special flight permit, a current experimental, light-sport special or "
    "provisional certificate, an approved program that names the aircraft, or a progressive inspection",
)
_LIST = Rule(
    "14 CFR 43.11(a)(5), (b)", "an annual without approval is entered as such, with a list of discrepancies"
)
_AFTER_WORK = Rule("14 CFR 91.407(a)", "after work no flight before it is approved and entered")
_RUN = Rule(
    "14 CFR 43.15(c)(2)",
    "whoever approves runs each piston engine first and holds power, magnetos, pressures and temperatures "
    "against what its maker recommends",
)


def rules_reach(*, flies_under: str, program: bool, progressive: bool) -> Worked[bool]:
    """Whether the annual and the 100-hour are asked of an airplane at all. Source: 14 CFR 91.409(c)."""
    outside = flies_under != STANDARD or program or progressive
    return told(
        not outside,
        f"The annual and the 100-hour of 91.409 are {'not ' if outside else ''}asked of it.",
        Step("it flies under", flies_under),
        Step("approved program of Part 125 or 135 that names it", yes(program)),
        Step("progressive inspection", yes(progressive)),
        rules=[_OUTSIDE],
        assumptions=[
            "What its own limitations, program or permit ask for stands beside this and is not looked at.",
            "It is a light piston airplane: turbines, large ones and rotorcraft have rules of their own.",
        ],
    )


def hundred_hour_needed(*, hire: bool, paid_instruction: bool, by_instructor: bool) -> Worked[bool]:
    """Whether a flight needs a current 100-hour; asked flight by flight. Source: 14 CFR 91.409(b)."""
    taught = paid_instruction and by_instructor
    needed = hire or taught
    return told(
        needed,
        f"The flight {'needs' if needed else 'does not need'} a 100-hour inspection in date.",
        Step("persons other than crew carried for hire", yes(hire)),
        Step("paid instruction in an airplane that the instructor provides", yes(taught)),
        rules=[_HUNDRED],
        assumptions=["The annual is asked for on every flight, whatever the answer."],
    )


class NextHundred(NamedTuple):
    """At which hours the next 100-hour is due, and whether the limit was flown past unlawfully."""

    hours: Decimal
    broken: bool


def hundred_hour_late(*, due_hours: Decimal, done_hours: Decimal, flown: str) -> Worked[NextHundred]:
    """The next 100-hour after one done early, in time or late, in hours of time in service.

    Up to 10.0 h on the way to the inspection come off the next 100; private flying past it breaks nothing.
    Otherwise the rule is broken and silent on the count: the cautious way counts from the hours it was due.
    Source: 14 CFR 91.409(b).
    """
    excess = max(done_hours - due_hours, Decimal(0))
    allowed = HUNDRED_HOUR.enroute_excess_hours if flown == EN_ROUTE else Decimal(0)
    broken = flown != PRIVATELY and excess > allowed
    due = next_due(
        HUNDRED_HOUR,
        Point(hours=done_hours),
        previous_due=DuePoint(hours=due_hours),
        enroute=flown == EN_ROUTE,
        ordinary_overrun=flown == FOR_HIRE,
    )
    hours = due.value.hours
    assert hours is not None, "the interval is in hours and the doing has them"
    return told(
        NextHundred(hours, broken),
        f"The next 100-hour is due at {said_hours(hours)}; the rule was {'' if broken else 'not '}broken.",
        Step(f"past {said_hours(due_hours)}, flown {flown}", said_hours(excess)),
        *due.working.steps,
        rules=[_HUNDRED],
        assumptions=[
            "All that was flown past the limit was flown in that one way.",
            *due.working.assumptions,
        ],
    )


class StandsFor(NamedTuple):
    """What an inspection counts as."""

    annual: bool
    hundred_hour: bool


def stands_for(*, entered_as: str, entitled: bool) -> Worked[StandsFor]:
    """Whether an inspection counts as the annual, as the 100-hour or as both.

    An annual by someone who is not entitled to it counts as neither: the cautious way. Source: 14 CFR
    91.409(a), (b).
    """
    annual = entered_as == ANNUAL and entitled
    found = StandsFor(annual, hundred_hour=annual or entered_as == HUNDRED)
    sentence = "It counts as the annual and as the 100-hour." if annual else "It counts as the 100-hour only."
    return told(
        found,
        sentence if found.hundred_hour else "It counts as neither.",
        Step("entered as an annual", yes(entered_as == ANNUAL)),
        Step("whoever approved it may do annuals", yes(entitled)),
        rules=[_STANDS_IN],
        assumptions=["It was a whole inspection, approved by someone entitled to what it was entered as."]
        if found.hundred_hour
        else ["Whether it may still serve as a 100-hour the text does not say: the cautious answer is no."],
    )


class AfterProgram(NamedTuple):
    """What is due after a progressive program: the annual's last legal day, the 100-hour's hours."""

    annual_on: date
    hundred_hours: Decimal


def progressive_dropped(*, complete_on: date, complete_hours: Decimal) -> Worked[AfterProgram]:
    """Annual and 100-hour after leaving a program, both from its last complete inspection.

    Source: 14 CFR 91.409(d), closing text.
    """
    day = add_calendar_months(complete_on, ANNUAL_MONTHS)
    hours = complete_hours + Decimal(100)
    return told(
        AfterProgram(day, hours),
        f"The annual is due by {said_date(day)}, the 100-hour at {said_hours(hours)}.",
        Step(f"{said_date(complete_on)} + {ANNUAL_MONTHS} calendar months", said_date(day)),
        Step(f"{said_hours(complete_hours)} + 100 h", said_hours(hours)),
        rules=[_PROGRESSIVE],
        assumptions=["Routine phases move neither; the office is told in writing at once.", MONTH_ENDS],
    )


class AfterUnapproved(NamedTuple):
    """From when it may be flown on an annual without approval (None: not at all), and until when."""

    fly_from: date | None
    last_on: date


def annual_unapproved(*, entered_on: date, cleared_on: date) -> Worked[AfterUnapproved]:
    """From when it may be flown once all discrepancies of an annual without approval are settled.

    No second annual is needed; the 12 calendar months count from the inspection. Raises Refused when it was
    settled before the inspection. Source: 14 CFR 43.11(a)(5), (b), 91.407(a), 91.409(a).
    """
    if cleared_on < entered_on:
        raise Refused("The discrepancies were settled before the inspection.", "Correct one of the two days.")
    last = add_calendar_months(entered_on, ANNUAL_MONTHS)
    in_time = cleared_on <= last
    flyable = f"It may be flown from {said_date(cleared_on)}, with the next annual by {said_date(last)}."
    return told(
        AfterUnapproved(cleared_on if in_time else None, last),
        flyable if in_time else f"It needs another annual: this one ran out on {said_date(last)}.",
        Step(f"inspected {said_date(entered_on)} + {ANNUAL_MONTHS} calendar months", said_date(last)),
        Step(f"settled and approved by then, on {said_date(cleared_on)}", yes(in_time)),
        rules=[_LIST, _AFTER_WORK, _ANNUAL],
        assumptions=[
            "Each item was approved by someone rated for it, with an entry of its own.",
            "The months count from the inspection: reasoned from the text, no ruling on it was read.",
            MONTH_ENDS,
        ],
    )


def annual_engine_run(
    *, by_approver: bool, power: bool, magnetos: bool, pressures: bool, temperatures: bool
) -> Worked[bool]:
    """Whether an annual may be approved as far as the engine run goes. Source: 14 CFR 43.15(c)(2)."""
    checked = (
        ("run by the person who approves, before approval", by_approver),
        ("power, with static and idle r.p.m.", power),
        ("magnetos", magnetos),
        ("fuel and oil pressure", pressures),
        ("cylinder and oil temperature", temperatures),
    )
    missing = [text for text, done in checked if not done]
    may = not missing
    return told(
        may,
        "As far as the engine run goes, it may be approved."
        if may
        else f"It may not be approved yet: missing is {'; '.join(missing)}.",
        *(Step(text, yes(done)) for text, done in checked),
        rules=[_RUN],
        assumptions=[
            "Each engine is asked about by itself; the run is made from its card, with the cautions there.",
            "An entry that does not approve needs no run: reasoned from the text.",
        ],
    )


_HIRE = Fact("hire", "Persons other than crew carried for hire", "yes or no")

QUESTIONS = (
    question(
        "annual-applies",
        "Are annual and 100-hour inspections asked of this airplane?",
        ABOUT,
        _OUTSIDE.citation,
        rules_reach,
        Fact("flies_under", "Certificate it flies under", "choice", choices=CERTIFICATES),
        Fact("program", "Approved program that names it", "yes or no", tip="Of Part 125 or 135."),
        Fact("progressive", "Progressive inspection", "yes or no"),
    ),
    question(
        "hundred-hour-needed",
        "Does this flight need a 100-hour inspection in date?",
        ABOUT,
        _HUNDRED.citation,
        hundred_hour_needed,
        _HIRE,
        Fact("paid_instruction", "Instruction given for pay", "yes or no"),
        Fact("by_instructor", "Airplane provided by the instructor", "yes or no"),
    ),
    question(
        "hundred-hour-late",
        "When is the next 100-hour due after one done early or late?",
        ABOUT,
        _HUNDRED.citation,
        hundred_hour_late,
        Fact("due_hours", "It was due at", "number", "h", tip="Time in service."),
        Fact("done_hours", "It was done at", "number", "h", tip="Time in service."),
        Fact("flown", "How it was flown past the limit", "choice", choices=(EN_ROUTE, FOR_HIRE, PRIVATELY)),
    ),
    question(
        "inspection-stands-for",
        "Does this inspection count as the annual, the 100-hour or both?",
        ABOUT,
        _STANDS_IN.citation,
        stands_for,
        Fact("entered_as", "Entered as", "choice", choices=(ANNUAL, HUNDRED)),
        Fact("entitled", "Approved by someone who may do annuals", "yes or no"),
    ),
    question(
        "progressive-dropped",
        "What is due after a progressive program was dropped?",
        ABOUT,
        _PROGRESSIVE.citation,
        progressive_dropped,
        Fact("complete_on", "Last complete inspection", "day"),
        Fact("complete_hours", "Its hours", "number", "h", tip="Time in service."),
    ),
    question(
        "annual-unapproved",
        "From when may it be flown after an annual without approval?",
        ABOUT,
        "; ".join(rule.citation for rule in (_LIST, _AFTER_WORK, _ANNUAL)),
        annual_unapproved,
        Fact("entered_on", "Annual entered as not approved", "day"),
        Fact("cleared_on", "Last discrepancy settled and approved", "day"),
    ),
    question(
        "annual-engine-run",
        "May the annual be approved as far as the engine run goes?",
        ABOUT,
        _RUN.citation,
        annual_engine_run,
        Fact("by_approver", "Run by the person who approves", "yes or no"),
        Fact("power", "Power, static and idle r.p.m. checked", "yes or no"),
        Fact("magnetos", "Magnetos checked", "yes or no"),
        Fact("pressures", "Fuel and oil pressure checked", "yes or no"),
        Fact("temperatures", "Cylinder and oil temperature checked", "yes or no"),
    ),
)
