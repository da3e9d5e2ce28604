"""The finish by chance: when half and when four in five of many courses of the work are done.

Two ways of going about it: nobody re-plans (order and people stay as laid out, starts are pushed back), and
the shop re-plans as it goes (at each end the next job goes to whoever is free). Both draw hours and findings
by chance, and both walk by the minute: work ends when it ends, not on a quarter-hour.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from math import ceil
from typing import Any

from annual_planner.planning.crew.chances import DURATIONS, Courses, drawn_courses
from annual_planner.planning.crew.dispatched import Dispatch
from annual_planner.planning.crew.findings import Findings
from annual_planner.planning.crew.laid_out import LaidOut, half_day, plan_of
from annual_planner.planning.crew.laying import Plan
from annual_planner.planning.crew.open_time import Calendar, Span, said_moment, said_steps
from annual_planner.planning.crew.prepared import Prepared
from annual_planner.planning.crew.problem import Job, Problem
from annual_planner.planning.crew.pushed import Pushed
from annual_planner.trade.refused import Refused
from annual_planner.trade.working import Input, Rule, Step, Worked, Working

MINUTE = timedelta(minutes=1)
SAMPLES = 2000
REPLANNED_SAMPLES = 250
SHOWN_SAMPLES, SHOWN_REPLANNED_SAMPLES = 800, 40
"""Enough for what is shown at once."""
MORE_WEEKS = 12
"""Weeks that the calendar is carried on by, as its last week was.

So that a late course has somewhere to end.
"""


@dataclass(frozen=True, slots=True)
class Finish:
    """Moments, to the minute upwards, by which half and four in five of the courses are done.

    `by_half_day`: share of the courses that are done by the end of the half-day that P80 is in, which is what
    a promise of that half-day is worth.
    """

    p50: datetime
    p80: datetime
    by_half_day: float = 1.0


@dataclass(frozen=True, slots=True)
class LikelyFinish:
    """Chances of the finish. `on_plan`: share of courses done by the plan's own finish when nobody re-plans.

    `drivers`: jobs whose hours move the finish most, with the correlation between both (0 to 1). `findings`:
    how many defects a course turns up on average.
    """

    nobody_replans: Finish
    with_replanning: Finish
    on_plan: float
    drivers: tuple[tuple[str, float], ...]
    findings: float = 0.0


def likely_finish(
    problem: Problem,
    laid: LaidOut,
    *,
    findings: Findings | None = None,
    samples: int = SAMPLES,
    replanned_samples: int = REPLANNED_SAMPLES,
    seed: int = 0,
) -> Worked[LikelyFinish]:
    """Chances of the finish of a plan, with their working. Same seed, same answer.

    `findings`: what may be found on the way; those of the problem unless given.
    Refused when the plan isn't one of this problem (lay it out again first).
    """
    import numpy as np

    ahead = findings if findings is not None else problem.findings
    ready, plan = _loosened(problem, laid)
    courses = drawn_courses(np.random.default_rng(seed), ready, ahead, samples)
    pushed = Pushed(ready, plan).finishes(courses)
    few = min(samples, replanned_samples)
    swapped = _replanned(ready, plan, courses, few)
    planned = (laid.finish - ready.common.when(0)) / MINUTE
    found = LikelyFinish(
        _finish(ready, pushed),
        _finish(ready, swapped),
        float(np.mean(pushed <= planned + 1e-3)),
        tuple(_drivers(ready, courses, pushed)),
        float(courses.found.mean()),
    )
    return Worked(found, _working(problem, laid, found, ahead, (samples, few, seed)))


def _replanned(ready: Prepared, plan: Plan, courses: Courses, few: int) -> Any:
    import numpy as np

    dispatch = Dispatch(ready, plan, courses.closed_by)
    steps, parts = courses.steps.T.tolist(), courses.part_min.T.tolist()
    return np.array([dispatch.finish(steps[s], parts[s]) for s in range(few)])


def loosened(problem: Problem) -> Problem:
    """The problem as it is when things slip.

    Last dates fall away, a pinned start is the earliest, time goes on.
    """
    people = tuple(
        p if p.hours is None else replace(p, hours=carried_on(p.hours, problem.shop)) for p in problem.people
    )
    jobs = tuple(map(_loose_job, problem.jobs))
    return replace(problem, shop=carried_on(problem.shop, problem.shop), people=people, jobs=jobs)


def carried_on(calendar: Calendar, shop: Calendar) -> Calendar:
    """A calendar carried on for some weeks as the shop's last seven days were."""
    last = shop.spans[-1].end.replace(hour=0, minute=0) + timedelta(days=1)
    week = [span for span in calendar.spans if last - timedelta(days=7) <= span.start < last]
    later = (timedelta(days=7 * (n + 1)) for n in range(MORE_WEEKS))
    more = (Span(span.start + by, span.end + by) for by in later for span in week)
    return Calendar((*calendar.spans, *more))


def _loose_job(job: Job) -> Job:
    pinned, not_before = job.pinned, job.not_before
    if pinned is not None and pinned.start is not None:
        not_before = pinned.start
        pinned = replace(pinned, start=None)
    return replace(job, not_after=None, not_before=not_before, pinned=pinned)


