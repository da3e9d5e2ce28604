"""Altimeter, static system and altitude reporting: what their tests allow, and what asks for another."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from typing import NamedTuple

from annual_planner.trade.periods import add_calendar_months
from annual_planner.trade.refused import Refused
from annual_planner.trade.rule_facts import MONTH_ENDS, Fact, plain, question, told, yes
from annual_planner.trade.said import said_date
from annual_planner.trade.working import Rule, Step, Worked

ABOUT = "Altimeter and static system"
TEST_MONTHS = 24
"""Calendar months. 14 CFR 91.411(a)(1)."""
CORRESPONDENCE_FT = Decimal(125)
"""14 CFR 43 App. E(c)."""
OPENED, DRAIN_ONLY = "a line or fitting opened", "drain or alternate valve only"

_OPENED = Rule(
    "14 CFR 91.411(a)(2)",
    "after the static system was opened, but for its drain and its alternate valve, it is tested before "
    "flight under IFR in controlled airspace",
)
_STATIC_TEST = Rule("14 CFR 43 App. E(a)", "how the static system is tested")
_PERIOD = Rule(
    "14 CFR 91.411(a)(1)",
    "for IFR in controlled airspace static system, altimeters and altitude reporting are tested every "
    "24 calendar months",
)
_HIGHEST = Rule("14 CFR 91.411(d)", "IFR in controlled airspace goes no higher than the altimeter was tested")
_MADE = Rule(
    "14 CFR 91.411(c)", "a unit made to a technical standard order counts as tested on the day it was made"
)
_REPORTING = Rule(
    "14 CFR 91.411(a)(3)",
    "work that could upset the reported altitude asks for a test of the whole as fitted",
)
_CORRESPONDENCE = Rule("14 CFR 43 App. E(c)", "reported and shown altitude differ by at most 125 ft")


class StaticOpened(NamedTuple):
    """Whether the static system is to be tested again, and the altimeter's own last day where it is known."""

    test_required: bool
    altimeter_through: date | None


def static_opened(
    *,
    how: str,
    opened_on: date,
    static_tested_on: date | None = None,
    altimeter_tested_on: date | None = None,
) -> Worked[StaticOpened]:
    """Whether the static system is to be tested again after it was opened; the altimeter's date stays.

    Source: 14 CFR 91.411(a)(2), 43 App. E(a).
    """
    opened = how != DRAIN_ONLY
    tested = static_tested_on is not None and static_tested_on >= opened_on
    required = opened and not tested
    steps = [
        Step(
            f"opened on {said_date(opened_on)} otherwise than by the drain or the alternate valve",
            yes(opened),
        )
    ]
    steps.append(
        Step("static system tested since", "not stated" if static_tested_on is None else yes(tested))
    )
    through = None
    if altimeter_tested_on is not None:
        through = add_calendar_months(altimeter_tested_on, TEST_MONTHS)
        said = (
            f"the altimeter keeps its date: {said_date(altimeter_tested_on)} + {TEST_MONTHS} calendar months"
        )
        steps.append(Step(said, said_date(through)))
    sentence = "The static system is tested before IFR in controlled airspace"
    sentence = sentence if required else "No test of the static system is required for this"
    sentence += f"; the altimeter's test stands through {said_date(through)}." if through else "."
    return told(
        StaticOpened(required, through),
        sentence,
        *steps,
        rules=[_OPENED, _STATIC_TEST, *([_PERIOD] if through else [])],
        assumptions=[
            "A test dated the day of the opening was made after it.",
            *([MONTH_ENDS] if through else []),
        ],
    )


def altimeter_altitude(*, tested_to_ft: Decimal, planned_ft: Decimal) -> Worked[bool]:
    """Whether IFR in controlled airspace may be planned so high, in feet. Source: 14 CFR 91.411(d)."""
    legal = planned_ft <= tested_to_ft
    allowed = f"IFR in controlled airspace may be planned at {plain(planned_ft)} ft."
    return told(
        legal,
        allowed
        if legal
        else f"Not allowed: the altimeter was tested to {plain(tested_to_ft)} ft and no higher.",
        Step(f"{plain(planned_ft)} ft at most {plain(tested_to_ft)} ft", yes(legal)),
        rules=[_HIGHEST],
        assumptions=["The altitude is the one of the last test, written on the altimeter and in the record."],
    )


