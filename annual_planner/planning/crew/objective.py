"""What makes one plan better than another: goals in order, each held while the next is sought."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from annual_planner.planning.crew.aims import Aims
from annual_planner.planning.crew.free_hands import changing_hands, cost
from annual_planner.planning.crew.laid_out import LaidOut, Place, half_day
from annual_planner.planning.crew.laying import Plan
from annual_planner.planning.crew.model import Model
from annual_planner.planning.crew.open_time import STEP_MIN

DATES, FINISH, CHANGES = "dates kept", "finish early", "few people in each zone, then cheap hands"
WAITING = "little waiting"
WEIGHED = "finish early, cost of hours weighed in"


@dataclass(frozen=True, slots=True)
class Goal:
    """One stage: what it is called, what is made small, and whether its bound is a bound on the finish."""

    name: str
    amount: Any
    is_finish: bool = False


def goals(model: Model, aims: Aims, keep: LaidOut | None) -> Iterator[Goal]:
    """The goals of a model, the weightiest first."""
    late = list(_lateness(model))
    if late:
        yield Goal(DATES, sum(late))
    extra = [*_moves(model, keep, aims), *_costs(model, aims)]
    scale = 1 if not aims.cost_weight else COST_SCALE
    finish = model.finish()
    yield Goal(WEIGHED if aims.cost_weight else FINISH, scale * finish + sum(extra), is_finish=not extra)
    if aims.few_changes and (hands := _hands(model)) is not None:
        yield Goal(CHANGES, hands)
    if aims.little_waiting:
        yield Goal(WAITING, sum(_start(model, n) for n in range(len(model.ready.jobs))))


COST_SCALE = 100
"""The solver counts in whole numbers: a hundredth of a step is the least that cost can weigh."""


def _start(model: Model, n: int) -> Any:
    axis = model.times.single_axis(n)
    return model.times.of(n, model.ready.common_axis if axis is None else axis)[0]


def _lateness(model: Model) -> Iterator[Any]:
    """Steps late of promises for some of the jobs; those for all are best kept by finishing early."""
    ready = model.ready
    for number, promise in enumerate(ready.problem.promises):
        jobs = [n for n, job in enumerate(ready.jobs) if job.key in promise.jobs]
        if not jobs or len(jobs) == len(ready.jobs):
            continue
        by = ready.common.steps_by(promise.by)
        late = model.variables.new_int(0, max(model.horizon - by, 0), f"late {number}", _late_in(jobs, by))
        for n in jobs:
            model.cp.add(late >= model.times.of(n, ready.common_axis)[1] - by)
        yield promise.weight * late


def _late_in(jobs: list[int], by: int) -> Any:
    return lambda plan: max(0, *(plan[n].ends - by for n in jobs))


def _costs(model: Model, aims: Aims) -> Iterator[Any]:
    """Cost of hours, in hundredths of a step."""
    for n, workers in enumerate(model.works if aims.cost_weight else ()):
        for p, works in workers.items():
            hours = Decimal(model.ready.steps[n] * STEP_MIN) / 60
            worth = hours * model.ready.people[p].cost_per_hour * aims.cost_weight * COST_SCALE
            if int(worth):
                yield int(worth) * works


def _moves(model: Model, keep: LaidOut | None, aims: Aims) -> Iterator[Any]:
    """A literal for each job of the old plan: true when it moves. What takes no time is never moved."""
    scale = 1 if not aims.cost_weight else COST_SCALE
    for place in keep.places if keep else ():
        n = model.ready.number.get(place.job)
        if n is not None and model.ready.ways[n] and not model.ready.jobs[n].is_gate:
            yield scale * aims.moved_weight * _moves_from(model, n, place)


def _moves_from(model: Model, n: int, place: Place) -> Any:
    """True unless the job starts in the same half-day and with the same people as before."""
    ready = model.ready
    start = model.times.of(n, ready.common_axis)[0]
    half = half_day(place.starts)
    first, after = ready.common.step_at(half.start), ready.common.step_at(half.end)
    people = [ready.person_number.get(key, -1) for key in place.people]
    stays = model.variables.new_bool(f"stays {n}", _stays_in(n, first, after, set(people)))
    model.cp.add(start >= first).only_enforce_if(stays)
    model.cp.add(start < after).only_enforce_if(stays)
    for p in people:
        if p in model.works[n]:
            model.cp.add(model.works[n][p] == 1).only_enforce_if(stays)
        else:
            model.cp.add(stays == 0)
    return 1 - stays


def _stays_in(n: int, first: int, after: int, people: set[int]) -> Any:
    def stays(plan: Plan) -> int:
        return first <= plan[n].begins < after and set(plan[n].people) == people

    return stays


def _hands(model: Model) -> Any:
    """People in zones, and where those are equal the cost of hours; None where neither can differ."""
    ready = model.ready
    there = list(_people_in_rooms(model))
    costs = [
        (cost(ready, n, p), works)
        for n, workers in enumerate(model.works)
        for p, works in workers.items()
        if cost(ready, n, p)
    ]
    if not there and not costs:
        return None
    dearest = sum(
        max((cost(ready, n, p) for p in workers), default=0) * len(ready.jobs[n].seats)
        for n, workers in enumerate(model.works)
    )
    return (dearest + 1) * sum(there) + sum(amount * works for amount, works in costs)


def _people_in_rooms(model: Model) -> Iterator[Any]:
    """A literal for each person and zone: true when they work there at all, see `changing_hands`."""
    ready, counted = model.ready, changing_hands(model.ready)
    for number, stock in enumerate(ready.stocks):
        jobs = [n for n, uses in enumerate(ready.uses) if any(use.stock == number for use in uses)]
        if not stock.is_room or len(jobs) < 2:
            continue
        for p in sorted({p for n in jobs for p in model.works[n]} & counted):
            there = model.variables.new_bool(f"person {p} in {number}", _is_there(jobs, p))
            for n in jobs:
                if p in model.works[n]:
                    model.cp.add(there >= model.works[n][p])
            yield there


def _is_there(jobs: list[int], p: int) -> Any:
    return lambda plan: any(p in plan[n].people for n in jobs)