def _loosened(problem: Problem, laid: LaidOut) -> tuple[Prepared, Plan]:
    ready = Prepared(loosened(problem))
    plan = plan_of(ready, laid)
    if plan is None or len(laid.places) != len(problem.jobs):
        raise Refused(
            "This plan was laid out for other jobs, people or hours.", "Lay out the work again, then ask."
        )
    return ready, plan


def _finish(ready: Prepared, finishes: Any) -> Finish:
    """Quantiles of finishes in minutes; what never ends is put at the end of the calendar."""
    import numpy as np

    opening, closing = ready.common.when(0), ready.common.spans[-1].end
    known = np.minimum(finishes, (closing - opening) / MINUTE)
    p50, p80 = (_moment(opening, q) for q in np.quantile(known, (0.5, 0.8), method="inverted_cdf"))
    promised = (half_day(p80 - MINUTE).end - opening) / MINUTE
    return Finish(p50, p80, float(np.mean(finishes <= promised)))


def _moment(opening: datetime, minutes: float) -> datetime:
    return opening + ceil(round(minutes, 3)) * MINUTE


def _drivers(ready: Prepared, courses: Courses, finishes: Any, most: int = 3) -> list[tuple[str, float]]:
    """What moves the finish most: hours of a job with what is found on it, or waiting for parts."""
    import numpy as np

    if len(finishes) < 2 or finishes.std() == 0:
        return []
    rows = [(f"'{ready.jobs[n].title}'", courses.steps[n]) for n in range(len(ready.jobs)) if ready.steps[n]]
    rows.append((PARTS, courses.part_min.max(axis=0, initial=0)))
    found = [(said, float(np.corrcoef(row, finishes)[0, 1])) for said, row in rows if row.std() > 0]
    return sorted((item for item in found if item[1] > 0.1), key=lambda item: -item[1])[:most]


PARTS = "parts that findings wait for"


def said_half_day(moment: datetime) -> str:
    """A moment as a date with its half-day.

    >>> said_half_day(datetime(2026, 5, 12, 9, 30))
    'Tue 12 May, morning'
    """
    part = "morning" if half_day(moment - timedelta(minutes=1)).start.hour < 12 else "afternoon"
    return f"{moment:%a} {moment.day} {moment:%b}, {part}"


def _working(
    problem: Problem,
    laid: LaidOut,
    found: LikelyFinish,
    findings: Findings | None,
    counts: tuple[int, int, int],
) -> Working:
    alone, swapped = found.nobody_replans, found.with_replanning
    steps = [
        Step("half of the courses are done, if nobody re-plans, by", said_half_day(alone.p50)),
        Step("four in five are done, if nobody re-plans, by", said_half_day(alone.p80)),
        Step("done by the end of that half-day", f"{alone.by_half_day:.0%}"),
        Step("half of the courses are done, with daily re-planning, by", said_half_day(swapped.p50)),
        Step("four in five are done, with daily re-planning, by", said_half_day(swapped.p80)),
        Step(f"done by the plan's own finish, {said_moment(laid.finish)}", f"{found.on_plan:.0%}"),
        *(
            Step(f"{'hours of ' * (said != PARTS)}{said} against the finish", f"correlation {r:.2f}")
            for said, r in found.drivers
        ),
    ]
    inputs = (
        Input("jobs", str(len(problem.jobs))),
        *_findings_said(findings, found),
        Input("courses", f"{counts[0]} without and {counts[1]} with re-planning; seed {counts[2]}"),
    )
    result = f"80 % by {said_half_day(alone.p80)}; with daily re-planning {said_half_day(swapped.p80)}"
    assumed = (*ASSUMED, *(ASSUMED_OF_FINDINGS if findings is not None else ()))
    return Working("Finish by chance", result, inputs, tuple(steps), (Rule(DURATIONS),), assumed)


def _findings_said(findings: Findings | None, found: LikelyFinish) -> tuple[Input, ...]:
    if findings is None:
        return (Input("findings", "none reckoned with"),)
    hours = " / ".join(said_steps(steps) for steps in (findings.low, findings.likely, findings.high))
    days = "/".join(f"{each:g}" for each in findings.part_days)
    return (
        Input("findings", f"{found.findings:.1f}", "a course on average", findings.number.source),
        Input("work on each (low / likely / high)", hours, "", findings.source),
        Input("waits for a part", f"{findings.part_chance:.0%}", f"for {days} days", findings.source),
    )


ASSUMED_OF_FINDINGS = (
    "What is found is put right at once by those who found it.",
    "What waits for a part is put right when that has come, by those who close that work.",
    "A defect turns up on a job in proportion to the time spent looking.",
)
ASSUMED = (
    "Hours of one job say nothing about those of another; a shop slow in all of them is later than this.",
    "Whether a job fits before a break is judged by its likely hours; one that is begun goes on after it.",
    "Re-planning: at each end the next job of the plan's order that can begin is taken by whoever is free.",
    "Re-planning keeps the plan's people where they are free.",
    "Re-planning does first what must be done hot; where hands are still bound, that comes too late.",
    f"Behind its last day the calendar goes on as its last week was, for {MORE_WEEKS} weeks.",
)
