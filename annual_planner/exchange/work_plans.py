"""A laid-out package as rows and as values for scripts."""

from __future__ import annotations

from collections.abc import Mapping
from decimal import Decimal

from annual_planner.exchange.tables import Cell
from annual_planner.planning.crew.binding import Binding
from annual_planner.planning.crew.laid_out import LaidOut
from annual_planner.planning.crew.open_time import STEPS_AN_HOUR, said_moment
from annual_planner.planning.work_plan import work_places
from annual_planner.trade.working import Worked, as_dict

PLAN_HEADINGS = ("starts", "ends", "card", "who", "slack h", "waits for")


def plan_rows(plan: LaidOut, bound: Binding, people: Mapping[str, str]) -> list[list[Cell]]:
    """One row for each card by start, in the order of PLAN_HEADINGS."""
    rows: list[list[Cell]] = []
    for place in work_places(plan):
        held = bound.job(place.job)
        rows.append(
            [
                said_moment(place.starts),
                said_moment(place.ends),
                place.title,
                ", ".join(people[key] for key in place.people),
                f"{held.slack / STEPS_AN_HOUR:g}",
                "; ".join(reason.said for reason in held.reasons),
            ]
        )
    return rows


def plan_values(
    plan: LaidOut, bound: Binding, people: Mapping[str, str], cost: Worked[Decimal]
) -> dict[str, object]:
    """The plan as one object.

    Keys: finish, proven, bound, seconds, late_steps (by promise), critical (titles of the chain), cost (its
    amount as text, in the shop's own money, and its working), cards (job, title, starts, ends, people,
    pieces, slack_hours, waits_for), moved (title, was, now, were, are).
    Moments are ISO text on the shop's own clock; what isn't known is null.
    """
    titles = {place.job: place.title for place in plan.places}
    return {
        "finish": plan.finish.isoformat(),
        "proven": plan.proven,
        "bound": plan.bound.isoformat() if plan.bound is not None else None,
        "seconds": round(plan.seconds, 2),
        "late_steps": dict(plan.late_steps),
        "critical": [titles[key] for key in bound.chain if key in titles],
        "cost": {"amount": f"{cost.value:.2f}", "working": as_dict(cost.working)},
        "cards": [
            {
                "job": place.job,
                "title": place.title,
                "starts": place.starts.isoformat(),
                "ends": place.ends.isoformat(),
                "people": [people[key] for key in place.people],
                "pieces": [[piece.start.isoformat(), piece.end.isoformat()] for piece in place.pieces],
                "slack_hours": bound.job(place.job).slack / STEPS_AN_HOUR,
                "waits_for": [reason.said for reason in bound.job(place.job).reasons],
            }
            for place in work_places(plan)
        ],
        "moved": [
            {
                "title": each.title,
                "was": each.was.isoformat(),
                "now": each.now.isoformat(),
                "were": [people[key] for key in each.were],
                "are": [people[key] for key in each.are],
            }
            for each in plan.moved
        ],
    }
