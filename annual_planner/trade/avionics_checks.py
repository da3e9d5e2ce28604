"""Altimeter, static system, transponder and VOR receiver: their tests, and what these allow."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from enum import StrEnum

from annual_planner.trade.answer import answer
from annual_planner.trade.periods import Interval, add_calendar_months
from annual_planner.trade.said import said_date
from annual_planner.trade.working import Step, Worked

ALTIMETER_STATIC = Interval(calendar_months=24)
"""14 CFR 91.411(a)(1)."""
TRANSPONDER = Interval(calendar_months=24)
"""14 CFR 91.413(a)."""
VOR = Interval(days=30)
"""14 CFR 91.171(a)(2): days, not months."""


def static_test_needed(*, drain_or_alternate_only: bool) -> Worked[bool]:
    """Whether the static system is to be tested again after it was opened.

    Not when only its drain or its alternate valve was used. The altimeter's own date stays as it was.
    Source: 14 CFR 91.411(a)(2), 43 App. E(a).
    """
    needed = not drain_or_alternate_only
    text = "only the drain or the alternate valve used" if drain_or_alternate_only else "opened and closed"
    result = "static test before IFR in controlled airspace" if needed else "no test"
    citation = "14 CFR 91.411(a)(2); 14 CFR 43 App. E(a)"
    steps = [Step(text), Step("the altimeter test keeps its date")]
    return answer(needed, "Static system opened", result, citation=citation, steps=steps)


@dataclass(frozen=True, slots=True)
class NewAltimeter:
    """What a newly made altimeter brings: how long it counts as tested, and a static test at fitting."""

    last_legal_day: date
    static_test_needed: bool


def new_altimeter(made_on: date, fitted_on: date) -> Worked[NewAltimeter]:
    """A new altimeter made to a technical standard order counts as tested on the day it was made.

    Fitting it opens the static system. Source: 14 CFR 91.411(c), (a)(2).
    """
    last = add_calendar_months(made_on, 24)
    steps = [
        Step(f"made {said_date(made_on)} + 24 calendar months", said_date(last)),
        Step(f"fitted {said_date(fitted_on)}: the static system was opened", "static test due"),
    ]
    result = f"good through {said_date(last)}; static test at fitting"
    citation = "14 CFR 91.411(c), (a)(2)"
    return answer(NewAltimeter(last, True), "New altimeter", result, citation=citation, steps=steps)


def altimeter_allows(tested_to_ft: int, planned_ft: int) -> Worked[bool]:
    """Whether IFR in controlled airspace may be planned so high: not above what was tested.

    Source: 14 CFR 91.411(d).
    """
    legal = planned_ft <= tested_to_ft
    steps = [Step(f"tested to {tested_to_ft} ft, planned {planned_ft} ft")]
    result = "allowed" if legal else f"not above {tested_to_ft} ft"
    return answer(legal, "Altitude under IFR", result, citation="14 CFR 91.411(d)", steps=steps)


def transponder_may_be_used(last_legal_day: date, on: date) -> Worked[bool]:
    """Whether the transponder may be switched on: its test binds every use of it, whatever the flight rules.

    Source: 14 CFR 91.413(a).
    """
    legal = on <= last_legal_day
    steps = [Step(f"test good through {said_date(last_legal_day)}, flight {said_date(on)}")]
    result = "may be used" if legal else "must stay off, under VFR as well"
    return answer(legal, "Use of the transponder", result, citation="14 CFR 91.413(a)", steps=steps)


class VorCheck(StrEnum):
    """How a VOR receiver was checked."""

    TEST_SIGNAL = "test signal"
    GROUND_POINT = "ground point"
    AIRBORNE_POINT = "airborne point"
    AIRWAY = "airway"
    DUAL = "dual receivers"


_VOR_LIMITS_DEG = {
    VorCheck.TEST_SIGNAL: 4,
    VorCheck.GROUND_POINT: 4,
    VorCheck.AIRBORNE_POINT: 6,
    VorCheck.AIRWAY: 6,
    VorCheck.DUAL: 4,
}


def vor_within_limit(check: VorCheck, error_deg: float) -> Worked[bool]:
    """Whether a bearing error, either way, is within the limit of its check. Source: 14 CFR 91.171(b)."""
    limit_deg = _VOR_LIMITS_DEG[check]
    passed = abs(error_deg) <= limit_deg
    steps = [Step(f"{abs(error_deg):g} degrees at a limit of {limit_deg} ({check.value})")]
    return answer(
        passed, "VOR check", "within the limit" if passed else "out", citation="14 CFR 91.171(b)", steps=steps
    )


def vor_check_needed(*, ifr: bool, uses_vor: bool) -> Worked[bool]:
    """Whether a flight needs a VOR check of the last 30 days: only IFR that uses it.

    Source: 14 CFR 91.171(a).
    """
    needed = ifr and uses_vor
    steps = [Step("IFR", "yes" if ifr else "no"), Step("VOR used", "yes" if uses_vor else "no")]
    return answer(
        needed, "VOR check", "needed" if needed else "not needed", citation="14 CFR 91.171(a)", steps=steps
    )


def database_update_is_maintenance(*, from_flight_deck: bool, opened: bool, tools: bool) -> Worked[bool]:
    """Whether updating a navigation database is maintenance and so needs an entry.

    It isn't when started from the flight deck, with the unit closed and no tools, as its instructions say.
    Source: 14 CFR 43.3(k).
    """
    maintenance = not from_flight_deck or opened or tools
    facts = (
        ("started from the flight deck", from_flight_deck),
        ("unit opened", opened),
        ("tools used", tools),
    )
    steps = [Step(text, "yes" if fact else "no") for text, fact in facts]
    result = "maintenance" if maintenance else "not maintenance; no entry asked"
    return answer(
        maintenance,
        "Database update",
        result,
        citation="14 CFR 43.3(k)",
        steps=steps,
        assumptions=["The maker's instructions for the update are followed."],
    )
