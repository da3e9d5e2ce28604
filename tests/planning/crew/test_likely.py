"""Chances of the finish and learned hours."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from annual_planner.planning.crew.estimates import Hours, learned_hours
from annual_planner.planning.crew.findings import Findings, Number, number_from_history
from annual_planner.planning.crew.laid_out import LaidOut
from annual_planner.planning.crew.likely import likely_finish
from annual_planner.planning.crew.problem import After, Job, Problem, Seat
from annual_planner.planning.crew.solve import lay_out
from annual_planner.trade.refused import Refused
from tests.benchmarks.finish_coverage import WAYS, Way, shares_held
from tests.planning.crew.annuals import MECHANIC, annual, at, people, shop_weeks, with_gates

TEMPLATE = Hours(Decimal(1), Decimal(2), Decimal(4))
used = st.lists(st.decimals(min_value="0.25", max_value=40, places=2), max_size=30)


def planned(problem: Problem) -> LaidOut:
    return lay_out(problem, seconds=0, effort=0.0).value


def certain(problem: Problem) -> Problem:
    """The same annual with no doubt about its hours."""
    return replace(problem, jobs=tuple(replace(job, low=None, high=None) for job in problem.jobs))


@pytest.mark.parametrize("number", range(8))
def test_without_doubt_about_hours_nobody_ends_later_than_planned(number: int) -> None:
    problem = certain(with_gates(annual(100 + number, 15, with_clock=False), number))
    plan = planned(problem)
    found = likely_finish(problem, plan, samples=20).value
    assert found.nobody_replans.p80 <= plan.finish
    assert found.on_plan == 1


SECOND = (Seat(people=frozenset({"second"})),)
LOOK_AND_CLOSE = Problem(
    shop_weeks(3),
    people(3, owner=False),
    (Job("a", "look", 4, seats=SECOND), Job("b", "close", 4, seats=SECOND, after=(After("a"),))),
)
ONE_OR_MORE = Number(mean=50, visits=1000, source="counted")
"""So many that every course has some."""


def test_what_is_found_adds_its_hours_to_the_job_that_found_it() -> None:
    cracks = Findings(ONE_OR_MORE, on={"a": 1}, low=1, likely=1, high=1)
    plan = planned(LOOK_AND_CLOSE)
    found = likely_finish(LOOK_AND_CLOSE, plan, findings=cracks, samples=400, replanned_samples=400)
    middle = at("2026-05-05T15:30")  # two hours of cards and fifty quarter-hours from Monday at eight
    for finish in (found.value.nobody_replans, found.value.with_replanning):
        assert abs(finish.p50 - middle) < timedelta(hours=1)
    assert found.value.on_plan == 0
    assert found.value.findings == pytest.approx(50, abs=2)
    assert any(item.name == "findings" and item.source == "counted" for item in found.working.inputs)


def test_what_waits_for_a_part_holds_the_job_that_closes_it_and_nothing_else() -> None:
    away = {"part_chance": 1.0, "part_days": (2, 2, 2), "low": 0, "likely": 0, "high": 0}
    free = replace(LOOK_AND_CLOSE, jobs=(*LOOK_AND_CLOSE.jobs, Job("c", "other", 4, seats=SECOND)))
    plan = planned(free)
    cracks = Findings(ONE_OR_MORE, on={"a": 1}, closed_by={"a": "b"}, **away)  # type: ignore[arg-type]
    found = likely_finish(free, plan, findings=cracks, samples=20).value
    after_the_look = plan.place("a").ends + timedelta(days=2, hours=1)
    assert found.nobody_replans.p50 == found.with_replanning.p80 == after_the_look


def test_findings_of_the_problem_count_unless_others_are_given() -> None:
    problem = replace(LOOK_AND_CLOSE, findings=Findings(ONE_OR_MORE, on={"a": 1}))
    assert likely_finish(problem, planned(problem), samples=50).value.findings > 20


def test_work_that_ends_within_a_quarter_hour_is_taken_up_again_in_it() -> None:
    jobs = (Job("a", "look", 2, low=1, high=3, seats=SECOND), Job("b", "close", 2, seats=SECOND))
    problem = Problem(shop_weeks(1), people(1, owner=False), jobs)
    found = likely_finish(problem, planned(problem), samples=500).value
    for finish in (found.nobody_replans, found.with_replanning):
        assert at("2026-05-04T08:55") <= finish.p50 <= at("2026-05-04T09:05")
        assert finish.p50 < finish.p80 < at("2026-05-04T09:15")


@pytest.mark.parametrize("way", WAYS, ids=[way.said for way in WAYS])
def test_four_in_five_courses_of_an_independent_walk_are_done_by_the_p80(way: Way) -> None:
    held = shares_held(way, annuals=6, jobs=8, courses=15, samples=150, first=100)
    assert 0.7 <= held.by_p80 <= 0.9


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


def test_the_number_of_findings_moves_from_the_assumption_to_the_shops_count() -> None:
    means = [number_from_history(found=9 * n, visits=n, assumed=3).mean for n in (0, 1, 5, 50)]
    assert means == sorted(means)
    assert means[0] == 3
    assert means[-1] == pytest.approx(9, abs=0.3)
    with pytest.raises(ValueError, match="-1"):
        number_from_history(-1, 3, 2)


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
