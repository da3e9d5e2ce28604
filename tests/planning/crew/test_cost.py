"""Cost of hours is weighed only where somebody says what an hour earlier is worth."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import pytest

from annual_planner.planning.crew.aims import Aims, weighing_cost
from annual_planner.planning.crew.laid_out import LaidOut
from annual_planner.planning.crew.problem import Job, Problem, Seat
from annual_planner.planning.crew.solve import lay_out
from annual_planner.trade.refused import Refused
from tests.planning.crew.annuals import people, shop_weeks

LONG_S = 120.0
"""Far more than the proof takes, with which a search ends."""


def two_jobs() -> Problem:
    """Two jobs of four hours that both of two people may do; the first costs 100 an hour, the second 40."""
    dear, cheap = people(2, owner=False)[:2]
    crew = (replace(dear, cost_per_hour=Decimal(100)), replace(cheap, cost_per_hour=Decimal(40)))
    both = Seat(people=frozenset(person.key for person in crew))
    jobs = tuple(Job(str(n), f"look {n}", 16, seats=(both,)) for n in (1, 2))
    return Problem(shop_weeks(1), crew, jobs)


def cost(problem: Problem, plan: LaidOut) -> Decimal:
    prices = {person.key: person.cost_per_hour for person in problem.people}
    hours = {place.job: Decimal(4) for place in plan.places}
    return sum((hours[place.job] * prices[who] for place in plan.places for who in place.people), Decimal(0))


def test_cheaper_hands_are_taken_where_an_hour_is_worth_little_and_not_where_it_is_worth_much() -> None:
    problem = two_jobs()
    quick, thrifty = (
        lay_out(problem, seconds=LONG_S, aims=weighing_cost(Decimal(worth))).value for worth in (1000, 1)
    )
    assert cost(problem, thrifty) == Decimal(320), "the cheaper one does both, one after the other"
    assert cost(problem, quick) == Decimal(560), "both work, and it is done in half the time"
    assert quick.finish < thrifty.finish


def test_without_a_worth_cost_is_left_out() -> None:
    assert weighing_cost(None) == Aims()


@pytest.mark.parametrize("worth", [Decimal(0), Decimal(-5)])
def test_an_hour_is_worth_something_or_nothing_is_said(worth: Decimal) -> None:
    with pytest.raises(Refused, match="more than 0"):
        weighing_cost(worth)
