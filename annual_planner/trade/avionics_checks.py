"""Transponder, VOR receiver and avionics database: what their checks allow, and what an update is."""

from __future__ import annotations

from datetime import date, timedelta
from decimal import Decimal
from typing import NamedTuple

from annual_planner.trade.periods import add_calendar_months
from annual_planner.trade.refused import Refused
from annual_planner.trade.rule_facts import MONTH_ENDS, Fact, plain, question, told, yes
from annual_planner.trade.said import said_date
from annual_planner.trade.working import Rule, Step, Worked

TEST_MONTHS = 24
"""Calendar months. 14 CFR 91.413(a)."""
VOR_DAYS = 30
"""14 CFR 91.171(a)(2): days, not months."""
VOR_LIMITS_DEG = {
    "test signal": Decimal(4),
    "ground point": Decimal(4),
    "airborne point": Decimal(6),
    "airway": Decimal(6),
    "dual receivers": Decimal(4),
}
"""Greatest bearing error by kind of check; for dual receivers their difference. 14 CFR 91.171."""
_TRANSPONDER = Rule(
    "14 CFR 91.413(a)",
    "a transponder is used only within 24 calendar months of its test, whatever the flight rules",
)
_VOR = Rule("14 CFR 91.171(a)", "IFR by VOR asks for a check of the receiver within the 30 days before")
_VOR_LIMITS = Rule("14 CFR 91.171(b)", "4 degrees at a test signal or on the ground, 6 in the air")
_VOR_DUAL = Rule("14 CFR 91.171", "two receivers, checked against each other, differ by at most 4 degrees")
_DATABASE = Rule(
    "14 CFR 43.3(k)",
    "a database update is no maintenance where it is started from the flight deck with the unit closed, "
    "without tools or special equipment and by its instructions",
)


class TransponderUse(NamedTuple):
    """The last day of a transponder's test, and whether it may be switched on."""

    last_on: date
    may_use: bool


def transponder_use(*, tested_on: date, flight_on: date) -> Worked[TransponderUse]:
    """Whether the transponder may be switched on: its test binds every use, whatever the flight rules.

    Raises Refused for a flight before the test. Source: 14 CFR 91.413(a).
    """
    if flight_on < tested_on:
        raise Refused("The flight lies before the test.", "State the test that was in force on that day.")
    last = add_calendar_months(tested_on, TEST_MONTHS)
    may = flight_on <= last
    allowed = f"The transponder may be used through {said_date(last)}."
    return told(
        TransponderUse(last, may),
        allowed
        if may
        else f"The transponder stays off, under VFR as well: its test ended on {said_date(last)}.",
        Step(f"tested {said_date(tested_on)} + {TEST_MONTHS} calendar months", said_date(last)),
        Step(f"flown on {said_date(flight_on)}, by then", yes(may)),
        rules=[_TRANSPONDER],
        assumptions=["No work since the test asked for another one.", MONTH_ENDS],
    )


def vor_error(*, check: str, error_deg: Decimal) -> Worked[bool]:
    """Whether a bearing error in degrees, either way, is within the limit of its check.

    Source: 14 CFR 91.171.
    """
    limit = VOR_LIMITS_DEG[check]
    passed = abs(error_deg) <= limit
    return told(
        passed,
        f"The receiver {'passes' if passed else 'fails'} at a limit of {limit} degrees.",
        Step(f"limit of a check by {check}", f"{limit} degrees"),
        Step(f"{plain(abs(error_deg))} degrees, either way, at most {limit}", yes(passed)),
        rules=[_VOR_DUAL if check == "dual receivers" else _VOR_LIMITS],
        assumptions=["The check was made as its own paragraph says, at a place that is published for it."],
    )


class VorCheck(NamedTuple):
    """Whether a flight asks for a VOR check, and whether the last one serves; None where it isn't stated."""

    needed: bool
    in_date: bool | None


