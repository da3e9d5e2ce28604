"""Chances of the finish and learned hours."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from annual_planner.planning.crew.chances import Finding, from_history
from annual_planner.planning.crew.estimates import Hours, learned_hours
from annual_planner.planning.crew.laid_out import LaidOut
from annual_planner.planning.crew.likely import likely_finish
from annual_planner.planning.crew.problem import After, Job, Problem, Seat
from annual_planner.planning.crew.solve import lay_out
from annual_planner.trade.refused import Refused
from tests.planning.crew.annuals import MECHANIC, annual, at, people, shop_weeks

TEMPLATE = Hours(Decimal(1), Decimal(2), Decimal(4))
used = st.lists(st.decimals(min_value="0.25", max_value=40, places=2), max_size=30)


def planned(problem: Problem) -> LaidOut:
    return lay_out(problem, seconds=0, effort=0.0).value


def certain(problem: Problem) -> Problem:
    """The same annual with no doubt about its hours."""
    return replace(problem, jobs=tuple(replace(job, low=None, high=None) for job in problem.jobs))


@pytest.mark.parametrize("number", range(8))
def test_without_doubt_about_hours_nobody_ends_later_than_planned(number: int) -> None:
    problem = certain(annual(100 + number, 15, with_clock=False))
    plan = planned(problem)
    found = likely_finish(problem, plan, samples=20).value
    assert found.nobody_replans.p80 <= plan.finish
    assert found.on_plan == 1


def test_a_finding_that_always_comes_adds_its_hours_to_a_chain() -> None:
    seat = (Seat(people=frozenset({"second"})),)
    jobs = (Job("a", "look", 4, seats=seat), Job("b", "close", 4, seats=seat, after=(After("a"),)))
    problem = Problem(shop_weeks(1), people(1, owner=False), jobs)
    crack = Finding("a", "crack", 1.0, 4, 4, 4)
    found = likely_finish(problem, planned(problem), findings=[crack], samples=50)
    assert found.value.nobody_replans.p50 == at("2026-05-04T11:00")
    assert found.value.with_replanning.p80 == at("2026-05-04T11:00")
    assert found.value.on_plan == 0
    assert any(item.name == "crack" and item.source == "assumed" for item in found.working.inputs)


def test_free_hands_take_over_when_the_shop_re_plans() -> None:
    jobs = (
        Job("long", "long", 2, low=2, high=60, seats=(Seat(people=frozenset({"second"})),)),
        *(Job(str(n), f"short {n}", 2, seats=(Seat(MECHANIC),)) for n in range(8)),
    )
    problem = Problem(shop_weeks(3), people(3, owner=False), jobs)
    found = likely_finish(problem, planned(problem), samples=300, replanned_samples=300).value
    assert found.with_replanning.p80 <= found.nobody_replans.p80


def test_the_same_seed_gives_the_same_chances() -> None:
    problem = annual(7, 20)
    ones = [likely_finish(problem, planned(problem), samples=200, replanned_samples=20, seed=5) for _ in "ab"]
    assert ones[0] == ones[1]


def test_a_plan_of_another_package_is_refused() -> None:
    with pytest.raises(Refused, match="other jobs"):
        likely_finish(annual(8, 10), planned(annual(9, 12)))


def test_a_few_looks_without_a_finding_do_not_make_it_impossible() -> None:
    assert from_history(Job("a", "brakes", 4), 0, 3, 1, 2, 4).chance == pytest.approx(0.2)
    with pytest.raises(ValueError, match="found 4"):
        from_history(Job("a", "brakes", 4), 4, 3, 1, 2, 4)


@given(used)
def test_learned_hours_lie_between_the_template_and_what_was_used(hours: list[Decimal]) -> None:
    learned = learned_hours(TEMPLATE, hours).value
    lowest, highest = min([TEMPLATE.likely, *hours]), max([TEMPLATE.likely, *hours])
    quarter = Decimal("0.25")
    assert lowest - quarter <= learned.likely <= highest + quarter
    assert learned.low <= learned.likely <= learned.high


def test_more_doings_move_the_estimate_further() -> None:
    likely = [learned_hours(TEMPLATE, [Decimal(4)] * n).value.likely for n in (0, 2, 8, 200)]
    assert likely == sorted(likely)
    assert likely[0] == TEMPLATE.likely
    assert likely[-1] == 4
