"""When nothing fits, the refusal names the rules that clash and no others."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import timedelta
from random import Random
from time import monotonic

import pytest
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st

from annual_planner.planning.crew import clash as clash_module
from annual_planner.planning.crew import solve
from annual_planner.planning.crew.clash import Impossible, clash, impossible, not_possible, with_only
from annual_planner.planning.crew.laid_out import LaidOut
from annual_planner.planning.crew.laying import Free
from annual_planner.planning.crew.open_time import Span
from annual_planner.planning.crew.prepared import Prepared
from annual_planner.planning.crew.problem import After, Job, Pinned, Problem, Seat
from annual_planner.planning.crew.rules_of import rules_of
from annual_planner.planning.crew.solve import lay_out
from annual_planner.trade.refused import Refused
from tests.planning.crew.annuals import INSPECTOR, MECHANIC, annual, at, people, shop_weeks

LONG_S = 120.0


@pytest.fixture(autouse=True, scope="module")
def time_enough() -> Iterator[None]:
    """A busy machine needs longer to prove the same."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(clash_module, "ONE_LOOK_S", LONG_S)
        patch.setattr(solve, "CLASH_S", LONG_S)
        yield


def clash_of(problem: Problem) -> Impossible:
    """What laying out says where nothing fits."""
    return impossible(problem, seconds=LONG_S)


def with_jobs(*jobs: Job) -> Problem:
    """An annual of twenty jobs that fits, and these jobs with it; the inspector is away on 12 and 13 May."""
    base = annual(5, 20, weeks=3, owner=False, with_clock=False)
    away = (Span(at("2026-05-12"), at("2026-05-14")),)
    crew = tuple(replace(p, away=away if p.key == "lead" else ()) for p in people(3, owner=False))
    return replace(base, people=crew, jobs=(*base.jobs, *jobs))


def test_an_inspection_while_the_inspector_is_away_names_both() -> None:
    dates = {"not_before": at("2026-05-12T08:00"), "not_after": at("2026-05-13T17:00")}
    found = clash_of(with_jobs(Job("31", "final look", 4, seats=(Seat(INSPECTOR),), **dates)))  # type: ignore[arg-type]
    assert found.jobs == ("31",)
    assert found.smallest
    assert any("away 12–13 May 2026" in line for line in found.clash)
    assert any("Ada Lindqvist, who alone may do it" in line for line in found.clash)
    assert len(found.clash) == 4


def test_two_jobs_pinned_to_one_person_at_once_name_the_two_and_no_other_rule() -> None:
    pins = Pinned(at("2026-05-05T08:00"), ("second",), "begun")
    found = clash_of(
        with_jobs(
            Job("a", "left brake", 4, seats=(Seat(MECHANIC),), pinned=pins),
            Job("b", "right brake", 4, seats=(Seat(MECHANIC),), pinned=pins),
        )
    )
    assert found.jobs == ("a", "b")
    assert len(found.clash) == 4
    assert all("brake" in line for line in found.clash)


def test_a_hot_job_that_a_late_part_keeps_from_the_run_names_the_run_and_the_part() -> None:
    run = Job("run", "engine run", 2, not_after=at("2026-05-05T17:00"))
    part = {"not_before": at("2026-05-07T08:00"), "arrives": "the gauge comes back"}
    hot = Job("hot", "compression", 4, after=(After("run", most_min=60, why="it is done hot"),), **part)  # type: ignore[arg-type]
    found = clash_of(with_jobs(run, hot))
    assert set(found.jobs) == {"run", "hot"}
    assert any("the gauge comes back" in line for line in found.clash)
    assert any("within 1 h" in line and "it is done hot" in line for line in found.clash)
    assert len(found.clash) == 3


def test_too_short_a_calendar_is_named() -> None:
    jobs = tuple(Job(str(n), f"long {n}", 32, seats=(Seat(INSPECTOR),)) for n in range(6))
    found = clash_of(Problem(shop_weeks(1), people(1, owner=False), jobs))
    assert any("calendar" in line for line in found.clash)
    assert len(found.jobs) == 6


def tight(number: int, jobs: int, chance: Random) -> Problem:
    """An annual some of whose jobs must be done so soon that often nothing fits."""
    base = annual(number, jobs, weeks=2, owner=False)
    tightened = tuple(
        replace(job, not_after=at(chance.choice(("2026-05-04T12:00", "2026-05-05T12:00"))), not_before=None)
        if chance.random() < 0.6
        else job
        for job in base.jobs
    )
    return replace(base, jobs=tightened)


def fits(problem: Problem) -> bool:
    """Whether there is a plan; the first that is found will do."""
    plans: list[LaidOut] = []
    lay_out(problem, seconds=LONG_S, workers=2, on_better=plans.append, cancelled=lambda: bool(plans))
    return bool(plans)


@given(st.integers(min_value=0, max_value=10**9), st.integers(min_value=2, max_value=6))
@settings(
    max_examples=max(8, settings.default.max_examples // 12),
    deadline=None,
    suppress_health_check=[HealthCheck.filter_too_much, HealthCheck.too_slow],
)
def test_without_any_one_rule_of_the_clash_the_rest_of_it_fits(number: int, jobs: int) -> None:
    problem = tight(number, jobs, Random(number))
    assume(not_possible(problem, monotonic() + LONG_S))
    found = clash(problem, seconds=LONG_S)
    assert found.smallest
    smaller = replace(problem, jobs=tuple(job for job in problem.jobs if job.key in found.jobs))
    rules = list(rules_of(smaller))
    named = [rule for rule in rules if rule.said in found.rules]
    assert not_possible(with_only(smaller, rules, named), monotonic() + LONG_S)
    for one in named:
        rest = with_only(smaller, rules, [rule for rule in named if rule is not one])
        assert fits(rest)


def test_an_impossible_annual_is_called_that_without_a_search_too() -> None:
    pins = Pinned(at("2026-05-05T08:00"), ("second",), "begun")
    both = (Job(key, key, 4, seats=(Seat(MECHANIC),), pinned=pins) for key in "ab")
    with pytest.raises(Impossible) as refused:
        lay_out(with_jobs(*both), seconds=0)
    assert refused.value.jobs == ("a", "b")


def test_what_the_rules_alone_do_not_find_is_not_called_impossible() -> None:
    second = (Seat(people=frozenset({"second"})),)
    order = [5, 2, 9, 0, 7, 3, 8, 1, 6, 4]
    ends = {n: at("2026-05-04T08:00") + timedelta(minutes=15 * (place + 1)) for place, n in enumerate(order)}
    jobs = tuple(Job(str(n), f"look {n}", 1, seats=second, not_after=ends[n]) for n in range(10))
    problem = Problem(shop_weeks(1), people(1, owner=False), jobs)
    with pytest.raises(Refused, match="by rules alone"):
        lay_out(problem, seconds=0, effort=0.0)
    assert lay_out(problem, seconds=LONG_S, workers=2).value.finish == at("2026-05-04T10:30")


def test_a_limit_that_nothing_reaches_takes_no_more_room_than_one_that_is_just_enough() -> None:
    problem = annual(5, 20, weeks=3, owner=False)

    def free(limit: int) -> Free:
        rooms = tuple(replace(room, holds=limit) for room in problem.rooms)
        tools = tuple(replace(tool, count=limit) for tool in problem.tools)
        return Free(Prepared(replace(problem, rooms=rooms, tools=tools)))

    enough, without = free(sum(max(len(job.seats), 1) for job in problem.jobs)), free(10**12)
    assert without.left == enough.left
    assert without.levels_at == enough.levels_at
