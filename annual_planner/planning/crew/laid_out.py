"""The answer: where each job lies, who does it, when all is done, and how good that is known to be."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime, timedelta

from annual_planner.planning.crew.laying import Laid, Plan
from annual_planner.planning.crew.open_time import Span, said_moment, said_steps
from annual_planner.planning.crew.prepared import Prepared, Way


@dataclass(frozen=True, slots=True)
class Place:
    """One job in the plan. `pieces`: the stretches of wall-clock time worked on it; people by seat."""

    job: str
    title: str
    starts: datetime
    ends: datetime
    people: tuple[str, ...]
    pieces: tuple[Span, ...]


@dataclass(frozen=True, slots=True)
class Moved:
    """A job that lies elsewhere than in the plan before: other half-day, other people, or both."""

    job: str
    title: str
    was: datetime
    now: datetime
    were: tuple[str, ...]
    are: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class LaidOut:
    """A whole plan, its places by start.

    `proven`: no plan can end sooner. `bound`: no plan can end before it; None where it wasn't sought.
    `settled`: goals that were proven, in words. `late_steps`: by promise, 0 when kept.
    """

    places: tuple[Place, ...]
    finish: datetime
    proven: bool = False
    bound: datetime | None = None
    settled: tuple[str, ...] = ()
    late_steps: Mapping[str, int] = field(default_factory=dict)
    moved: tuple[Moved, ...] = ()
    seconds: float = 0.0
    searched: bool = False
    """Whether the solver found it, or made it better; else it is the plan by rules."""

    def place(self, job: str) -> Place:
        """Where a job lies; KeyError when it isn't there."""
        for place in self.places:
            if place.job == job:
                return place
        raise KeyError(job)

    @property
    def said(self) -> str:
        """How good the plan is known to be, in words."""
        if self.proven:
            return f"done {said_moment(self.finish)}, proven best"
        if self.bound is None:
            how = "best found in time" if self.searched else "found by rules without a search"
            return f"done {said_moment(self.finish)}, {how}"
        return f"done {said_moment(self.finish)}, best found in time; not before {said_moment(self.bound)}"


def laid_out(ready: Prepared, plan: Plan, old: LaidOut | None = None) -> LaidOut:
    """A plan in numbers as a plan in wall-clock time, compared with an old one."""
    places = tuple(
        sorted((_place(ready, n, laid) for n, laid in plan.items()), key=lambda p: (p.starts, p.ends, p.job))
    )
    finish = max((place.ends for place in places), default=ready.problem.shop.spans[0].start)
    return LaidOut(places, finish, late_steps=_late(ready, plan), moved=moved(places, old))


def _place(ready: Prepared, n: int, laid: Laid) -> Place:
    job, way = ready.jobs[n], ready.ways[n][laid.way]
    calendar = ready.axes[way.axis].calendar
    starts, end = calendar.when(laid.start), way.end(laid.start)
    people = tuple(ready.people[p].key for p in laid.people)
    if job.outside_min is not None:
        return Place(job.key, job.title, starts, starts + timedelta(minutes=job.outside_min), people, ())
    ends = calendar.until(end) if way.steps else starts
    return Place(job.key, job.title, starts, ends, people, calendar.pieces(laid.start, end))


def _late(ready: Prepared, plan: Plan) -> dict[str, int]:
    """Open steps by which each promise is missed."""
    found = {}
    for promise in ready.problem.promises:
        ends = [
            laid.ends for n, laid in plan.items() if not promise.jobs or ready.jobs[n].key in promise.jobs
        ]
        found[promise.name] = max(0, max(ends, default=0) - ready.common.steps_by(promise.by))
    return found


def moved(places: tuple[Place, ...], old: LaidOut | None) -> tuple[Moved, ...]:
    """Jobs of both plans that changed their half-day or their people; what takes no time is never moved."""
    before = {place.job: place for place in old.places} if old else {}
    return tuple(
        Moved(place.job, place.title, was.starts, place.starts, was.people, place.people)
        for place in places
        if (was := before.get(place.job))
        and place.starts < place.ends
        and (half_day(was.starts) != half_day(place.starts) or set(was.people) != set(place.people))
    )


def half_day(moment: datetime) -> Span:
    """The morning or afternoon a moment is in.

    >>> half_day(datetime(2026, 5, 12, 9, 30)).end.hour
    12
    """
    day = moment.replace(hour=0, minute=0, second=0, microsecond=0)
    noon = day + timedelta(hours=12)
    return Span(day, noon) if moment < noon else Span(noon, day + timedelta(days=1))


def plan_of(ready: Prepared, old: LaidOut) -> Plan | None:
    """An old plan in the numbers of a problem; None when a job is missing or can't lie there any more."""
    by_key = {place.job: place for place in old.places}
    plan: Plan = {}
    for n, job in enumerate(ready.jobs):
        laid = laid_of(ready, n, by_key[job.key]) if job.key in by_key else None
        if laid is None:
            return None
        plan[n] = laid
    return plan


def laid_of(ready: Prepared, n: int, place: Place) -> Laid | None:
    """One place in the numbers of a problem, if the job may still lie there with these people."""
    people = tuple(ready.person_number.get(key, -1) for key in place.people)
    for number, way in enumerate(ready.ways[n]):
        axis = ready.axes[way.axis]
        start = axis.calendar.step_at(place.starts)
        if not way.starts >> start & 1 or axis.calendar.when(start) != place.starts or not _sit(way, people):
            continue
        begins = axis.start_on_common(start)
        ends = axis.end_on_common(way.end(start)) if way.steps or way.ends is not None else begins
        return Laid(number, start, begins, ends, people)
    return None


def _sit(way: Way, people: tuple[int, ...]) -> bool:
    return len(people) == len(way.seats) and all(
        person in seat for person, seat in zip(people, way.seats, strict=True)
    )


def said_late(laid: LaidOut) -> list[str]:
    """Each promise with whether it is kept, in words."""
    return [
        f"{name}: kept" if not late else f"{name}: missed by {said_steps(late)} of open time"
        for name, late in laid.late_steps.items()
    ]
