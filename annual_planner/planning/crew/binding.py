"""Why a job can't be earlier, how late it may be, and the chain of waits that makes the finish."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import date, datetime

from annual_planner.planning.crew.laid_out import LaidOut, laid_of
from annual_planner.planning.crew.laying import Laid, Plan
from annual_planner.planning.crew.open_time import said_moment, said_span
from annual_planner.planning.crew.prepared import Prepared, Way, bits
from annual_planner.planning.crew.problem import Pauses, Problem
from annual_planner.planning.crew.slack import slacks
from annual_planner.trade.answer import answer
from annual_planner.trade.working import Step, Worked

SLACK_KEEPS = "Slack keeps the order of jobs, who does them, and their turn at zones and tools."


@dataclass(frozen=True, slots=True)
class Holds:
    """One thing that keeps a job from being earlier, in words; `job`: the job it waits for, if it is one.

    `brief`: whom or what that job has, or where there is no such job the whole in few words.
    """

    said: str
    job: str | None = None
    brief: str = ""


@dataclass(frozen=True, slots=True)
class Bound:
    """What binds one job.

    The reasons it isn't earlier, and the open steps it may slip without a later finish.
    """

    job: str
    title: str
    starts: datetime
    reasons: tuple[Holds, ...]
    slack: int


@dataclass(frozen=True, slots=True)
class Binding:
    """All jobs with what binds them, by start; and the critical chain, from its first job to the last."""

    jobs: tuple[Bound, ...]
    chain: tuple[str, ...]

    def job(self, key: str) -> Bound:
        """What binds one job; KeyError when it isn't in the plan."""
        for bound in self.jobs:
            if bound.job == key:
                return bound
        raise KeyError(key)


def binding(problem: Problem, laid: LaidOut) -> Worked[Binding]:
    """What binds each job of a plan, with the critical chain as the working.

    Jobs of the plan that the problem no longer has, or that can't lie there any more, are left out.
    """
    ready, plan = _still_there(problem, laid)
    slack = slacks(ready, plan)
    reasons = {n: tuple(_reasons(ready, plan, n)) for n in plan}
    order = sorted(plan, key=lambda n: (plan[n].begins, plan[n].ends, n))
    bound = tuple(_bound(ready, plan, n, reasons[n], slack[n]) for n in order)
    chain = _chain(ready, plan, reasons)
    found = Binding(bound, tuple(ready.jobs[n].key for n in chain))
    steps = [
        Step(f"'{one.title}' from {said_moment(one.starts)}", _said(one.reasons))
        for one in map(found.job, found.chain)
    ]
    return answer(
        found,
        "Critical chain",
        f"{len(chain)} jobs, done {said_moment(laid.finish)}",
        citation="this program's plan",
        says="each job of the chain waits for the one before, or for what is said beside it",
        steps=steps,
        assumptions=(SLACK_KEEPS,),
    )


def _said(reasons: tuple[Holds, ...]) -> str:
    return "; ".join(reason.said for reason in reasons) or "nothing holds it back"


def _still_there(problem: Problem, laid: LaidOut) -> tuple[Prepared, Plan]:
    """The problem of the jobs that still lie where the plan has them, and that plan in its numbers."""
    ready, places = Prepared(problem), {place.job: place for place in laid.places}
    there = [
        job
        for n, job in enumerate(ready.jobs)
        if job.key in places and laid_of(ready, n, places[job.key]) is not None
    ]
    if len(there) < len(ready.jobs):
        ready = Prepared(replace(problem, jobs=tuple(there)))
    found = (laid_of(ready, n, places[job.key]) for n, job in enumerate(ready.jobs))
    return ready, {n: place for n, place in enumerate(found) if place is not None}


def _bound(ready: Prepared, plan: Plan, n: int, reasons: tuple[Holds, ...], slack: int) -> Bound:
    job = ready.jobs[n]
    starts = ready.axes[ready.ways[n][plan[n].way].axis].calendar.when(plan[n].start)
    return Bound(job.key, job.title, starts, reasons, slack)


# ---- why not earlier


def _reasons(ready: Prepared, plan: Plan, n: int) -> Iterator[Holds]:
    """What stands in the way at the next earlier start that the job itself allows; and closed days before."""
    laid, way = plan[n], ready.ways[n][plan[n].way]
    yield from _in_the_way(ready, plan, n)
    if not _held(ready, n):
        yield from _closed_before(ready, way, laid)


def _in_the_way(ready: Prepared, plan: Plan, n: int) -> Iterator[Holds]:
    laid, way = plan[n], ready.ways[n][plan[n].way]
    earlier = way.starts & bits(0, laid.start - 1)
    if not earlier:
        yield _first_possible(ready, n, way, laid)
        return
    start = earlier.bit_length() - 1
    if start < laid.start - 1:
        yield _crosses(ready, n, way, start)
    axis = ready.axes[way.axis]
    begins = axis.start_on_common(start)
    ends = axis.end_on_common(way.end(start)) if way.steps or way.ends is not None else begins
    yield from _waits_for_jobs(ready, plan, n, begins)
    yield from _waits_for_people(ready, plan, n, begins, ends)
    yield from _waits_for_stocks(ready, plan, n, begins, ends)
    yield from _keeps_close(ready, plan, n, ends)


def _first_possible(ready: Prepared, n: int, way: Way, laid: Laid) -> Holds:
    job = ready.jobs[n]
    starts = ready.axes[way.axis].calendar.when(laid.start)
    if job.pinned is not None and _held(ready, n):
        return Holds(f"is held there: {job.pinned.why}", brief=job.pinned.why)
    if job.not_before is not None and laid.start > 0:
        said = f"can't begin before {said_moment(job.not_before)}" + _because(job.arrives)
        return Holds(said, brief=job.arrives or f"not before {said_moment(job.not_before)}")
    return Holds(f"begins as soon as those who may do it are there, {said_moment(starts)}")


