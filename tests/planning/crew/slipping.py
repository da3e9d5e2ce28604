"""A job slips and the rest of a plan is pushed along: by wall-clock time, quarter-hour by quarter-hour.

It knows nothing of the program's axes, masks and arrays.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import datetime, timedelta
from functools import lru_cache

from annual_planner.planning.crew.laid_out import LaidOut, Place
from annual_planner.planning.crew.open_time import Calendar, Span
from annual_planner.planning.crew.problem import Job, Pauses, Problem
from tests.planning.crew.checker import QUARTER, open_quarters

LONG_AGO = datetime.fromisoformat("1900-01-01")


@lru_cache(maxsize=64)
def anybodys(calendars: tuple[Calendar, ...]) -> list[datetime]:
    """The quarter-hours that are open in at least one of some calendars."""
    return sorted(set[datetime]().union(*(open_quarters(each) for each in calendars)))


def everybodys(problem: Problem) -> tuple[Calendar, ...]:
    """The shop's calendar and those of all people."""
    return (problem.shop, *(problem.hours_of(person) for person in problem.people))


@lru_cache(maxsize=64)
def together(calendars: tuple[Calendar, ...]) -> list[datetime]:
    """The quarter-hours that are open in all of some calendars."""
    return sorted(set.intersection(*(open_quarters(each) for each in calendars)))


def slipped(problem: Problem, plan: LaidOut, key: str, quarters: int) -> LaidOut | None:
    """The plan when one job begins so many of anybody's quarter-hours late; None without a place for one.

    The others keep people, order and turns, and begin no earlier than planned.
    """
    line = anybodys(everybodys(problem))
    shop = _Shop(problem)
    for place in sorted(plan.places, key=lambda each: (each.starts, each.ends)):
        earliest = place.starts
        if place.job == key:
            late = line.index(place.starts) + quarters
            if late >= len(line):
                return None
            earliest = line[late]
        if not shop.lay(problem.job(place.job), place, earliest):
            return None
    places = tuple(sorted(shop.places.values(), key=lambda each: (each.starts, each.ends, each.job)))
    return LaidOut(places, max(place.ends for place in places))


@dataclass
class _Shop:
    problem: Problem
    places: dict[str, Place] = field(default_factory=dict)
    hands: dict[str, datetime] = field(default_factory=dict)
    turns: dict[tuple[str, str], list[datetime]] = field(default_factory=dict)

    def lay(self, job: Job, place: Place, earliest: datetime) -> bool:
        """Lay one job as early as it goes; whether there was a place."""
        jobs = {each.key: each for each in self.problem.jobs}
        for after in job.after:
            if after.job in self.places:
                wait = timedelta(minutes=after.least_min + jobs[after.job].cures_min)
                earliest = max(earliest, self.places[after.job].ends + wait)
        earliest = max([earliest, *(self.hands[who] for who in place.people if who in self.hands)])
        for thing, amount in self._needs(job).items():
            earliest = max(earliest, sorted(self._turn(thing))[amount - 1])
        found = self._first(job, place, earliest)
        if found is None:
            return False
        self.places[job.key] = found
        self.hands.update(dict.fromkeys(place.people, found.ends))
        for thing, amount in self._needs(job).items():
            self.turns[thing] = [*sorted(self._turn(thing))[amount:], *[found.ends] * amount]
        return True

    def _needs(self, job: Job) -> dict[tuple[str, str], int]:
        found = {("room", job.room): max(len(job.seats), 1)} if job.room else {}
        for key, count in job.tools:
            found["tool", key] = found.get(("tool", key), 0) + count
        return found

    def _turn(self, thing: tuple[str, str]) -> list[datetime]:
        limits = {("room", room.key): room.holds for room in self.problem.rooms}
        limits |= {("tool", tool.key): tool.count for tool in self.problem.tools}
        return self.turns.setdefault(thing, [LONG_AGO] * limits[thing])

    def _first(self, job: Job, place: Place, earliest: datetime) -> Place | None:
        people = [self.problem.person(key) for key in place.people]
        hours = tuple(self.problem.hours_of(each) for each in people) or (self.problem.shop,)
        passes = not people and not job.likely and job.outside_min is None
        both = anybodys(everybodys(self.problem)) if passes else together(hours)
        away = [span for each in people for span in each.away]
        for number, start in enumerate(both):
            if start < earliest or not _may_start(job, start):
                continue
            if job.outside_min is not None:
                return Place(job.key, job.title, start, start + timedelta(minutes=job.outside_min), (), ())
            if passes:
                return Place(job.key, job.title, start, start, (), ())
            worked = both[number : number + job.likely]
            if len(worked) == job.likely and _holds_together(job, worked) and not _away(away, worked):
                pieces = tuple(Span(each, each + QUARTER) for each in worked)
                return Place(job.key, job.title, start, worked[-1] + QUARTER, place.people, pieces)
        return None


def _may_start(job: Job, start: datetime) -> bool:
    if job.pinned is not None and job.pinned.start not in (None, start):
        return False
    return job.not_before is None or start >= job.not_before


def _holds_together(job: Job, worked: list[datetime]) -> bool:
    ends = worked[-1] + QUARTER
    if job.not_after is not None and ends > job.not_after:
        return False
    if job.pauses is Pauses.NONE:
        return ends - worked[0] == job.likely * QUARTER
    return job.pauses is Pauses.ANY or worked[0].date() == worked[-1].date()


def _away(away: list[Span], worked: list[datetime]) -> bool:
    return any(span.start < each + QUARTER and each < span.end for span in away for each in worked)
