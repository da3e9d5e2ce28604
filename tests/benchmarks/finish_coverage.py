"""How often the P80 finish holds, over simulated annuals walked by an independent walker of wall-clock time.

`python -m tests.benchmarks.finish_coverage` prints one line. Each annual is laid out by rules; its P80 comes
from the program. Then courses are drawn with Python's own random numbers and walked here by quarter-hours,
order and people kept, knowing nothing of the program's axes and tables. Finishes come in quarter-hours,
so some courses end just at the P80: both the share done by it and the share done before it are printed.
"""

from __future__ import annotations

import argparse
from datetime import datetime, timedelta
from random import Random

from annual_planner.planning.crew.laid_out import LaidOut
from annual_planner.planning.crew.likely import likely_finish, loosened
from annual_planner.planning.crew.problem import After, Job, Problem
from annual_planner.planning.crew.solve import lay_out
from annual_planner.trade.refused import Refused
from tests.planning.crew.annuals import annual
from tests.planning.crew.checker import open_quarters

QUARTER = timedelta(minutes=15)
BEGINNING = datetime.fromisoformat("2000-01-01")


class Walker:
    """Walks courses of one plan; rooms and tools are as many as are ever wanted (see `roomy`)."""

    def __init__(self, problem: Problem, plan: LaidOut) -> None:
        loose = loosened(problem)
        self.jobs = {job.key: job for job in loose.jobs}
        self.places = plan.places
        shop = sorted(open_quarters(loose.shop))
        hours = {person.key: open_quarters(loose.hours_of(person)) for person in loose.people}
        self.open = {
            place.job: sorted(set.intersection(*(hours[key] for key in place.people)))
            if place.people
            else shop
            for place in plan.places
        }
        self.away = {person.key: person.away for person in loose.people}

    def finish(self, chance: Random) -> datetime:
        """End of the last job in one course."""
        ends: dict[str, datetime] = {}
        free: dict[str, datetime] = {}
        for place in self.places:
            job = self.jobs[place.job]
            waits = [free[key] for key in place.people if key in free]
            waits += [ends[a.job] + self._least(a) for a in job.after]
            end = self._end(job, place.people, max(waits, default=BEGINNING), _drawn(job, chance))
            ends[job.key] = end
            free.update(dict.fromkeys(place.people, end))
        return max(ends.values())

    def _least(self, after: After) -> timedelta:
        return timedelta(minutes=after.least_min + self.jobs[after.job].cures_min)

    def _end(self, job: Job, people: tuple[str, ...], earliest: datetime, steps: int) -> datetime:
        """Where a job ends that starts as soon as it may."""
        quarters = self.open[job.key]
        for place, moment in enumerate(quarters):
            if moment < earliest or (job.not_before and moment < job.not_before):
                continue
            meant = quarters[place : place + job.likely]
            if not any(_away(self.away[key], quarter) for key in people for quarter in meant):
                return quarters[place + steps - 1] + QUARTER
        raise AssertionError("the calendar is too short")


def _away(spans: tuple, moment: datetime) -> bool:  # type: ignore[type-arg]
    return any(span.start < moment + QUARTER and moment < span.end for span in spans)


def _drawn(job: Job, chance: Random) -> int:
    """PERT-beta by Python's own generator."""
    low, high = job.low or job.likely, job.high or job.likely
    if low == high:
        return job.likely
    one, two = 1 + 4 * (job.likely - low) / (high - low), 1 + 4 * (high - job.likely) / (high - low)
    return max(1, round(low + (high - low) * chance.betavariate(one, two)))


def roomy(number: int, jobs: int) -> Problem:
    """An annual for the walker: people, hours, absences, order; no rooms, tools, windows, pause rules."""
    from dataclasses import replace

    from annual_planner.planning.crew.problem import Pauses

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


def shares_held(
    annuals: int, jobs: int, courses: int, samples: int, first: int = 7000
) -> tuple[float, float]:
    """Shares of courses that are done by the P80 of their annual, and before it (nobody re-plans)."""
    by = before = walked = 0
    for number in range(first, first + annuals):
        problem = roomy(number, jobs)
        try:
            plan = lay_out(problem, seconds=0, effort=0.0).value
        except Refused:
            continue  # this annual by chance fits nowhere
        p80 = likely_finish(problem, plan, samples=samples, replanned_samples=1).value.nobody_replans.p80
        walker, chance = Walker(problem, plan), Random(number)
        ends = [walker.finish(chance) for _ in range(courses)]
        by, before = by + sum(end <= p80 for end in ends), before + sum(end < p80 for end in ends)
        walked += courses
    return by / walked, before / walked


def main(arguments: list[str] | None = None) -> None:
    """Print the share on one line."""
    parser = argparse.ArgumentParser(description="How often the P80 finish holds.")
    parser.add_argument("--annuals", type=int, default=120)
    parser.add_argument("--jobs", type=int, default=40)
    parser.add_argument("--courses", type=int, default=60)
    chosen = parser.parse_args(arguments)
    by, before = shares_held(chosen.annuals, chosen.jobs, chosen.courses, samples=2000)
    walked = f"{chosen.annuals} annuals × {chosen.courses} courses"
    print(f"P80 held in {by:.1%} of {walked}, {before:.1%} were done before it (meant: 80 % between)")


if __name__ == "__main__":
    main()
