"""How often the likely finish holds, over simulated annuals walked by an independent walker of time.

`python -m tests.benchmarks.finish_coverage` prints a line for each way of going about it. Each annual is laid
out by rules; its P50 and P80 come from the program. Then courses are drawn and walked by
`tests.planning.crew.walker`, which shares nothing with the program's own chances but the distributions and
rules that are stated.
"""

from __future__ import annotations

import argparse
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from datetime import datetime
from random import Random

from annual_planner.planning.crew.findings import Findings, Number
from annual_planner.planning.crew.laid_out import LaidOut
from annual_planner.planning.crew.likely import Finish, LikelyFinish, likely_finish
from annual_planner.planning.crew.problem import Pauses, Problem
from annual_planner.planning.crew.solve import lay_out
from annual_planner.trade.refused import Refused
from tests.planning.crew.annuals import annual
from tests.planning.crew.walker import Course, Walker, course_by_chance


@dataclass(frozen=True, slots=True)
class Way:
    """One way of going about it: which annuals, what the program promises, how a course is walked."""

    said: str
    annual: Callable[[int, int], Problem]
    promised: Callable[[LikelyFinish], Finish]
    walked: Callable[[Walker, Course], datetime]


def with_findings(problem: Problem) -> Problem:
    """The annual with four defects on average, some of which wait for a part until a job that comes after."""
    on = {job.key: float(job.likely) for job in problem.jobs if job.seats}
    closed_by = {after.job: job.key for job in problem.jobs if job.seats for after in job.after}
    found = Findings(Number(4, 3), on, 1, 4, 12, part_chance=0.2, part_days=(1, 2, 5), closed_by=closed_by)
    return replace(problem, findings=found)


def roomy(number: int, jobs: int) -> Problem:
    """An annual for walking in kept order: people, hours, absences; no rooms, tools, windows, pause rules."""
    base = annual(number, jobs)
    plain = tuple(
        replace(
            job,
            room=None,
            tools=(),
            pauses=Pauses.ANY,
            after=tuple(replace(after, most_min=None) for after in job.after),
        )
        for job in base.jobs
    )
    return replace(base, jobs=plain)


WAYS = (
    Way("nobody re-plans", roomy, lambda found: found.nobody_replans, Walker.kept),
    Way(
        "nobody re-plans, with findings",
        lambda number, jobs: with_findings(roomy(number, jobs)),
        lambda found: found.nobody_replans,
        Walker.kept,
    ),
    Way("daily re-planning", annual, lambda found: found.with_replanning, Walker.replanned),
    Way(
        "daily re-planning, with findings",
        lambda number, jobs: with_findings(annual(number, jobs)),
        lambda found: found.with_replanning,
        Walker.replanned,
    ),
)


@dataclass(frozen=True, slots=True)
class Held:
    """Shares of courses done by P50, by P80, and before P80; and how many annuals were walked."""

    by_p50: float
    by_p80: float
    before_p80: float
    annuals: int


def shares_held(way: Way, annuals: int, jobs: int, courses: int, samples: int, first: int = 7000) -> Held:
    """Shares of courses that are done by what was promised for their annual."""
    p50 = p80 = before = 0
    walked = 0
    for problem, plan, number in laid_out_annuals(way, annuals, jobs, first):
        found = likely_finish(problem, plan, samples=samples, replanned_samples=min(samples, 500)).value
        promise, walker, chance = way.promised(found), Walker(problem, plan), Random(number)
        ends = [way.walked(walker, course_by_chance(problem, chance)) for _ in range(courses)]
        p50 += sum(end <= promise.p50 for end in ends)
        p80 += sum(end <= promise.p80 for end in ends)
        before += sum(end < promise.p80 for end in ends)
        walked += 1
    count = walked * courses
    return Held(p50 / count, p80 / count, before / count, walked)


def laid_out_annuals(way: Way, annuals: int, jobs: int, first: int) -> Iterator[tuple[Problem, LaidOut, int]]:
    """Annuals by chance with their plans; those that fit nowhere are passed over."""
    for number in range(first, first + annuals):
        problem = way.annual(number, jobs)
        try:
            yield problem, lay_out(problem, seconds=0, effort=0.0).value, number
        except Refused:
            continue


def main(arguments: list[str] | None = None) -> None:
    """Print the shares, a line for each way."""
    parser = argparse.ArgumentParser(description="How often the likely finish holds.")
    parser.add_argument("--annuals", type=int, default=500)
    parser.add_argument("--jobs", type=int, default=30)
    parser.add_argument("--courses", type=int, default=20)
    parser.add_argument("--samples", type=int, default=1000)
    parser.add_argument("--only", default="", help="part of a way's name")
    chosen = parser.parse_args(arguments)
    for way in (way for way in WAYS if chosen.only in way.said):
        held = shares_held(way, chosen.annuals, chosen.jobs, chosen.courses, chosen.samples)
        print(
            f"{way.said}: P80 held in {held.by_p80:.1%} ({held.before_p80:.1%} done before it), P50 in"
            f" {held.by_p50:.1%}, of {held.annuals} annuals × {chosen.courses} courses",
            flush=True,
        )


if __name__ == "__main__":
    main()
