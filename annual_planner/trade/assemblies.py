"""An assembly's hour limits in the hours of the airframe that it is fitted to."""

from __future__ import annotations

from decimal import Decimal

from annual_planner.trade.answer import answer
from annual_planner.trade.said import said_hours
from annual_planner.trade.working import Step, Worked


def due_on_airframe(
    due_assembly_hours: Decimal, assembly_hours_now: Decimal, airframe_hours_now: Decimal
) -> Worked[Decimal]:
    """At which airframe hours an assembly's limit is reached if it stays fitted from now on.

    Source: 14 CFR 91.417(a)(2)(i), which has the times of each kept apart.
    """
    left = due_assembly_hours - assembly_hours_now
    due = airframe_hours_now + left
    limit, now = said_hours(due_assembly_hours), said_hours(assembly_hours_now)
    return answer(
        due,
        "At the airframe's hours",
        said_hours(due),
        citation="14 CFR 91.417(a)(2)(i)",
        says="hours count on the thing itself, not on the airplane it is fitted to",
        inputs=[("the airframe has now", said_hours(airframe_hours_now)), ("it has now", now)],
        steps=[
            Step(f"{limit} - {now}", f"{said_hours(left)} left"),
            Step(f"airframe {said_hours(airframe_hours_now)} + {said_hours(left)}", said_hours(due)),
        ],
        assumptions=["It stays on this airplane."],
    )
