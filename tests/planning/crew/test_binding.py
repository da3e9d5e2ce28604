"""Why a job isn't earlier, held against the independent checker; the critical chain; slack."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import datetime, timedelta

from hypothesis import assume, given, settings
from hypothesis import strategies as st

from annual_planner.planning.crew.binding import binding
from annual_planner.planning.crew.laid_out import LaidOut, Place
from annual_planner.planning.crew.open_time import Calendar, Span
from annual_planner.planning.crew.prepared import Prepared
from annual_planner.planning.crew.problem import After, Job, Pauses, Pinned, Problem, Seat, Tool
from annual_planner.planning.crew.solve import lay_out
from annual_planner.trade.refused import Refused
from tests.benchmarks.finish_coverage import roomy
from tests.planning.crew.annuals import MECHANIC, annual, at, people, shop_weeks
from tests.planning.crew.checker import broken, open_quarters
from tests.planning.crew.walker import Course, Walker

numbers = st.integers(min_value=0, max_value=10**9)
QUARTER = timedelta(minutes=15)


def by_rules(problem: Problem) -> LaidOut | None:
    try:
        return lay_out(problem, seconds=0, effort=0.0).value
    except Refused:
        return None


def moved_to(problem: Problem, plan: LaidOut, place: Place, start: datetime) -> LaidOut | None:
    """The same plan with one job begun elsewhere by the same people; None where their hours don't reach."""
    job = problem.job(place.job)
    hours = [open_quarters(problem.hours_of(problem.person(key))) for key in place.people]
    quarters = sorted(set.intersection(*hours)) if hours else sorted(open_quarters(problem.shop))
    worked = [moment for moment in quarters if moment >= start][: job.likely]
    if not worked or worked[0] != start or len(worked) < job.likely:
        return None
    pieces = Calendar(tuple(Span(moment, moment + QUARTER) for moment in worked)).spans
    there = replace(place, starts=start, ends=worked[-1] + QUARTER, pieces=pieces)
    places = tuple(there if each.job == place.job else each for each in plan.places)
    return replace(plan, places=places, finish=max(each.ends for each in places))


def earlier_starts(problem: Problem, place: Place) -> Iterator[datetime]:
    """Open quarter-hours before the place, the latest first."""
    hours = [open_quarters(problem.hours_of(problem.person(key))) for key in place.people]
    quarters = set.intersection(*hours) if hours else open_quarters(problem.shop)
    yield from sorted((moment for moment in quarters if moment < place.starts), reverse=True)


@given(numbers, st.integers(min_value=2, max_value=14))
@settings(max_examples=max(12, settings.default.max_examples // 8))
def test_no_job_can_be_begun_a_quarter_hour_earlier_and_each_says_why(number: int, jobs: int) -> None:
    problem = annual(number, jobs)
    plan = by_rules(problem)
    assume(plan is not None)
    assert plan is not None
    found = binding(problem, plan).value
    for bound in found.jobs:
        assert bound.reasons, f"'{bound.title}' doesn't say why it isn't earlier"
        place = plan.place(bound.job)
        if problem.job(bound.job).likely == 0:
            continue
        before = next(earlier_starts(problem, place), None)
        earlier = moved_to(problem, plan, place, before) if before is not None else None
        assert earlier is None or broken(problem, earlier)


@given(numbers, st.integers(min_value=2, max_value=14))
@settings(max_examples=max(12, settings.default.max_examples // 8))
def test_each_link_of_the_chain_waits_for_the_one_before_and_the_last_makes_the_finish(
    number: int, jobs: int
) -> None:
    problem = annual(number, jobs)
    plan = by_rules(problem)
    assume(plan is not None)
    assert plan is not None
    found = binding(problem, plan).value
    assert plan.place(found.chain[-1]).ends == plan.finish
    for one, two in zip(found.chain, found.chain[1:], strict=False):
        assert one in {reason.job for reason in found.job(two).reasons}
        assert found.job(two).slack >= 0


@given(numbers, st.integers(min_value=2, max_value=12))
@settings(max_examples=max(10, settings.default.max_examples // 10))
def test_a_job_slipped_by_its_slack_leaves_the_finish_where_it_is(number: int, jobs: int) -> None:
    problem = roomy(number, jobs)
    plan = by_rules(problem)
    assume(plan is not None)
    assert plan is not None
    as_planned = Course({job.key: float(job.likely) for job in problem.jobs})
    ready = Prepared(problem)
    for bound in binding(problem, plan).value.jobs:
        begins = ready.common.step_at(plan.place(bound.job).starts)
        later = ready.common.when(begins + bound.slack)
        slipped = replace(problem, jobs=tuple(_not_before(job, bound.job, later) for job in problem.jobs))
        assert Walker(slipped, plan).kept(as_planned) <= plan.finish


def _not_before(job: Job, key: str, moment: datetime) -> Job:
    return replace(job, not_before=moment, arrives="it slips") if job.key == key else job


def one_reason(problem: Problem, key: str) -> str:
    plan = by_rules(problem)
    assert plan is not None
    return "; ".join(reason.said for reason in binding(problem, plan).value.job(key).reasons)


SECOND = (Seat(people=frozenset({"second"})),)


def test_reasons_are_said_in_words() -> None:
    crew, shop = people(2, owner=False), shop_weeks(2)
    jobs = (
        Job("run", "Run it warm", 4, seats=SECOND, tools=(("jack", 1),)),
        Job("paint", "Touch up", 4, seats=SECOND, after=(After("run"),), cures_min=120),
        Job("fit", "Fit it", 2, seats=(Seat(MECHANIC),), after=(After("paint", why="it is painted"),)),
        Job("lift", "Lift it", 4, seats=(Seat(people=frozenset({"third"})),), tools=(("jack", 1),)),
        Job("gasket", "New gasket", 2, not_before=at("2026-05-06T10:00"), arrives="the gasket comes"),
    )
    problem = Problem(shop, crew, jobs, tools=(Tool("jack", "the left jack", 1),))
    assert "waits for Bo Marten, who is on 'Run it warm'" in one_reason(problem, "paint")
    assert "2 h by the clock after it, because it is painted" in one_reason(problem, "fit")
    assert "the left jack until Mon 4 May 09:00 ('Run it warm')" in one_reason(problem, "lift")
    assert "can't begin before Wed 6 May 10:00, when the gasket comes" in one_reason(problem, "gasket")
    assert "begins as soon as those who may do it are there" in one_reason(problem, "run")


def test_a_job_held_by_hand_says_so_and_one_that_must_not_pause_says_what_it_would_cross() -> None:
    held = Job("held", "Held", 4, seats=SECOND, pinned=Pinned(at("2026-05-05T09:00"), why="fixed by hand"))
    whole = Job("whole", "In one go", 14, seats=SECOND, pauses=Pauses.NONE)
    problem = Problem(shop_weeks(1), people(1, owner=False), (held, whole))
    assert one_reason(problem, "held") == "is held there: fixed by hand"
    early = Job("early", "First", 12, seats=(Seat(people=frozenset({"third"})),))
    late = Job("late", "Before noon", 8, seats=early.seats, pauses=Pauses.NONE, after=(After("early"),))
    crossing = Problem(shop_weeks(1), people(1, owner=False), (early, late))
    assert "must not be left over a break" in one_reason(crossing, "late")
