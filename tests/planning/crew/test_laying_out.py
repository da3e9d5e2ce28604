"""Plans keep every rule, over packages by chance, as an independent checker sees them."""

from __future__ import annotations

import sys

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from annual_planner.planning.crew.binding import binding
from annual_planner.planning.crew.clash import Impossible
from annual_planner.planning.crew.laid_out import LaidOut
from annual_planner.planning.crew.problem import Problem
from annual_planner.planning.crew.solve import lay_out
from annual_planner.trade.refused import Refused
from tests.planning.crew.annuals import FINISH_ONLY, annual
from tests.planning.crew.checker import broken

numbers = st.integers(min_value=0, max_value=10**9)
LONG_S = 120.0
"""A last resort: a search that proves its plan or is limited by effort ends long before."""


def by_rules(problem: Problem) -> LaidOut | None:
    try:
        return lay_out(problem, seconds=0, effort=0.0).value
    except Refused:
        return None


@given(numbers, st.integers(min_value=1, max_value=25), st.booleans())
@settings(max_examples=settings.default.max_examples)
def test_a_plan_by_rules_keeps_every_rule(number: int, jobs: int, owner: bool) -> None:
    problem = annual(number, jobs, owner=owner)
    plan = by_rules(problem)
    assert plan is None or broken(problem, plan) == []


@given(numbers, st.integers(min_value=1, max_value=9))
@settings(max_examples=max(15, settings.default.max_examples // 8))
def test_a_plan_of_the_solver_keeps_every_rule_and_is_no_later(number: int, jobs: int) -> None:
    problem = annual(number, jobs, weeks=3)
    first = by_rules(problem)
    try:
        plan = lay_out(problem, seconds=LONG_S, workers=1, effort=0.5).value
    except Impossible:
        assert first is None
        return
    except Refused:
        assert first is None, "nothing was found with so little effort"
        return
    assert broken(problem, plan) == []
    assert first is None or plan.finish <= first.finish


@pytest.mark.parametrize("number", range(4))
def test_the_same_seed_with_one_worker_gives_the_same_plan_again(number: int) -> None:
    problem = annual(number, 12)
    plans = [lay_out(problem, seconds=LONG_S, seed=3, workers=1, effort=0.3).value for _ in range(2)]
    assert plans[0].places == plans[1].places


def test_each_plan_that_is_published_is_whole_and_none_ends_later_than_the_one_before() -> None:
    problem, seen = annual(11, 25, owner=False), list[LaidOut]()
    last = lay_out(problem, seconds=3, workers=2, on_better=seen.append, aims=FINISH_ONLY).value
    assert all(broken(problem, plan) == [] for plan in seen)
    assert [plan.finish for plan in seen] == sorted((plan.finish for plan in seen), reverse=True)
    assert last.finish <= seen[-1].finish


def test_a_cancelled_search_gives_the_best_plan_so_far() -> None:
    problem = annual(12, 60, owner=False)
    plan = lay_out(problem, seconds=10 * LONG_S, cancelled=lambda: True)
    assert broken(problem, plan.value) == []
    assert plan.value.seconds < LONG_S
    assert not plan.value.searched
    assert "stopped by hand" in plan.working.result


def test_a_proven_plan_has_its_own_finish_as_the_bound() -> None:
    plan = lay_out(annual(13, 8, owner=False), seconds=LONG_S, workers=2).value
    assert plan.proven
    assert plan.bound == plan.finish


def test_the_solver_is_not_imported_for_a_plan_by_rules() -> None:
    import subprocess

    code = (
        "import sys; from annual_planner.planning.crew.solve import lay_out; "
        "from tests.planning.crew.annuals import annual; lay_out(annual(1, 5), seconds=0); "
        "sys.exit('ortools' in sys.modules or 'numpy' in sys.modules)"
    )
    assert subprocess.run([sys.executable, "-c", code], check=False).returncode == 0


@pytest.mark.parametrize("number", range(3))
def test_a_search_that_was_cut_short_leaves_no_job_waiting_for_nothing(number: int) -> None:
    problem = annual(number, 40, with_clock=False)
    plan = lay_out(problem, seconds=0.5, workers=2).value
    free = [bound.title for bound in binding(problem, plan).value.jobs if not bound.reasons]
    assert free == []
