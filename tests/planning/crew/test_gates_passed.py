"""Points that work passes lie on everybody's time: an owner's Saturday may follow Friday's work."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime, timedelta

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from annual_planner.planning.crew.binding import binding
from annual_planner.planning.crew.clash import not_possible
from annual_planner.planning.crew.laid_out import LaidOut
from annual_planner.planning.crew.likely import likely_finish
from annual_planner.planning.crew.problem import After, Job, Pinned, Problem, Seat
from annual_planner.planning.crew.solve import lay_out
from annual_planner.planning.work_plan import as_bars, from_bars
from annual_planner.trade.refused import Refused
from tests.planning.crew.annuals import annual, at, people, shop_weeks, with_gates
from tests.planning.crew.checker import anybodys_quarters, broken

numbers = st.integers(min_value=0, max_value=10**9)
few_jobs = st.integers(min_value=2, max_value=14)
SECOND, OWNER = (Seat(people=frozenset({"second"})),), (Seat(people=frozenset({"owner"})),)
GATE = Job("gate", "hot checks done", 0, seats=(), after=(After("week"),))


def by_rules(problem: Problem, keep: LaidOut | None = None) -> LaidOut | None:
    try:
        return lay_out(problem, seconds=0, effort=0.0, keep=keep).value
    except Refused:
        return None


def planned(problem: Problem) -> LaidOut:
    plan = by_rules(problem)
    assert plan is not None
    return plan


def week_then_owner(steps: int = 5 * 32, more: tuple[Job, ...] = ()) -> Problem:
    """So many steps of a mechanic from Monday on, a gate behind them, behind that two hours of the owner."""
    week = Job("week", "a week's work", steps, seats=SECOND)
    own = Job("own", "own work", 8, seats=OWNER, after=(After("gate", why="the engine is checked hot"),))
    return Problem(shop_weeks(3), people(3, owner=True), (week, GATE, own, *more))


def test_what_is_passed_on_friday_evening_is_passed_when_the_owner_begins_on_saturday() -> None:
    plan = planned(week_then_owner())
    assert plan.place("week").ends == at("2026-05-08T17:00")
    assert plan.place("gate").starts == plan.place("gate").ends == at("2026-05-09T08:00")
    assert plan.place("own").starts == at("2026-05-09T08:00")


def test_what_ends_on_a_weekday_is_passed_there_and_what_ends_on_saturday_in_the_shop_on_monday() -> None:
    assert planned(week_then_owner(steps=16)).place("gate").starts == at("2026-05-04T13:00")
    back = Job("back", "back in the shop", 4, seats=SECOND, after=(After("closed"),))
    closed = Job("closed", "closed", 0, seats=(), after=(After("own"),))
    plan = planned(week_then_owner(more=(closed, back)))
    assert plan.place("closed").starts == at("2026-05-09T10:00")
    assert plan.place("back").starts == at("2026-05-11T08:00")


def test_the_solver_the_kept_plan_and_the_stored_one_have_the_gate_at_the_same_moment() -> None:
    problem = week_then_owner()
    solved = lay_out(problem, seconds=120, workers=1, effort=0.5).value
    assert solved.place("own").starts == at("2026-05-09T08:00")
    assert broken(problem, solved) == []
    kept = by_rules(problem, keep=from_bars(as_bars(solved)))
    assert kept is not None
    assert (kept.places, kept.moved) == (solved.places, ())


def test_a_plan_kept_when_the_gate_lay_on_the_shops_hours_only_is_read_and_told_apart_from_moves() -> None:
    problem = week_then_owner()
    plan = planned(problem)
    places = {place.job: place for place in plan.places}
    places["gate"] = replace(places["gate"], starts=at("2026-05-11T08:00"), ends=at("2026-05-11T08:00"))
    places["own"] = replace(places["own"], starts=at("2026-05-16T08:00"), ends=at("2026-05-16T10:00"))
    old = replace(plan, places=tuple(places.values()), finish=at("2026-05-16T10:00"))
    assert {bound.job for bound in binding(problem, old).value.jobs} == {"week", "gate", "own"}
    new = lay_out(problem, seconds=120, workers=1, effort=0.5, keep=old).value
    assert "gate" not in {moved.job for moved in new.moved}


def test_why_the_owner_is_not_there_sooner_names_the_gate_and_the_gate_the_work() -> None:
    problem = week_then_owner(steps=6 * 32)
    found = binding(problem, planned(problem)).value
    assert found.chain == ("week", "gate", "own")
    said = "; ".join(reason.said for reason in found.job("own").reasons)
    assert "waits for 'hot checks done'" in said
    assert "because the engine is checked hot" in said


def test_the_work_before_the_gate_may_slip_over_the_weekend_only_where_the_owner_may_come_a_week_later() -> (
    None
):
    problem = week_then_owner(steps=4 * 32)
    slack = {bound.job: bound.slack for bound in binding(problem, planned(problem)).value.jobs}
    assert slack == {"week": 32, "gate": 32, "own": 0}


def test_without_doubt_about_hours_the_likely_finish_is_that_of_the_plan_across_the_weekend() -> None:
    problem = week_then_owner()
    plan = planned(problem)
    found = likely_finish(problem, plan, samples=20).value
    assert (found.nobody_replans.p80, found.with_replanning.p80) == (plan.finish, plan.finish)


def test_a_shop_that_rests_at_night_goes_on_in_the_morning_when_it_replans() -> None:
    two = (Job("a", "a", 32, seats=SECOND), Job("b", "b", 32, seats=SECOND, after=(After("a"),)))
    problem = Problem(shop_weeks(2), people(2, owner=False), two)
    assert likely_finish(problem, planned(problem), samples=5).value.with_replanning.p80 == at(
        "2026-05-05T17:00"
    )


@pytest.mark.parametrize(("saturday", "clashes"), [("2026-05-09T08:00", False), ("2026-05-09T07:00", True)])
def test_the_owner_held_on_saturday_fits_behind_fridays_gate_and_no_sooner(
    saturday: str, clashes: bool
) -> None:
    problem = week_then_owner()
    held = tuple(
        replace(job, pinned=Pinned(at(saturday))) if job.key == "own" else job for job in problem.jobs
    )
    assert not_possible(replace(problem, jobs=held), float("inf")) is clashes


@given(numbers, few_jobs)
@settings(max_examples=max(30, settings.default.max_examples // 2))
def test_plans_with_gates_and_an_owner_keep_every_rule_and_pass_a_gate_as_soon_as_it_can_be(
    number: int, jobs: int
) -> None:
    problem = with_gates(annual(number, jobs), number)
    plan = by_rules(problem)
    assume(plan is not None)
    assert plan is not None
    assert broken(problem, plan) == []
    quarters = sorted(anybodys_quarters(problem))
    for gate in (job for job in problem.jobs if job.is_gate):
        done = max(_free(problem, plan, after.job) for after in gate.after)
        assert plan.place(gate.key).starts == next(quarter for quarter in quarters if quarter >= done)


def _free(problem: Problem, plan: LaidOut, key: str) -> datetime:
    return plan.place(key).ends + timedelta(minutes=problem.job(key).cures_min)


@given(numbers, st.integers(min_value=2, max_value=9))
@settings(max_examples=max(15, settings.default.max_examples // 8))
def test_the_solver_keeps_every_rule_across_gates_too(number: int, jobs: int) -> None:
    problem = with_gates(annual(number, jobs, weeks=3), number)
    first = by_rules(problem)
    try:
        plan = lay_out(problem, seconds=120, workers=1, effort=0.5).value
    except Refused:
        assert first is None
        return
    assert broken(problem, plan) == []
    assert first is None or plan.finish <= first.finish
