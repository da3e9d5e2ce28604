"""Hours of an assembly through its installations, and the life limits that count on them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from itertools import pairwise

from annual_planner.trade.answer import answer
from annual_planner.trade.refused import Refused
from annual_planner.trade.said import said_hours
from annual_planner.trade.working import Step, Worked


@dataclass(frozen=True, slots=True)
class Stay:
    """An assembly's time on one airplane: the airframe's hours at fitting and, once it left, at removal.

    Raises ValueError when it was removed at fewer hours than it was fitted.
    """

    fitted_airframe_hours: Decimal
    removed_airframe_hours: Decimal | None = None

    def __post_init__(self) -> None:
        removed = self.removed_airframe_hours
        if removed is not None and removed < self.fitted_airframe_hours:
            raise ValueError("an assembly is not removed at fewer hours than it was fitted")

    def flown_hours(self, airframe_hours: Decimal) -> Decimal:
        """What the stay has added by the time the airframe has these hours; 0 before the fitting."""
        until = airframe_hours
        if self.removed_airframe_hours is not None:
            until = min(until, self.removed_airframe_hours)
        return max(until - self.fitted_airframe_hours, Decimal(0))


def _check_stays(stays: Sequence[Stay]) -> list[Stay]:
    """Put the stays in order; raise Refused where two overlap or one never ended before the next."""
    ordered = sorted(stays, key=lambda stay: stay.fitted_airframe_hours)
    for earlier, later in pairwise(ordered):
        removed = earlier.removed_airframe_hours
        if removed is None or removed > later.fitted_airframe_hours:
            raise Refused(
                f"Fitted at {said_hours(later.fitted_airframe_hours)} of the airframe while still fitted "
                f"since {said_hours(earlier.fitted_airframe_hours)}.",
                "Enter its removal, or correct the hours.",
            )
    return ordered


def assembly_hours(base_hours: Decimal, stays: Sequence[Stay], airframe_hours: Decimal) -> Worked[Decimal]:
    """Hours of an assembly: `base_hours` before its first stay, and what each stay on one airplane added.

    Hours flown by the airframe while it was off don't count. Raises Refused for stays that overlap.
    Source: 14 CFR 91.417(a)(2)(i).
    """
    ordered = _check_stays(stays)
    total = sum((stay.flown_hours(airframe_hours) for stay in ordered), base_hours)
    steps = [Step("before the first fitting", said_hours(base_hours))]
    steps += [
        Step(_stay_text(stay, airframe_hours), f"+ {said_hours(stay.flown_hours(airframe_hours))}")
        for stay in ordered
    ]
    citation = "14 CFR 91.417(a)(2)(i)"
    return answer(total, "Hours of the assembly", said_hours(total), citation=citation, steps=steps)


def _stay_text(stay: Stay, airframe_hours: Decimal) -> str:
    until = stay.removed_airframe_hours
    end = "still fitted, now " + said_hours(airframe_hours) if until is None else said_hours(until)
    return f"airframe {said_hours(stay.fitted_airframe_hours)} to {end}"


def due_on_airframe(
    due_assembly_hours: Decimal, assembly_hours_now: Decimal, airframe_hours_now: Decimal
) -> Worked[Decimal]:
    """At which airframe hours an assembly's limit is reached if it stays fitted from now on."""
    due = airframe_hours_now + due_assembly_hours - assembly_hours_now
    left = due_assembly_hours - assembly_hours_now
    limit, now = said_hours(due_assembly_hours), said_hours(assembly_hours_now)
    steps = [
        Step(f"{limit} - {now}", f"{said_hours(left)} left"),
        Step(f"airframe {said_hours(airframe_hours_now)} + {said_hours(left)}", said_hours(due)),
    ]
    assumptions = ["The assembly stays on this airplane."]
    return answer(due, "Due at airframe hours", said_hours(due), steps=steps, assumptions=assumptions)


def within_life_limit(limit_hours: Decimal, now_hours: Decimal) -> Worked[bool]:
    """Whether a life-limited part may still fly: no allowance of any kind past the limit.

    Source: 14 CFR 91.403(c).
    """
    legal = now_hours <= limit_hours
    left = said_hours(limit_hours - now_hours)
    steps = [Step(f"{said_hours(limit_hours)} - {said_hours(now_hours)}", left)]
    result = "within its life" if legal else "not to be flown: life limit passed"
    return answer(legal, "Life limit", result, citation="14 CFR 91.403(c)", steps=steps)
