"""The rules of a problem one by one, each with its sentence and how the problem looks without it."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from datetime import timedelta

from annual_planner.planning.crew.open_time import STEP, Calendar, Span, said_moment, said_span, unbroken
from annual_planner.planning.crew.problem import After, Job, Pauses, Person, Problem, Room, Seat, Tool

Without = Callable[[Problem], Problem]


@dataclass(frozen=True, slots=True)
class NamedRule:
    """One rule in words, and the problem without it."""

    said: str
    without: Without


def rules_of(problem: Problem) -> Iterator[NamedRule]:
    """Every rule that can be given up alone.

    Those at the front are given up first when a clash is narrowed.
    """
    for job in problem.jobs:
        yield from _order(problem, job)
    yield from (_room_rule(room) for room in problem.rooms)
    yield from (_tool_rule(tool) for tool in problem.tools)
    for job in problem.jobs:
        yield from _of_job(problem, job)
    for person in problem.people:
        yield from _of_person(problem, person)
    for job in problem.jobs:
        yield from _of_dates(problem, job)
    ends = problem.shop.spans[-1].end
    yield NamedRule(f"the calendar that is looked at ends on {said_moment(ends)}", _longer)


def _room_rule(room: Room) -> NamedRule:
    def without(problem: Problem) -> Problem:
        rooms = (replace(r, holds=10**6) if r.key == room.key else r for r in problem.rooms)
        return replace(problem, rooms=tuple(rooms))

    people = "person" if room.holds == 1 else "people"
    return NamedRule(f"{room.name} holds {room.holds} {people} at a time", without)


def _tool_rule(tool: Tool) -> NamedRule:
    def without(problem: Problem) -> Problem:
        tools = (replace(t, count=10**6) if t.key == tool.key else t for t in problem.tools)
        return replace(problem, tools=tuple(tools))

    are = "is" if tool.count == 1 else "are"
    return NamedRule(f"there {are} {tool.count} of {tool.name}", without)


def _changed(key: str, change: Callable[[Job], Job]) -> Without:
    def without(problem: Problem) -> Problem:
        return replace(problem, jobs=tuple(change(job) if job.key == key else job for job in problem.jobs))

    return without


def _order(problem: Problem, job: Job) -> Iterator[NamedRule]:
    titles = {other.key: other.title for other in problem.jobs}
    for after in job.after:
        if after.job in titles:
            because = f", because {after.why}" if after.why else ""
            said = f"'{job.title}' {_between(after)} '{titles[after.job]}'{because}"
            yield NamedRule(said, _changed(job.key, _without_after(after.job)))


def _between(after: After) -> str:
    """What lies between two jobs, in words.

    >>> _between(After("a")), _between(After("a", least_min=90)), _between(After("a", most_min=30))
    ('comes after', 'begins 1.5 h or more after the end of', 'begins within 30 min of the end of')
    """
    if after.most_min is None:
        return (
            f"begins {_minutes(after.least_min)} or more after the end of"
            if after.least_min
            else "comes after"
        )
    if not after.least_min:
        return f"begins within {_minutes(after.most_min)} of the end of"
    return f"begins {_minutes(after.least_min)} to {_minutes(after.most_min)} after the end of"


def _without_after(before: str) -> Callable[[Job], Job]:
    return lambda job: replace(job, after=tuple(a for a in job.after if a.job != before))


def _of_job(problem: Problem, job: Job) -> Iterator[NamedRule]:
    title = f"'{job.title}'"
    if job.cures_min:
        said = f"{title} cures for {_minutes(job.cures_min)}"
        yield NamedRule(said, _changed(job.key, lambda j: replace(j, cures_min=0)))
    if job.pauses is not Pauses.ANY:
        said = (
            f"{title} pauses {job.pauses.value}" if job.pauses is Pauses.BREAKS else f"{title} must not pause"
        )
        yield NamedRule(said, _changed(job.key, lambda j: replace(j, pauses=Pauses.ANY)))
    if job.other_hands_than:
        others = ", ".join(f"'{o.title}'" for o in problem.jobs if o.key in job.other_hands_than)
        said = f"{title} is done by other hands than {others}"
        yield NamedRule(said, _changed(job.key, lambda j: replace(j, other_hands_than=())))
    if job.seats:
        yield NamedRule(f"{title} needs {_needs(problem, job)}", _changed(job.key, _without_people))


def _without_people(job: Job) -> Job:
    pinned = job.pinned and replace(job.pinned, people=())
    return replace(job, seats=(), pinned=pinned)


def _needs(problem: Problem, job: Job) -> str:
    if job.pinned and job.pinned.people:
        return " and ".join(problem.person(key).name for key in job.pinned.people) + f" ({job.pinned.why})"
    return " and ".join(_seat_said(problem, seat) for seat in job.seats)


def _seat_said(problem: Problem, seat: Seat) -> str:
    people = [person.name for person in problem.people if problem.may_take(seat, person)]
    if len(people) == 1:
        return f"{people[0]}, who alone may do it"
    return " or ".join(people) if len(people) <= 3 else f"one of {len(people)} people"


def _of_person(problem: Problem, person: Person) -> Iterator[NamedRule]:
    for away in person.away:
        rest = tuple(span for span in person.away if span != away)
        yield NamedRule(f"{person.name} is away {said_span(away)}", _person_changed(person.key, away=rest))
    if person.hours is not None and person.hours != problem.shop:
        whole = (problem.shop.spans[-1].end - problem.shop.spans[0].start) // STEP
        hours = unbroken(problem.shop.spans[0].start, whole)
        said = f"{person.name} works {_hours_said(person.hours)} only"
        yield NamedRule(said, _person_changed(person.key, hours=hours))


def _person_changed(key: str, **change: object) -> Without:
    def without(problem: Problem) -> Problem:
        people = (replace(p, **change) if p.key == key else p for p in problem.people)  # type: ignore[arg-type]
        return replace(problem, people=tuple(people))

    return without


def _hours_said(hours: Calendar) -> str:
    days = list(dict.fromkeys(f"{span.start:%a}" for span in hours.spans))
    return ", ".join(days) if len(days) < 7 else f"{len(hours.spans)} stretches of time"


def _of_dates(problem: Problem, job: Job) -> Iterator[NamedRule]:
    title = f"'{job.title}'"
    if job.not_before is not None:
        because = f", when {job.arrives}" if job.arrives else ""
        said = f"{title} can't begin before {said_moment(job.not_before)}{because}"
        yield NamedRule(said, _changed(job.key, lambda j: replace(j, not_before=None, arrives="")))
    if job.not_after is not None:
        said = f"{title} must be done by {said_moment(job.not_after)}"
        yield NamedRule(said, _changed(job.key, lambda j: replace(j, not_after=None)))
    if job.outside_min is not None:
        said = f"{title} takes {_minutes(job.outside_min)} outside the shop"
        yield NamedRule(said, _changed(job.key, lambda j: replace(j, outside_min=0)))
    if job.pinned is not None and job.pinned.start is not None:
        said = f"{title} begins on {said_moment(job.pinned.start)} ({job.pinned.why})"
        yield NamedRule(said, _changed(job.key, _without_pinned_start))


def _without_pinned_start(job: Job) -> Job:
    return replace(job, pinned=job.pinned and replace(job.pinned, start=None))


def _longer(problem: Problem) -> Problem:
    """The problem with unbroken time behind its calendar, enough for all its work one after another."""
    minutes = sum(job.cures_min + (job.outside_min or 0) for job in problem.jobs)
    minutes += sum(after.least_min for job in problem.jobs for after in job.after)
    steps = sum(job.likely for job in problem.jobs) + minutes // 15 + len(problem.jobs) + 1
    people = tuple(replace(p, hours=p.hours and _lengthened(p.hours, problem, steps)) for p in problem.people)
    return replace(problem, shop=_lengthened(problem.shop, problem, steps), people=people)


def _lengthened(calendar: Calendar, problem: Problem, steps: int) -> Calendar:
    ends = max(problem.shop.spans[-1].end, calendar.spans[-1].end)
    return Calendar((*calendar.spans, Span(ends, ends + steps * STEP)))


def _minutes(minutes: int) -> str:
    """Minutes as people read them.

    >>> _minutes(45), _minutes(90), _minutes(2880)
    ('45 min', '1.5 h', '2 days')
    """
    if minutes < 60:
        return f"{minutes} min"
    days = timedelta(minutes=minutes) / timedelta(days=1)
    return f"{days:g} days" if days >= 2 and days == int(days) else f"{minutes / 60:.4g} h"
