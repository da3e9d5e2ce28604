"""What the hours of a laid-out plan cost, person by person, with where each figure is from."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from datetime import date, datetime, time
from decimal import Decimal

from annual_planner.library.shelf import Library
from annual_planner.planning.card_jobs import Asked, asked_of_package
from annual_planner.planning.crew.laid_out import LaidOut, Place
from annual_planner.planning.crew.open_time import STEP_MIN
from annual_planner.planning.work_plan import kept_plan_of, work_places
from annual_planner.store.session import Work
from annual_planner.trade.refused import Refused
from annual_planner.trade.said import said_amount
from annual_planner.trade.working import Input, Rule, Step, Worked, Working

SUM = Rule("this program's sum", "hours of each person in the plan times what an hour of theirs costs")
ASSUMED = (
    "Hours are the likely ones of the cards that are still to do.",
    "Work sent out, parts and what was done before aren't in it.",
)


def cost_of_plan(asked: Asked, plan: LaidOut) -> Worked[Decimal]:
    """What the people's hours of a plan cost together, in the shop's own money."""
    hours = _hours(work_places(plan))
    names = {person.key: person.name for person in asked.problem.people}
    parts = {key: hours.get(key, Decimal(0)) * cost.amount for key, cost in asked.hour_costs.items()}
    whole = sum(parts.values(), Decimal(0))
    inputs = [
        Input(f"an hour of {names[key]}", said_amount(cost.amount), source=cost.source)
        for key, cost in asked.hour_costs.items()
    ]
    steps = [
        Step(
            f"{names[key]}: {hours[key]:f} h × {said_amount(asked.hour_costs[key].amount)}",
            said_amount(part),
        )
        for key, part in parts.items()
        if key in hours
    ]
    working = Working(
        "Cost of the plan's hours",
        f"{said_amount(whole)} in the shop's own money",
        tuple(inputs),
        tuple(steps),
        (SUM,),
        (*ASSUMED, *_tables(asked), *_left_out(hours, asked)),
    )
    return Worked(whole, working)


def _tables(asked: Asked) -> Iterator[str]:
    """What the figures rest on that nobody wrote down for a person."""
    for source in dict.fromkeys(cost.rests_on for cost in asked.hour_costs.values() if cost.rests_on):
        yield f"Figures of layout.toml: {source}."


def _left_out(hours: Mapping[str, Decimal], asked: Asked) -> Iterator[str]:
    """Hours of a plan made before that nobody can be asked the price of any more."""
    gone = sum((count for key, count in hours.items() if key not in asked.hour_costs), Decimal(0))
    if gone:
        yield f"{gone:f} h of people who aren't planned with any more aren't in it."


def _hours(places: Iterable[Place]) -> dict[str, Decimal]:
    """Hours of each person by key, exact."""
    steps: dict[str, int] = {}
    for place in places:
        for key in place.people:
            steps[key] = steps.get(key, 0) + sum(piece.steps for piece in place.pieces)
    return {key: (Decimal(count * STEP_MIN) / 60).normalize() for key, count in steps.items()}


def explain_cost(work: Work, package_id: int, library: Library, today: date) -> Working:
    """The working of what the hours of a package's kept plan cost. Refused where there is no plan."""
    kept = kept_plan_of(work, package_id)
    if kept is None:
        raise Refused("The work isn't laid out yet.", "Lay it out first: the cost is that of a plan.")
    asked = asked_of_package(work, package_id, library, datetime.combine(today, time.min))
    return cost_of_plan(asked, kept.plan).working