def _held(ready: Prepared, n: int) -> bool:
    """Whether the job is held at a moment by hand, or has begun."""
    pinned = ready.jobs[n].pinned
    return pinned is not None and pinned.start is not None


def _closed_before(ready: Prepared, way: Way, laid: Laid) -> Iterator[Holds]:
    """The days right before a start on which there would be open time were the shop not closed."""
    calendar = ready.axes[way.axis].calendar
    starts = calendar.when(laid.start).date()
    before = calendar.until(laid.start).date() if laid.start else date.min
    weekdays = {span.start.weekday() for span in calendar.spans}
    days = [day for day in ready.problem.closed if before < day.on < starts and day.on.weekday() in weekdays]
    if days:
        said = ", ".join(day.said for day in days)
        yield Holds(f"the shop is closed {said}", brief=f"closed {said}")


def _because(why: str) -> str:
    return f", when {why}" if why else ""


def _crosses(ready: Prepared, n: int, way: Way, earlier: int) -> Holds:
    ends = said_moment(ready.axes[way.axis].calendar.until(earlier + max(way.steps, 1)))
    over = "overnight" if ready.jobs[n].pauses is Pauses.BREAKS else "over a break"
    said = f"must not be left {over}: to fit before, it would have to be done by {ends}"
    return Holds(said, brief=f"not to be left {over}")


def _waits_for_jobs(ready: Prepared, plan: Plan, n: int, begins: int) -> Iterator[Holds]:
    for link in ready.before[n]:
        if link.before not in plan:
            continue
        before = plan[link.before]
        of_nothing = before.begins == before.ends
        free = ready.earliest(ready.common_axis, link.least_min, of_nothing)[before.ends]
        if (free if link.least_min else before.ends) > begins:
            first = ready.jobs[link.before]
            wait = f" and {link.least_min / 60:g} h by the clock after it" if link.least_min else ""
            because = f", because {link.why}" if link.why else ""
            until = said_moment(_end(ready, plan, link.before))
            yield Holds(f"waits for '{first.title}' until {until}{wait}{because}", first.key)


def _end(ready: Prepared, plan: Plan, n: int) -> datetime:
    way = ready.ways[n][plan[n].way]
    return ready.axes[way.axis].calendar.until(way.end(plan[n].start))


def _overlapping(plan: Plan, n: int, begins: int, ends: int) -> list[int]:
    return [m for m, laid in plan.items() if m != n and laid.begins < ends and begins < laid.ends]


def _waits_for_people(ready: Prepared, plan: Plan, n: int, begins: int, ends: int) -> Iterator[Holds]:
    beside = _overlapping(plan, n, begins, ends)
    for person in plan[n].people:
        name = ready.people[person].name
        for other in (m for m in beside if person in plan[m].people):
            until = said_moment(_end(ready, plan, other))
            job = ready.jobs[other]
            yield Holds(f"waits for {name}, who is on '{job.title}' until {until}", job.key, name)
        for away in ready.people[person].away:
            if ready.common.steps_by(away.start) < ends and begins < ready.common.step_at(away.end):
                said = f"{name}, who is away {said_span(away)}"
                yield Holds(f"waits for {said}", brief=said)


def _waits_for_stocks(ready: Prepared, plan: Plan, n: int, begins: int, ends: int) -> Iterator[Holds]:
    beside = _overlapping(plan, n, begins, ends)
    for use in ready.uses[n]:
        stock = ready.stocks[use.stock]
        users = [(m, u.amount) for m in beside for u in ready.uses[m] if u.stock == use.stock]
        if _most_at_once(plan, users, begins, ends) + use.amount > stock.limit:
            before = [m for m, _ in users if plan[m].ends <= plan[n].begins]
            last = max(before, key=lambda m: plan[m].ends, default=users[0][0])
            until, job = said_moment(_end(ready, plan, last)), ready.jobs[last]
            what = f"room in {stock.name}" if stock.is_room else f"{stock.name}"
            yield Holds(f"waits for {what} until {until} ('{job.title}')", job.key, what)


def _most_at_once(plan: Plan, users: list[tuple[int, int]], begins: int, ends: int) -> int:
    moments = {begins, *(plan[m].begins for m, _ in users if begins <= plan[m].begins < ends)}
    return max(
        sum(amount for m, amount in users if plan[m].begins <= moment < plan[m].ends) for moment in moments
    )


def _keeps_close(ready: Prepared, plan: Plan, n: int, ends: int) -> Iterator[Holds]:
    for link in ready.following[n]:
        if link.most_min is not None and link.after in plan:
            of_nothing = plan[n].begins == plan[n].ends
            if ready.latest(ready.common_axis, link.most_min, of_nothing)[ends] < plan[link.after].begins:
                job = ready.jobs[link.after]
                yield Holds(f"must end within {link.most_min} min before '{job.title}'", job.key)


# ---- the chain


def _chain(ready: Prepared, plan: Plan, reasons: dict[int, tuple[Holds, ...]]) -> list[int]:
    """From the job that ends last back along what each waits for: the wait that ends last decides."""
    if not plan:
        return []
    chain = [max(plan, key=lambda n: (plan[n].ends, -plan[n].begins, -n))]
    while True:
        waits = {ready.number[reason.job] for reason in reasons[chain[-1]] if reason.job is not None}
        earlier = [m for m in waits if m in plan and m not in chain]
        if not earlier:
            return chain[::-1]
        chain.append(max(earlier, key=lambda m: (plan[m].ends, m)))
