"""The annual, the 100-hour and the progressive inspection: how one stands in for another."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from decimal import Decimal
from enum import StrEnum

from annual_planner.trade.answer import answer
from annual_planner.trade.intervals import next_due
from annual_planner.trade.periods import DuePoint, Interval, Point, add_calendar_months
from annual_planner.trade.refused import Refused
from annual_planner.trade.said import said_date, said_hours
from annual_planner.trade.working import Step, Worked

ANNUAL = Interval(calendar_months=12)
"""14 CFR 91.409(a)."""
HUNDRED_HOUR = Interval(hours=Decimal(100), enroute_excess_hours=Decimal(10))
"""14 CFR 91.409(b)."""
SPECIAL_FLIGHT_PERMIT = "special flight permit"
"""14 CFR 21.197: the way to fly an airplane that may not be operated to where it can be put right."""


class InspectionKind(StrEnum):
    """As what an inspection is entered in the records."""

    ANNUAL = "annual"
    HUNDRED_HOUR = "100-hour"
    PROGRESSIVE_COMPLETE = "progressive, complete"
    PROGRESSIVE_ROUTINE = "progressive, routine"


@dataclass(frozen=True, slots=True)
class InspectionDone:
    """One inspection as entered: the entry's date, the airplane's hours, and whether its signer was entitled.

    The date is that of the entry, not of the day the work was begun. Whether the airplane was then approved
    or a list of discrepancies given makes no difference to the count.
    """

    kind: InspectionKind
    entry_on: date
    hours: Decimal | None = None
    signer_entitled: bool = True


def annual_due(done: Sequence[InspectionDone]) -> Worked[DuePoint]:
    """When the next annual is due: 12 calendar months after the last inspection that counts as one.

    Only what is entered as an annual and signed by someone entitled counts. Source: 14 CFR 91.409(a),
    43.11(a)(2).
    """
    counted = [one for one in done if one.kind is InspectionKind.ANNUAL and one.signer_entitled]
    last = max(counted, key=lambda one: one.entry_on, default=None)
    point = Point(on=last.entry_on) if last else None
    return next_due(ANNUAL, point, title="Next annual inspection", citation="14 CFR 91.409(a)")


def hundred_hour_due(done: Sequence[InspectionDone]) -> Worked[DuePoint]:
    """When the next 100-hour is due after early or timely ones: an annual resets its clock as well.

    For an inspection made late see `hundred_hour_after`. Source: 14 CFR 91.409(b).
    """
    kinds = {InspectionKind.ANNUAL, InspectionKind.HUNDRED_HOUR}
    counted = [one for one in done if one.kind in kinds and one.hours is not None and one.signer_entitled]
    last = max(counted, key=lambda one: one.hours or Decimal(0), default=None)
    point = Point(on=last.entry_on, hours=last.hours) if last else None
    return next_due(HUNDRED_HOUR, point, title="Next 100-hour inspection", citation="14 CFR 91.409(b)")


class Flown(StrEnum):
    """How an airplane was flown past the point where its 100-hour was due."""

    EN_ROUTE = "on the way to the inspection"
    HIRE = "for hire, on ordinary business"
    PRIVATE = "privately"


@dataclass(frozen=True, slots=True)
class HundredHour:
    """What comes of a 100-hour inspection: when the next is due, and whether the rule was broken."""

    next_due_hours: Decimal
    broken: bool


def hundred_hour_after(
    previous_due_hours: Decimal, done_hours: Decimal, flown: Flown, *, cautious: bool = True
) -> Worked[HundredHour]:
    """The next 100-hour after one done early, in time or late.

    At most 10.0 hours past the limit, flown on the way to the inspection, are allowed and come off the
    next 100. Private flying past it breaks nothing. Otherwise the rule is broken and silent on the count:
    `cautious` counts from the previous due. Source: 14 CFR 91.409(b).
    """
    excess = max(done_hours - previous_due_hours, Decimal(0))
    allowed = HUNDRED_HOUR.enroute_excess_hours if flown is Flown.EN_ROUTE else Decimal(0)
    broken = flown is not Flown.PRIVATE and excess > allowed
    due = next_due(
        HUNDRED_HOUR,
        Point(hours=done_hours),
        previous_due=DuePoint(hours=previous_due_hours),
        enroute=flown is Flown.EN_ROUTE,
        ordinary_overrun=flown is Flown.HIRE,
        citation="14 CFR 91.409(b)",
        cautious=cautious,
    )
    hours = due.value.hours
    assert hours is not None  # the interval is in hours and the doing has them
    return answer(
        HundredHour(hours, broken),
        "Next 100-hour inspection",
        f"{said_hours(hours)}; {'the limit was overflown' if broken else 'nothing was broken'}",
        citation="14 CFR 91.409(b)",
        steps=[Step(f"{said_hours(excess)} past {said_hours(previous_due_hours)}, flown {flown.value}")],
        parts=[due.working],
    )


def hundred_hour_applies(
    *, persons_for_hire: bool = False, paid_instruction: bool = False, provided_by_instructor: bool = False
) -> Worked[bool]:
    """Whether a flight needs a current 100-hour.

    It does with persons carried for hire, and for paid teaching in an airplane the teacher provides. It is
    asked flight by flight: the same airplane may be rented to someone who flies it alone.

    Source: 14 CFR 91.409(b).
    """
    taught = paid_instruction and provided_by_instructor
    steps = [
        Step("persons other than crew carried for hire", _yes(persons_for_hire)),
        Step("paid instruction in an airplane the instructor provides", _yes(taught)),
    ]
    applies = persons_for_hire or taught
    result = "the 100-hour rule applies" if applies else "the 100-hour rule does not apply"
    return answer(applies, "100-hour rule on this flight", result, citation="14 CFR 91.409(b)", steps=steps)


def _yes(fact: bool) -> str:
    return "yes" if fact else "no"


def time_in_service(engine_running_hours: Decimal, airborne_hours: Decimal) -> Worked[Decimal]:
    """What a flight adds to the time in service: from leaving the ground to touching it, without taxiing.

    Raises Refused when more time was flown than the engine ran. Source: 14 CFR 1.1.
    """
    if airborne_hours > engine_running_hours:
        running = said_hours(engine_running_hours)
        raise Refused(
            f"{said_hours(airborne_hours)} in the air with the engine running {running}.",
            "Correct one of the two times.",
        )
    taxied = engine_running_hours - airborne_hours
    steps = [Step(f"{said_hours(taxied)} on the ground with the engine running don't count")]
    result = said_hours(airborne_hours)
    return answer(airborne_hours, "Time in service added", result, citation="14 CFR 1.1", steps=steps)


@dataclass(frozen=True, slots=True)
class Allowed:
    """Whether something may be flown, and otherwise what would allow it."""

    legal: bool
    remedy: str = ""


def annual_allows(last_legal_day: date, flight_on: date) -> Worked[Allowed]:
    """Whether the annual allows a flight; there is no allowance in hours or days to fly to the shop.

    Source: 14 CFR 91.409(a), 21.197(a)(1).
    """
    legal = flight_on <= last_legal_day
    value = Allowed(legal, "" if legal else SPECIAL_FLIGHT_PERMIT)
    steps = [Step(f"last legal day {said_date(last_legal_day)}, flight {said_date(flight_on)}")]
    if not legal:
        steps.append(Step("The 10 hours of the 100-hour rule are not for an annual."))
    result = "may be flown" if legal else f"not to be flown without a {SPECIAL_FLIGHT_PERMIT}"
    citation = "14 CFR 91.409(a); 14 CFR 21.197(a)(1)"
    return answer(value, "Flight under this annual", result, citation=citation, steps=steps)


@dataclass(frozen=True, slots=True)
class Grounded:
    """Days on which an airplane may not be operated, both ends included."""

    first: date
    last: date


def grounded_between(last_legal_day: date, approved_on: date) -> Worked[Grounded | None]:
    """Days without a current annual between the old one running out and the approval after the new one.

    None where there are none; the day of the approval can be flown. Source: 14 CFR 91.409(a).
    """
    first, last = last_legal_day + timedelta(days=1), approved_on - timedelta(days=1)
    value = Grounded(first, last) if first <= last else None
    result = f"{said_date(first)} to {said_date(last)}" if value else "no day"
    inputs = [("last legal day", said_date(last_legal_day)), ("approved", said_date(approved_on))]
    return answer(value, "Not to be flown", result, citation="14 CFR 91.409(a)", inputs=inputs)


@dataclass(frozen=True, slots=True)
class AfterProgressive:
    """What is due after a progressive inspection program was dropped."""

    annual_last_legal_day: date
    hundred_hour_due_hours: Decimal


def progressive_dropped(last_complete: InspectionDone) -> Worked[AfterProgressive]:
    """Annual and 100-hour due after leaving a program: both count from its last complete inspection.

    Routine phases move neither. Raises Refused for anything but a complete inspection with its hours.
    Source: 14 CFR 91.409(d), closing text.
    """
    if last_complete.kind is not InspectionKind.PROGRESSIVE_COMPLETE or last_complete.hours is None:
        raise Refused(
            "The dropped program's last complete inspection and its hours are needed.",
            "Give that inspection; routine phases do not count.",
        )
    day = add_calendar_months(last_complete.entry_on, 12)
    hours = last_complete.hours + Decimal(100)
    steps = [
        Step(f"{said_date(last_complete.entry_on)} + 12 calendar months", said_date(day)),
        Step(f"{said_hours(last_complete.hours)} + 100 h", said_hours(hours)),
    ]
    result = f"annual by {said_date(day)}, 100-hour by {said_hours(hours)}"
    citation = "14 CFR 91.409(d)"
    return answer(
        AfterProgressive(day, hours), "After the program was dropped", result, citation=citation, steps=steps
    )


@dataclass(frozen=True, slots=True)
class AfterDisapproval:
    """What follows an annual that ended without approval and whose discrepancies were then cleared."""

    flyable_from: date
    last_legal_day: date


def annual_disapproved(entry_on: date, cleared_on: date) -> Worked[AfterDisapproval]:
    """An annual that was not approved, after someone suitably rated cleared and approved every listed item.

    No second annual is needed, and the 12 calendar months count from the inspection, not from the clearing.
    Raises Refused when the clearing lies before the inspection. Source: 14 CFR 43.11(a)(5), (b), 91.407(a).
    """
    if cleared_on < entry_on:
        raise Refused(
            f"Cleared {said_date(cleared_on)}, before the inspection of {said_date(entry_on)}.",
            "Correct one of the two dates.",
        )
    value = AfterDisapproval(cleared_on, add_calendar_months(entry_on, 12))
    return answer(
        value,
        "Annual that was not approved",
        f"flyable from {said_date(cleared_on)}, next annual by {said_date(value.last_legal_day)}",
        citation="14 CFR 43.11(a)(5), (b); 14 CFR 91.407(a); 14 CFR 91.409(a)",
        steps=[Step(f"{said_date(entry_on)} + 12 calendar months", said_date(value.last_legal_day))],
        assumptions=["The months count from the inspection; no ruling on this was read."],
    )


def annual_may_be_approved(*, engine_run_recorded: bool) -> Worked[bool]:
    """Whether an annual may be approved as far as the engine run goes: the approving person makes it before.

    An entry that does not approve needs none. Source: 14 CFR 43.15(c)(2).
    """
    result = "may be approved" if engine_run_recorded else "not before the engine run is made and recorded"
    steps = [Step("engine run by the approving person recorded", _yes(engine_run_recorded))]
    citation = "14 CFR 43.15(c)(2)"
    return answer(engine_run_recorded, "Approving the annual", result, citation=citation, steps=steps)
