"""An independent check of a plan.

Walks wall-clock time quarter-hour by quarter-hour and knows nothing of the search.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterator
from datetime import datetime, timedelta

from annual_planner.planning.crew.laid_out import LaidOut, Place
from annual_planner.planning.crew.open_time import Calendar
from annual_planner.planning.crew.problem import Job, Pauses, Person, Problem

QUARTER = timedelta(minutes=15)


def broken(problem: Problem, plan: LaidOut) -> list[str]:
    """Every rule a plan breaks, in words; empty when it keeps them all."""
    places = {place.job: place for place in plan.places}
    if sorted(places) != sorted(job.key for job in problem.jobs) or len(places) != len(plan.places):
        return ["not every job is in the plan once"]
    return [
        *(line for job in problem.jobs for line in _job_alone(problem, job, places[job.key])),
        *_people(problem, places),
        *_stocks(problem, places),
        *(line for job in problem.jobs for line in _order(problem, job, places)),
        *_finish(plan),
    ]


def open_quarters(calendar: Calendar) -> set[datetime]:
    """Every open quarter-hour of a calendar."""
    found = set()
    for span in calendar.spans:
        moment = span.start
        while moment < span.end:
            found.add(moment)
            moment += QUARTER
    return found


def anybodys_quarters(problem: Problem) -> set[datetime]:
    """Every quarter-hour at which the shop is open or anybody works."""
    hours = (problem.shop, *(problem.hours_of(person) for person in problem.people))
    return set[datetime]().union(*map(open_quarters, hours))


def worked_quarters(problem: Problem, job: Job, place: Place) -> list[datetime]:
    """The quarter-hours that must be worked from the start on.

    Open for all who sit, until the hours are done.
    """
    people = [problem.person(key) for key in place.people]
    hours = [open_quarters(problem.hours_of(person)) for person in people] or [open_quarters(problem.shop)]
    both = sorted(set.intersection(*hours))
    return [moment for moment in both if moment >= place.starts][: job.likely]


def _job_alone(problem: Problem, job: Job, place: Place) -> Iterator[str]:
    title = job.title
    if len(place.people) != len(job.seats) or len(set(place.people)) != len(place.people):
        yield f"{title}: {len(place.people)} people on {len(job.seats)} seats"
        return
    for key, seat in zip(place.people, job.seats, strict=True):
        person = problem.person(key)
        if not seat.skills <= person.skills or (seat.people and key not in seat.people):
            yield f"{title}: {key} may not do it"
    yield from _duration(problem, job, place)
    if job.not_before and place.starts < job.not_before:
        yield f"{title}: begins before {job.not_before}"
    if job.not_after and place.ends > job.not_after:
        yield f"{title}: ends after {job.not_after}"
    if job.pinned and job.pinned.start and place.starts != job.pinned.start:
        yield f"{title}: is not where it is pinned"
    if job.pinned and job.pinned.people and place.people != job.pinned.people:
        yield f"{title}: is not done by whom it is pinned to"


def _duration(problem: Problem, job: Job, place: Place) -> Iterator[str]:
    if job.outside_min is not None:
        if place.ends - place.starts != timedelta(minutes=job.outside_min):
            yield f"{job.title}: is away for another time than it takes"
        if place.starts not in open_quarters(problem.shop):
            yield f"{job.title}: is sent away while the shop is closed"
        return
    quarters = worked_quarters(problem, job, place)
    if job.likely == 0:
        if place.starts != place.ends:
            yield f"{job.title}: takes time though it needs none"
        if not job.seats and place.starts not in anybodys_quarters(problem):
            yield f"{job.title}: is passed while the shop is closed and nobody works"
        return
    if len(quarters) < job.likely or quarters[0] != place.starts or quarters[-1] + QUARTER != place.ends:
        yield f"{job.title}: doesn't run from its start to its end in open time"
    inside = [moment for piece in place.pieces for moment in open_quarters(Calendar((piece,)))]
    if sorted(inside) != quarters:
        yield f"{job.title}: its pieces are not the time worked"
    elapsed = place.ends - place.starts == job.likely * QUARTER
    if job.pauses is Pauses.NONE and not elapsed:
        yield f"{job.title}: pauses and must not"
    if job.pauses is Pauses.BREAKS and place.starts.date() != (place.ends - QUARTER).date():
        yield f"{job.title}: is left overnight and must not be"


def _people(problem: Problem, places: dict[str, Place]) -> Iterator[str]:
    at_work: defaultdict[tuple[str, datetime], list[str]] = defaultdict(list)
    for job in problem.jobs:
        for moment in worked_quarters(problem, job, places[job.key]):
            for key in places[job.key].people:
                at_work[key, moment].append(job.title)
    for (key, moment), titles in at_work.items():
        if len(titles) > 1:
            yield f"{key} works on {titles} at {moment}"
        yield from _absent(problem.person(key), moment, titles[0])


def _absent(person: Person, moment: datetime, title: str) -> Iterator[str]:
    for away in person.away:
        if away.start < moment + QUARTER and moment < away.end:
            yield f"{person.key} works on {title} at {moment} and is away"


def _stocks(problem: Problem, places: dict[str, Place]) -> Iterator[str]:
    held: Counter[tuple[str, str, datetime]] = Counter()
    for job in problem.jobs:
        place = places[job.key]
        moment = place.starts
        while moment < place.ends:
            if job.room:
                held["room", job.room, moment] += max(len(job.seats), 1)
            for key, count in job.tools:
                held["tool", key, moment] += count
            moment += QUARTER
    limits = {("room", room.key): room.holds for room in problem.rooms}
    limits |= {("tool", tool.key): tool.count for tool in problem.tools}
    for (kind, key, moment), count in held.items():
        if count > limits[kind, key]:
            yield f"{kind} {key} is taken {count} times at {moment}"


def _order(problem: Problem, job: Job, places: dict[str, Place]) -> Iterator[str]:
    jobs = {other.key: other for other in problem.jobs}
    for after in job.after:
        if after.job not in jobs:
            continue
        gap = places[job.key].starts - places[after.job].ends
        least = timedelta(minutes=after.least_min + jobs[after.job].cures_min)
        if gap < least:
            yield f"{job.title}: begins {least - gap} too soon after {after.job}"
        if after.most_min is not None and gap > timedelta(minutes=after.most_min):
            yield f"{job.title}: begins too late after {after.job}"
    for other in job.other_hands_than:
        if other in places and set(places[other].people) & set(places[job.key].people):
            yield f"{job.title}: is done by hands that did {other}"


def _finish(plan: LaidOut) -> Iterator[str]:
    if plan.places and plan.finish != max(place.ends for place in plan.places):
        yield "the finish is not the end of the last job"
