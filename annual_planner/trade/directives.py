"""Airworthiness directives: conflict with a quoted document, and flying to where they are complied with."""

from __future__ import annotations

from decimal import Decimal

from annual_planner.trade.answer import answer
from annual_planner.trade.inspections import SPECIAL_FLIGHT_PERMIT, Allowed
from annual_planner.trade.said import said_hours
from annual_planner.trade.working import Step, Worked


def directive_interval(directive_hours: Decimal, quoted_hours: Decimal) -> Worked[Decimal]:
    """The interval that holds when a directive and the service document it quotes differ: the directive's.

    Source: 14 CFR 39.27.
    """
    steps = [Step(f"directive {said_hours(directive_hours)}, quoted document {said_hours(quoted_hours)}")]
    result = said_hours(directive_hours)
    citation = "14 CFR 39.27"
    return answer(directive_hours, "Interval of the directive", result, citation=citation, steps=steps)


def directive_allows(*, overdue: bool, forbids_permit: bool | None = None) -> Worked[Allowed]:
    """Whether an airplane may be flown as far as a directive goes, and otherwise how to get it to the shop.

    `forbids_permit` None: its words weren't looked at. There is no allowance in hours.
    Source: 14 CFR 39.7, 39.9, 39.23.
    """
    if not overdue:
        return _allows(Allowed(True), "may be flown", [])
    if forbids_permit:
        return _allows(Allowed(False), "not to be flown: the directive forbids a permit flight", [])
    unread = " unless the directive forbids it" if forbids_permit is None else ""
    steps = [Step("each flight with a directive overdue is a breach of its own")]
    remedy = SPECIAL_FLIGHT_PERMIT + unread
    return _allows(Allowed(False, remedy), f"not to be flown; {remedy}", steps)


def _allows(value: Allowed, result: str, steps: list[Step]) -> Worked[Allowed]:
    citation = "14 CFR 39.7; 14 CFR 39.23"
    return answer(value, "Flight under the directive", result, citation=citation, steps=steps)
