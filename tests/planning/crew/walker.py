"""Courses of an annual by chance, walked by an independent walker of wall-clock time, minute by minute.

It draws with Python's own random numbers from the distributions that are stated, and knows nothing of the
program's axes, tables and arrays. `kept`: order and people stay as laid out. `replanned`: at each moment the
next job of the plan's order that can begin is taken by those of the plan or, where they are not free, by
whoever is.
"""

from __future__ import annotations

from bisect import bisect_right
from collections import defaultdict
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from itertools import pairwise, product
from math import ceil, exp
from random import Random

from annual_planner.planning.crew.laid_out import LaidOut, Place
from annual_planner.planning.crew.likely import loosened
from annual_planner.planning.crew.problem import Job, Pauses, Problem
from tests.planning.crew.checker import anybodys_quarters, open_quarters

BEGINNING = datetime.fromisoformat("2026-01-01")
QUARTER, DAY = 15.0, 1440.0
SAME = 1e-3


def minute(moment: datetime) -> float:
    """Minutes since the beginning."""
    return (moment - BEGINNING) / timedelta(minutes=1)


def moment(minutes: float) -> datetime:
    """The moment so many minutes after the beginning."""
    return BEGINNING + timedelta(minutes=minutes)


@dataclass
class Course:
    """What chance brings: steps of each job, minutes its findings wait for parts."""

    steps: dict[str, float]
    part_min: dict[str, float] = field(default_factory=dict)


def course_by_chance(problem: Problem, chance: Random) -> Course:
    """Draw one course."""
    course = Course({job.key: _three(chance, *_hours(job)) for job in problem.jobs})
    findings = problem.findings
    if findings is None:
        return course
    rate = chance.gammavariate(findings.number.mean * findings.number.visits, 1 / findings.number.visits)
    for _ in range(_poisson(chance, rate)):
        (key,) = chance.choices(list(findings.on), list(findings.on.values()))
        steps = _three(chance, findings.low, findings.likely, findings.high)
        if chance.random() < findings.part_chance:
            days = _three(chance, *findings.part_days)
            course.part_min[key] = max(course.part_min.get(key, 0.0), days * DAY)
            key = findings.closed_by.get(key, key)
        course.steps[key] += steps
    return course


def _hours(job: Job) -> tuple[float, float, float]:
    if job.outside_min is not None:
        return 0, 0, 0
    return (
        job.likely if job.low is None else job.low,
        job.likely,
        job.likely if job.high is None else job.high,
    )


def _three(chance: Random, low: float, likely: float, high: float) -> float:
    """PERT-beta by Python's own generator."""
    if low == high:
        return likely
    one, two = 1 + 4 * (likely - low) / (high - low), 1 + 4 * (high - likely) / (high - low)
    return low + (high - low) * chance.betavariate(one, two)


def _poisson(chance: Random, rate: float) -> int:
    count, left = 0, chance.random()
    while left > exp(-rate):
        left *= chance.random()
        count += 1
    return count


class Walker:
    """Walks courses of one plan."""

    def __init__(self, problem: Problem, plan: LaidOut) -> None:
        self.problem = loosened(problem)
        self.jobs = {job.key: job for job in self.problem.jobs}
        self.places = sorted(plan.places, key=lambda place: (place.starts, place.ends, place.job))
        self.hours = {
            person.key: {minute(q) for q in open_quarters(self.problem.hours_of(person))}
            for person in self.problem.people
        }
        self.shop = sorted(minute(q) for q in open_quarters(self.problem.shop))
        self.anybodys = sorted(minute(q) for q in anybodys_quarters(self.problem))
        self.away = {
            person.key: [(minute(span.start), minute(span.end)) for span in person.away]
            for person in self.problem.people
        }
        self.together: dict[tuple[str, ...], list[float]] = {}
        findings = self.problem.findings
        self.closed_by = dict(findings.closed_by) if findings else {}
        self.apart: defaultdict[str, set[str]] = defaultdict(set)
        for job in self.problem.jobs:
            for other in job.other_hands_than:
                self.apart[job.key].add(other)
                self.apart[other].add(job.key)

    def open(self, job: Job, people: tuple[str, ...]) -> list[float]:
        """Quarter-hours that are open for all of some people; a job without any has the shop's.

        One without people or length has everybody's.
        """
        if not people and not job.likely and job.outside_min is None:
            return self.anybodys
        if people not in self.together:
            both = set.intersection(*(self.hours[key] for key in people)) if people else set(self.shop)
            self.together[people] = sorted(both)
        return self.together[people]

    def may_start(self, job: Job, people: tuple[str, ...], at: float) -> bool:
        """Whether a job may start at a moment, as far as it goes by itself and by its people's presence."""
        quarters = self.open(job, people)
        place = bisect_right(quarters, at + SAME) - 1
        if place < 0 or at >= quarters[place] + QUARTER - SAME:
            return False
        if job.not_before and at < minute(job.not_before) - SAME:
            return False
        within = at > quarters[place] + SAME
        meant = quarters[place : place + job.likely + within]
        if any(_away(self.away[key], quarter) for key in people for quarter in meant):
            return False
        if job.pauses is Pauses.NONE:
            return all(two - one == QUARTER for one, two in pairwise(meant))
        return job.pauses is Pauses.ANY or not meant or meant[0] // DAY == meant[-1] // DAY

    def end(self, job: Job, people: tuple[str, ...], at: float, steps: float) -> float:
        """Where a job ends that starts at a moment."""
        quarters = self.open(job, people)
        if job.outside_min is not None:
            return self._first_open(quarters, at + job.outside_min)
        place = bisect_right(quarters, at + SAME) - 1
        last = place + max(at - quarters[place], 0.0) / QUARTER + steps
        whole = max(ceil(last - 1e-9) - 1, 0)
        return quarters[whole] + (last - whole) * QUARTER if steps else at

    def _first_open(self, quarters: list[float], at: float) -> float:
        place = bisect_right(quarters, at) - 1
        return at if at < quarters[place] + QUARTER else quarters[place + 1]

    def earliest(self, job: Job, ends: dict[str, float], course: Course) -> float:
        """First moment by what a job waits for; its predecessors have ended."""
        waits = [ends[a.job] + a.least_min + self.jobs[a.job].cures_min for a in job.after if a.job in ends]
        parts = [
            ends[key] + waits_min
            for key, waits_min in course.part_min.items()
            if self.closed_by.get(key) == job.key
        ]
        return max([*waits, *parts], default=0.0)

    # ---- nobody re-plans

    def kept(self, course: Course) -> datetime:
        """End of a course when order and people stay; rooms, tools and hot windows are not looked at."""
        ends: dict[str, float] = {}
        free: dict[str, float] = {}
        for place in self.places:
            job = self.jobs[place.job]
            at = max([self.earliest(job, ends, course), *(free.get(key, 0.0) for key in place.people)])
            at = self._first_start(job, place.people, at)
            ends[job.key] = self.end(job, place.people, at, course.steps[job.key])
            free.update(dict.fromkeys(place.people, ends[job.key]))
        return self._finish(ends, course)

    def _first_start(self, job: Job, people: tuple[str, ...], at: float) -> float:
        if self.may_start(job, people, at):
            return at
        return next(
            quarter
            for quarter in self.open(job, people)
            if quarter >= at and self.may_start(job, people, quarter)
        )

    def _finish(self, ends: dict[str, float], course: Course) -> datetime:
        waits = [ends[key] + wait for key, wait in course.part_min.items()]
        return moment(max([*ends.values(), *waits]))

    # ---- the shop re-plans

    def replanned(self, course: Course) -> datetime:
        """End of a course when at each moment the next job goes to whoever is free."""
        return self._finish(_Replanned(self, course).ends_of_all(), course)


