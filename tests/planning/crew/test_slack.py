"""A card may slip by its slack and not by more: an independent walk of wall-clock time holds it to that."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from annual_planner.planning.crew.binding import binding
from annual_planner.planning.crew.laid_out import LaidOut
from annual_planner.planning.crew.problem import After, Job, Pinned, Problem, Room, Seat
from annual_planner.planning.crew.solve import lay_out
from annual_planner.trade.refused import Refused
from tests.planning.crew.annuals import annual, at, people, shop_weeks, with_gates
from tests.planning.crew.checker import broken
from tests.planning.crew.slipping import slipped

numbers = st.integers(min_value=0, max_value=10**9)
SECOND, THIRD = (Seat(people=frozenset({"second"})),), (Seat(people=frozenset({"third"})),)


def planned(problem: Problem) -> LaidOut:
    return lay_out(problem, seconds=0, effort=0.0).value


@given(numbers, st.integers(min_value=2, max_value=14), st.booleans())
@settings(max_examples=settings.default.max_examples)
def test_pushing_a_card_by_its_slack_keeps_the_finish_and_by_more_does_not(
    number: int, jobs: int, owner: bool
) -> None:
    problem = with_gates(annual(number, jobs, weeks=3, owner=owner), number)
    try:
        plan = planned(problem)
    except Refused:
        return
    for bound in binding(problem, plan).value.jobs:
        kept = slipped(problem, plan, bound.job, bound.slack)
        assert kept is not None
        assert (kept.finish, broken(problem, kept)) == (plan.finish, [])
        more = slipped(problem, plan, bound.job, bound.slack + 1)
        assert more is None or more.finish > plan.finish or broken(problem, more)


def slack_of(problem: Problem, plan: LaidOut) -> dict[str, float]:
    return {bound.job: bound.slack / 4 for bound in binding(problem, plan).value.jobs}


def test_a_zone_for_two_does_not_make_the_next_card_wait_for_the_one_that_ended_last() -> None:
    jobs = (
        Job("long", "long", 12, seats=SECOND, room="cabin"),
        Job("short", "short", 4, seats=THIRD, room="cabin"),
        Job("next", "next", 4, seats=THIRD, room="cabin", after=(After("short"),)),
        Job("end", "end", 16, seats=THIRD),
    )
    problem = Problem(shop_weeks(1), people(1, owner=False), jobs, (Room("cabin", "cabin", 2),))
    plan = planned(problem)
    assert plan.finish == at("2026-05-04T15:00")
    assert slack_of(problem, plan) == {"long": 3.0, "short": 0.0, "next": 0.0, "end": 0.0}


def test_a_pinned_card_may_not_slip_and_a_hot_window_ends_the_slack() -> None:
    jobs = (
        Job("run", "run", 4, seats=SECOND),
        Job("hot", "hot", 4, seats=THIRD, after=(After("run", most_min=60),)),
        Job("held", "held", 4, seats=SECOND, pinned=Pinned(at("2026-05-04T10:00"))),
        Job("end", "end", 32, seats=(Seat(people=frozenset({"lead"})),)),
    )
    problem = Problem(shop_weeks(1), people(1, owner=False), jobs)
    slack = slack_of(problem, planned(problem))
    assert (slack["held"], slack["hot"], slack["end"]) == (0, 1.0, 0)


def test_the_slack_of_a_plan_with_a_card_less_is_that_of_the_cards_left() -> None:
    problem = annual(41, 12, owner=False)
    plan = planned(problem)
    fewer = replace(problem, jobs=problem.jobs[:-1])
    assert [bound.job for bound in binding(fewer, plan).value.jobs] == [
        place.job for place in plan.places if place.job != problem.jobs[-1].key
    ]
    part = replace(plan, places=tuple(place for place in plan.places if place.job != problem.jobs[-1].key))
    assert slack_of(problem, part) == pytest.approx(slack_of(fewer, part))