class NewAltimeter(NamedTuple):
    """Until when a new altimeter counts as tested, and whether its fitting asks for a static system test."""

    last_on: date
    static_test_required: bool


def altimeter_new(*, made_on: date, fitted_on: date) -> Worked[NewAltimeter]:
    """How long a new altimeter counts as tested, from the day it was made; its fitting opens the system.

    Raises Refused when it was fitted before it was made. Source: 14 CFR 91.411(c), (a)(2).
    """
    if fitted_on < made_on:
        raise Refused("It was fitted before it was made.", "Correct one of the two days.")
    last = add_calendar_months(made_on, TEST_MONTHS)
    return told(
        NewAltimeter(last, static_test_required=True),
        f"The altimeter is good through {said_date(last)}; its fitting asks for a static system test.",
        Step(f"made {said_date(made_on)} + {TEST_MONTHS} calendar months", said_date(last)),
        Step(f"fitted {said_date(fitted_on)}: the static system was opened", "static system test"),
        rules=[_MADE, _OPENED],
        assumptions=["It was made to a technical standard order and bears its making date.", MONTH_ENDS],
    )


def altitude_correspondence(*, differences_ft: tuple[Decimal, ...]) -> Worked[bool]:
    """Whether reported and shown altitude agree, in feet either way. Source: 14 CFR 43 App. E(c)."""
    worst = max(abs(each) for each in differences_ft)
    passed = worst <= CORRESPONDENCE_FT
    return told(
        passed,
        "The reported altitude agrees with the altimeter." if passed else "The reported altitude is out.",
        Step("greatest difference, either way", f"{plain(worst)} ft"),
        Step(f"at most {CORRESPONDENCE_FT} ft", yes(passed)),
        rules=[_REPORTING, _CORRESPONDENCE],
        assumptions=["Every altitude that the appendix asks for was tried; which ones, is to be read there."],
    )


_ANY_SIGN = Decimal(-100_000)

QUESTIONS = (
    question(
        "static-opened",
        "Must the static system be tested after it was opened?",
        ABOUT,
        f"{_OPENED.citation}; {_STATIC_TEST.citation}",
        static_opened,
        Fact("how", "How it was opened", "choice", choices=(OPENED, DRAIN_ONLY)),
        Fact("opened_on", "Day it was opened", "day"),
        Fact("static_tested_on", "Static system last tested", "day", needed=False),
        Fact("altimeter_tested_on", "Altimeter last tested", "day", needed=False),
    ),
    question(
        "altimeter-altitude",
        "May IFR be planned as high as that with this altimeter?",
        ABOUT,
        _HIGHEST.citation,
        altimeter_altitude,
        Fact("tested_to_ft", "Altimeter tested to", "number", "ft"),
        Fact("planned_ft", "Altitude planned", "number", "ft"),
    ),
    question(
        "altimeter-new",
        "How long does a new altimeter count as tested?",
        ABOUT,
        f"{_MADE.citation}; {_OPENED.citation}",
        altimeter_new,
        Fact("made_on", "Day it was made", "day", tip="As marked on the instrument."),
        Fact("fitted_on", "Day it was fitted", "day"),
    ),
    question(
        "altitude-reporting",
        "Does the reported altitude agree with the altimeter?",
        ABOUT,
        f"{_REPORTING.citation}; {_CORRESPONDENCE.citation}",
        altitude_correspondence,
        Fact(
            "differences_ft",
            "Differences found",
            "numbers",
            "ft",
            tip="One for each altitude tried, with its sign.",
            least=_ANY_SIGN,
        ),
    ),
)