class _Replanned:
    def __init__(self, walker: Walker, course: Course) -> None:
        self.walker, self.course = walker, course
        self.ends: dict[str, float] = {}
        self.hands: dict[str, tuple[str, ...]] = {}
        self.waiting = sorted(walker.places, key=self._rank)
        self.quarters = sorted({q for hours in walker.hours.values() for q in hours} | set(walker.shop))

    def _rank(self, place: Place) -> tuple[bool, datetime, datetime]:
        close = any(after.most_min is not None for after in self.walker.jobs[place.job].after)
        return not close, place.starts, place.ends

    def ends_of_all(self) -> dict[str, float]:
        now = self.quarters[0]
        while self.waiting:
            begun = True
            while begun:
                begun = any(self._begins(place, now) for place in list(self.waiting))
            after = bisect_right(self.quarters, now + SAME)
            coming = [end for end in self.ends.values() if end > now + SAME]
            now = min([*coming, *self.quarters[after : after + 1]])
        return self.ends

    def _begins(self, place: Place, now: float) -> bool:
        job = self.walker.jobs[place.job]
        known = {key for key, end in self.ends.items() if end <= now + SAME}
        if any(after.job in self.walker.jobs and after.job not in known for after in job.after):
            return False
        if self.walker.earliest(job, self.ends, self.course) > now + SAME or not self._has_room(job, now):
            return False
        for team in self._teams(job, place.people, now):
            if self.walker.may_start(job, team, now):
                self.ends[job.key] = self.walker.end(job, team, now, self.course.steps[job.key])
                self.hands[job.key] = team
                self.waiting.remove(place)
                return True
        return False

    def _running(self, now: float) -> list[Job]:
        return [self.walker.jobs[key] for key, end in self.ends.items() if end > now + SAME]

    def _has_room(self, job: Job, now: float) -> bool:
        held: defaultdict[str, int] = defaultdict(int)
        for other in (*self._running(now), job):
            if other.room:
                held["room " + other.room] += max(len(other.seats), 1)
            for key, count in other.tools:
                held["tool " + key] += count
        problem = self.walker.problem
        limits = {"room " + room.key: room.holds for room in problem.rooms}
        limits |= {"tool " + tool.key: tool.count for tool in problem.tools}
        asked = {"room " + job.room} if job.room else set()
        return all(held[key] <= limits[key] for key in asked | {"tool " + key for key, _ in job.tools})

    def _teams(self, job: Job, meant: tuple[str, ...], now: float) -> list[tuple[str, ...]]:
        busy = {key for other in self._running(now) for key in self.hands[other.key]}
        barred = busy | self._barred(job.key)
        able = [
            [
                person.key
                for person in self.walker.problem.people
                if person.key not in barred and self.walker.problem.may_take(seat, person)
            ]
            for seat in job.seats
        ]
        teams = [team for team in product(*able) if len(set(team)) == len(team)]
        return sorted(teams, key=lambda team: team != meant)

    def _barred(self, key: str) -> set[str]:
        """Those whose hands the job must not have, and those it must leave for a look to come."""
        found: set[str] = set()
        for other in self.walker.apart[key]:
            found |= set(self.hands.get(other, ()))
            if other not in self.hands:
                done = {p for one in self.walker.apart[other] for p in self.hands.get(one, ())}
                for seat in self.walker.jobs[other].seats:
                    people = self.walker.problem.people
                    able = {p.key for p in people if self.walker.problem.may_take(seat, p)} - done
                    found |= able if len(able) == 1 else set()
        return found


def _away(spans: list[tuple[float, float]], quarter: float) -> bool:
    return any(begins < quarter + QUARTER and quarter < ends for begins, ends in spans)
