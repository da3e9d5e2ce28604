"""Laying out again: what has begun stays, little else moves, and the moves are counted and shown."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime, timedelta

from hypothesis import assume, given, settings
from hypothesis import strategies as st

from annual_planner.planning.crew.keeping import kept_plan
from annual_planner.planning.crew.laid_out import LaidOut, laid_out
from annual_planner.planning.crew.open_time import Span
from annual_planner.planning.crew.prepared import Prepared
from annual_planner.planning.crew.problem import Job, Pinned, Problem, Seat
from annual_planner.planning.crew.solve import lay_out
from annual_planner.trade.refused import Refused
from tests.planning.crew.annuals import MECHANIC, annual, at, with_gates
from tests.planning.crew.checker import broken

numbers = st.integers(min_value=0, max_value=10**9)
few_jobs = st.integers(min_value=2, max_value=18)
EFFORT, LONG_S = 1.0, 600.0
"""A search limited by its effort finds the same on every machine; the seconds are a last resort."""
often = settings(max_examples=max(20, settings.default.max_examples // 4))


def by_rules(problem: Problem, keep: LaidOut | None = None) -> LaidOut | None:
    try:
        return lay_out(problem, seconds=0, effort=0.0, keep=keep).value
    except Refused:
        return None


def again(problem: Problem, plan: LaidOut) -> LaidOut | None:
    """The plan that keeps to an old one as closely as it can."""
    ready = Prepared(problem)
    kept = kept_plan(ready, plan)
    return laid_out(ready, kept, plan) if kept is not None else None


def elsewhere(old: LaidOut, new: LaidOut) -> set[str]:
    """Jobs of both plans that begin in another half-day or with other people, counted apart; gates don't."""
    before = {place.job: place for place in old.places if place.starts < place.ends}
    return {
        place.job
        for place in new.places
        if place.job in before
        and (
            _half_day(place.starts) != _half_day(before[place.job].starts)
            or sorted(place.people) != sorted(before[place.job].people)
        )
    }


def _half_day(moment: datetime) -> tuple[object, bool]:
    return moment.date(), moment.hour >= 12


def ill(problem: Problem, person: str, day: datetime) -> Problem:
    """Somebody is away for a day; what they were pinned to is nobody's."""
    off = Span(day, day + timedelta(days=1))
    return replace(
        problem,
        people=tuple(replace(p, away=(*p.away, off)) if p.key == person else p for p in problem.people),
    )


@given(numbers, few_jobs)
@often
def test_when_nothing_changed_nothing_moves(number: int, jobs: int) -> None:
    problem = annual(number, jobs)
    plan = by_rules(problem)
    assume(plan is not None)
    assert plan is not None
    new = again(problem, plan)
    assert new is not None
    assert new.places == plan.places
    assert new.moved == ()


@given(numbers, few_jobs, st.integers(min_value=0, max_value=9))
@often
def test_a_day_of_illness_moves_few_and_every_move_is_counted(number: int, jobs: int, day: int) -> None:
    problem = with_gates(annual(number, jobs), number)
    plan = by_rules(problem)
    assume(plan is not None)
    assert plan is not None
    changed = ill(problem, "second", at("2026-05-04") + timedelta(days=day))
    new = by_rules(changed, keep=plan)
    assume(new is not None)
    assert new is not None
    assert broken(changed, new) == []
    assert {moved.job for moved in new.moved} == elsewhere(plan, new)


@given(numbers, few_jobs)
@often
def test_what_has_begun_stays_where_it_is_and_with_whom(number: int, jobs: int) -> None:
    problem = annual(number, jobs)
    plan = by_rules(problem)
    assume(plan is not None)
    assert plan is not None
    begun = {place.job: place for place in plan.places[: len(plan.places) // 2]}
    held = tuple(
        replace(job, pinned=Pinned(begun[job.key].starts, begun[job.key].people, "begun"))
        if job.key in begun
        else job
        for job in problem.jobs
    )
    more = Job("crack", "a crack", 6, seats=(Seat(MECHANIC),))
    new = by_rules(replace(problem, jobs=(*held, more)), keep=plan)
    assert new is not None
    assert all(new.place(key).starts == place.starts for key, place in begun.items())
    assert all(new.place(key).people == place.people for key, place in begun.items())
    assert not {moved.job for moved in new.moved} & set(begun)


def test_the_solver_keeps_to_the_plan_better_than_a_plan_made_anew() -> None:
    problem = annual(5, 30, owner=False)
    plan = lay_out(problem, workers=1, effort=EFFORT, seconds=LONG_S).value
    changed = ill(problem, "second", at("2026-05-06"))
    kept = lay_out(changed, workers=1, effort=EFFORT, seconds=LONG_S, keep=plan).value
    anew = lay_out(changed, workers=1, effort=EFFORT, seconds=LONG_S, seed=1).value
    assert broken(changed, kept) == []
    assert {moved.job for moved in kept.moved} == elsewhere(plan, kept)
    assert 0 < len(kept.moved) < len(elsewhere(plan, anew))
