"""What keeps a package from being laid out before any search: one clear line for each fault."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator

from annual_planner.planning.crew.open_time import STEP_MIN, said_moment
from annual_planner.planning.crew.problem import NO_OPEN_DAY, Job, Pauses, Person, Problem, Seat

LONGEST_STEPS = 4 * 24 * 366
"""A year of quarter-hours; anything longer in one job is a slip of the pen."""


def faults(problem: Problem) -> Iterator[str]:
    """Every fault of a problem, in words."""
    yield from _same_key_twice(problem)
    if not problem.shop.steps:
        yield NO_OPEN_DAY
        return
    yield from (line for person in problem.people for line in _person_faults(problem, person))
    yield from _counts(problem)
    for job in problem.jobs:
        yield from _duration_faults(job)
        yield from _unknown_things(problem, job)
        yield from _date_faults(job)
        yield from _seat_faults(problem, job)
        yield from _pin_faults(problem, job)
    yield from loops(problem.jobs)


def loops(jobs: Iterable[Job]) -> Iterator[str]:
    """One line for each set of jobs that wait for each other."""
    before = {job.key: [after.job for after in job.after] for job in jobs}
    titles = {job.key: job.title for job in jobs}
    waits = {key: [b for b in those if b in before] for key, those in before.items()}
    left = _not_placeable(waits)
    while left:
        circle = _circle(min(left), {key: [b for b in waits[key] if b in left] for key in left})
        said = ", ".join(f"'{titles[key]}'" for key in circle)
        yield f"These jobs wait for each other: {said}."
        left = _not_placeable({k: [b for b in waits[k] if b in left] for k in left - set(circle)})


def _not_placeable(waits: dict[str, list[str]]) -> set[str]:
    """Jobs that are in a loop or behind one."""
    left = set(waits)
    while free := {key for key in left if not any(before in left for before in waits[key])}:
        left -= free
    return left


def _circle(start: str, waits: dict[str, list[str]]) -> list[str]:
    trail = [start]
    while (following := min(waits[trail[-1]])) not in trail:
        trail.append(following)
    return list(reversed(trail[trail.index(following) :]))


def _same_key_twice(problem: Problem) -> Iterator[str]:
    for what, things in (
        ("jobs", problem.jobs),
        ("people", problem.people),
        ("zones", problem.rooms),
        ("tools", problem.tools),
    ):
        counts = Counter(thing.key for thing in things)
        yield from (f"Two {what} have the key '{key}'." for key, count in counts.items() if count > 1)


def _person_faults(problem: Problem, person: Person) -> Iterator[str]:
    hours = problem.hours_of(person)
    if not hours.steps:
        yield f"{person.name} has no hours."
    elif not any(_open_beside_absences(problem, person)):
        yield f"{person.name} is away during all of their hours."
    if person.cost_per_hour < 0:
        yield f"{person.name} costs {person.cost_per_hour} an hour, which is below 0."


def _open_beside_absences(problem: Problem, person: Person) -> Iterator[bool]:
    for span in problem.hours_of(person).spans:
        yield not any(away.start <= span.start and span.end <= away.end for away in person.away)


def _counts(problem: Problem) -> Iterator[str]:
    for room in problem.rooms:
        if room.holds < 1:
            yield f"{room.name} holds {room.holds} people; it must hold at least 1."
    for tool in problem.tools:
        if tool.count < 1:
            yield f"There are {tool.count} of {tool.name}; there must be at least 1."


def _duration_faults(job: Job) -> Iterator[str]:
    low, high = job.likely if job.low is None else job.low, job.likely if job.high is None else job.high
    if not 0 <= low <= job.likely <= high:
        said = " / ".join(f"{steps * STEP_MIN / 60:g}" for steps in (low, job.likely, high))
        yield f"'{job.title}': hours {said} are not from low over likely to high, or are below 0."
    if high > LONGEST_STEPS:
        yield f"'{job.title}': {high * STEP_MIN / 60:g} hours is more than a year."
    if min(job.cures_min, 0 if job.outside_min is None else job.outside_min) < 0:
        yield f"'{job.title}': a time to cure or away from the shop is below 0."
    if job.outside_min is not None and job.seats:
        yield f"'{job.title}': work outside the shop can't take people of the shop."
    for after in job.after:
        if after.least_min < 0 or (after.most_min is not None and after.most_min < after.least_min):
            yield f"'{job.title}': the time after '{after.job}' is below 0, or its most is under its least."


def _unknown_things(problem: Problem, job: Job) -> Iterator[str]:
    rooms = {room.key: room for room in problem.rooms}
    tools = {tool.key: tool for tool in problem.tools}
    if job.room is not None and job.room not in rooms:
        yield f"'{job.title}' is in the zone '{job.room}', which is not given."
    elif job.room is not None and len(job.seats) > rooms[job.room].holds >= 1:
        holds = rooms[job.room].holds
        yield f"'{job.title}' takes {len(job.seats)} people; {rooms[job.room].name} holds {holds}."
    for key, count in job.tools:
        if key not in tools:
            yield f"'{job.title}' needs the tool '{key}', which is not given."
        elif not 0 < count <= max(tools[key].count, 1):
            yield f"'{job.title}' needs {count} of {tools[key].name}; there are {tools[key].count}."


def _date_faults(job: Job) -> Iterator[str]:
    if job.arrives and job.not_before is None:
        yield f"'{job.title}' waits until {job.arrives}, and no date is given for it."
    if job.not_before and job.not_after and job.not_after <= job.not_before:
        early, late = said_moment(job.not_before), said_moment(job.not_after)
        yield f"'{job.title}' may begin on {early} at the earliest and must be done by {late}."


def _seat_faults(problem: Problem, job: Job) -> Iterator[str]:
    fitting = [_who_may(problem, seat) for seat in job.seats]
    for seat, people in zip(job.seats, fitting, strict=True):
        if not people:
            yield f"'{job.title}': nobody may do it ({_asked(problem, seat)})."
    if all(fitting) and (short := _too_few(fitting)):
        said = ", ".join(sorted(problem.person(key).name for key in short))
        yield f"'{job.title}' takes more people at once than may do it: only {said}."
    if job.pauses is Pauses.NONE and fitting and all(fitting):
        yield from _too_long_for_a_day(problem, job, fitting[0])


def _who_may(problem: Problem, seat: Seat) -> set[str]:
    return {person.key for person in problem.people if problem.may_take(seat, person)}


def _asked(problem: Problem, seat: Seat) -> str:
    names = {person.key: person.name for person in problem.people}
    skills = f"needs {', '.join(sorted(seat.skills))}" if seat.skills else ""
    only = f"only {', '.join(sorted(names.get(k, k) for k in seat.people))}" if seat.people else ""
    return "; ".join(filter(None, (skills, only))) or "there is nobody at all"


def _too_few(fitting: list[set[str]]) -> set[str]:
    """People who are all that some seats can have, and fewer than those seats; empty when all can sit."""
    for taken in fitting:
        if sum(people <= taken for people in fitting) > len(taken):
            return taken
    everybody = set().union(*fitting)
    return everybody if len(everybody) < len(fitting) else set()


def _too_long_for_a_day(problem: Problem, job: Job, people: set[str]) -> Iterator[str]:
    longest = max(problem.hours_of(problem.person(key)).longest() for key in people)
    if job.likely > longest:
        hours, has = job.likely * STEP_MIN / 60, longest * STEP_MIN / 60
        yield f"'{job.title}' takes {hours:g} h without a pause; nobody has more than {has:g} h in one piece."


def _pin_faults(problem: Problem, job: Job) -> Iterator[str]:
    if job.pinned is None or not job.pinned.people:
        return
    people = {person.key: person for person in problem.people}
    if len(job.pinned.people) != len(job.seats) or len(set(job.pinned.people)) != len(job.seats):
        held, takes = len(job.pinned.people), len(job.seats)
        yield f"'{job.title}' is held with {held} people; it takes {takes}, each once."
        return
    for key, seat in zip(job.pinned.people, job.seats, strict=True):
        if key not in people:
            yield f"'{job.title}' is held with '{key}', who is not given."
        elif not problem.may_take(seat, people[key]):
            yield f"'{job.title}' is held with {people[key].name}, who may not do it."
