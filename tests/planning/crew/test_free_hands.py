"""An owner's own hours cost nothing: where no plan gets later for it, owners do what they may."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime
from decimal import Decimal

from hypothesis import assume, given, settings
from hypothesis import strategies as st

from annual_planner.planning.crew.aims import Aims
from annual_planner.planning.crew.laid_out import LaidOut
from annual_planner.planning.crew.problem import After, Job, Problem, Room, Seat
from annual_planner.planning.crew.solve import lay_out
from annual_planner.trade.refused import Refused
from tests.planning.crew.annuals import FINISH_ONLY, annual, at, people, shop_weeks, with_gates
from tests.planning.crew.checker import broken

PRICES = {"lead": Decimal(96), "second": Decimal(80), "third": Decimal(80), "owner": Decimal(0)}
SECOND = (Seat(people=frozenset({"second"})),)
EITHER = (Seat(people=frozenset({"second", "owner"})),)
SATURDAY = datetime.fromisoformat("2026-05-09T08:00")


def priced(problem: Problem) -> Problem:
    """The same annual, whose people cost what they cost."""
    crew = (replace(person, cost_per_hour=PRICES[person.key]) for person in problem.people)
    return replace(problem, people=tuple(crew))


def annual_around_a_weekend(*more: Job) -> Problem:
    """A week of one mechanic's work, a gate, then what the owner may do too, and a day of the mechanic."""
    jobs = (
        Job("week", "a week's work", 5 * 32, seats=SECOND, room="cabin"),
        Job("gate", "gate", 0, seats=(), after=(After("week"),)),
        Job("plugs", "plugs", 8, seats=EITHER, room="cabin", after=(After("gate"),)),
        Job("close", "close up", 32, seats=SECOND, after=(After("gate"),)),
    )
    return priced(Problem(shop_weeks(3), people(3, owner=True), (*jobs, *more), (Room("cabin", "cabin", 2),)))


def by_rules(problem: Problem, aims: Aims | None = None) -> LaidOut:
    return lay_out(problem, seconds=0, effort=0.0, aims=aims).value


def paid(problem: Problem, plan: LaidOut) -> Decimal:
    """What the plan's hours cost."""
    return sum(
        (problem.job(place.job).likely * PRICES[who] for place in plan.places for who in place.people),
        Decimal(0),
    )


def test_the_owner_does_on_saturday_what_else_would_be_the_mechanics_on_monday() -> None:
    problem = annual_around_a_weekend()
    for plan in (by_rules(problem), lay_out(problem, seconds=120, workers=1, effort=1.0).value):
        assert plan.place("plugs").people == ("owner",)
        assert plan.place("plugs").starts == SATURDAY
        assert plan.finish == at("2026-05-11T17:00")
        assert broken(problem, plan) == []


def test_a_plan_is_never_later_for_the_owners_hands() -> None:
    problem = annual_around_a_weekend()
    alone = replace(problem, jobs=tuple(job for job in problem.jobs if job.key == "plugs"))
    plan = by_rules(alone)
    assert (plan.place("plugs").people, plan.finish) == (("second",), at("2026-05-04T10:00"))


def test_where_only_the_finish_counts_or_nobody_costs_anything_nobody_is_preferred() -> None:
    problem = annual_around_a_weekend()
    free = replace(problem, people=tuple(replace(p, cost_per_hour=Decimal(0)) for p in problem.people))
    assert by_rules(free).places == by_rules(free, FINISH_ONLY).places
    assert by_rules(problem, FINISH_ONLY).finish == by_rules(problem).finish


@given(st.integers(min_value=0, max_value=10**9), st.integers(min_value=2, max_value=16))
@settings(max_examples=max(25, settings.default.max_examples // 3))
def test_free_hands_keep_every_rule_and_make_no_plan_later_or_of_the_same_finish_dearer(
    number: int, jobs: int
) -> None:
    problem = priced(with_gates(annual(number, jobs), number))
    try:
        plain = by_rules(problem, FINISH_ONLY)
    except Refused:
        assume(False)
    plan = by_rules(problem)
    assert broken(problem, plan) == []
    assert worth(problem, plan) <= worth(problem, plain)


def worth(problem: Problem, plan: LaidOut) -> tuple[datetime, int, Decimal]:
    """Finish, paid people in zones, cost of hours."""
    there = {
        (problem.job(place.job).room, who)
        for place in plan.places
        for who in place.people
        if PRICES[who] and problem.job(place.job).room
    }
    return plan.finish, len(there), paid(problem, plan)