def vor_needed(
    *, ifr: bool, uses_vor: bool, flight_on: date, checked_on: date | None = None
) -> Worked[VorCheck]:
    """Whether a flight asks for a VOR check of the last 30 days: IFR that uses it.

    Raises Refused for a flight before the check. Source: 14 CFR 91.171(a).
    """
    if checked_on is not None and flight_on < checked_on:
        raise Refused("The flight lies before the check.", "State the check that was in force on that day.")
    needed = ifr and uses_vor
    steps = [Step("flown under IFR", yes(ifr)), Step("by VOR", yes(uses_vor))]
    in_date = None
    if checked_on is not None:
        last = checked_on + timedelta(days=VOR_DAYS)
        in_date = flight_on <= last
        steps.append(Step(f"checked {said_date(checked_on)} + {VOR_DAYS} days", said_date(last)))
        steps.append(Step(f"flown on {said_date(flight_on)}, by then", yes(in_date)))
    sentence = "The receiver has to be checked before this flight."
    if not needed:
        sentence = "The flight asks for no VOR check."
    elif in_date:
        sentence = "The flight asks for a VOR check, and the last one serves."
    return told(
        VorCheck(needed, in_date),
        sentence,
        *steps,
        rules=[_VOR],
        assumptions=["The entry of the check has date, place, bearing error and signature, and it passed."],
    )


def database_update(
    *, from_flight_deck: bool, opened: bool, tools: bool, as_instructed: bool
) -> Worked[bool]:
    """Whether an update of an installed unit's database is maintenance. Source: 14 CFR 43.3(k)."""
    maintenance = not from_flight_deck or opened or tools or not as_instructed
    return told(
        maintenance,
        "It is maintenance: someone entitled does it and makes an entry."
        if maintenance
        else "It is no maintenance, and no entry is asked for.",
        Step("started from the flight deck", yes(from_flight_deck)),
        Step("unit opened", yes(opened)),
        Step("tools or special equipment used", yes(tools)),
        Step("by the instructions for it", yes(as_instructed)),
        rules=[_DATABASE],
        assumptions=["It is the database that is changed, not the unit's own program."],
    )


_TRANSPONDERS, _RECEIVER = "Transponder", "VOR receiver"

QUESTIONS = (
    question(
        "transponder-use",
        "May the transponder be used on this day?",
        _TRANSPONDERS,
        _TRANSPONDER.citation,
        transponder_use,
        Fact("tested_on", "Last tested", "day"),
        Fact("flight_on", "Day of the flight", "day"),
    ),
    question(
        "vor-error",
        "Does the VOR receiver pass with this bearing error?",
        _RECEIVER,
        f"{_VOR_LIMITS.citation}; {_VOR_DUAL.citation}",
        vor_error,
        Fact("check", "How it was checked", "choice", choices=tuple(VOR_LIMITS_DEG)),
        Fact(
            "error_deg",
            "Bearing error",
            "number",
            "degrees",
            tip="For dual receivers the difference of their bearings.",
            least=Decimal(-180),
            most=Decimal(180),
        ),
    ),
    question(
        "vor-check-needed",
        "Does this flight ask for a VOR check?",
        _RECEIVER,
        _VOR.citation,
        vor_needed,
        Fact("ifr", "Flown under IFR", "yes or no"),
        Fact("uses_vor", "VOR used", "yes or no"),
        Fact("flight_on", "Day of the flight", "day"),
        Fact("checked_on", "Last checked", "day", needed=False),
    ),
    question(
        "database-update",
        "Is this update of an avionics database maintenance?",
        "Avionics database",
        _DATABASE.citation,
        database_update,
        Fact("from_flight_deck", "Started from the flight deck", "yes or no"),
        Fact("opened", "Unit opened", "yes or no"),
        Fact("tools", "Tools or special equipment used", "yes or no"),
        Fact("as_instructed", "By the instructions for it", "yes or no"),
    ),
)
