"""Laying the work out again with as little moved as can be.

Each job where it lay, or the next place that fits.
"""

from __future__ import annotations

from dataclasses import replace

from annual_planner.planning.crew.laid_out import LaidOut, Place
from annual_planner.planning.crew.laying import Plan
from annual_planner.planning.crew.prepared import Prepared, Way, bits
from annual_planner.planning.crew.serial import Serial


def kept_plan(ready: Prepared, old: LaidOut) -> Plan | None:
    """A plan that follows an old one: same order, nothing earlier than before, same people where they can.

    Jobs that are new are laid as early as they fit. None when no place is found for one.
    """
    by_key = {place.job: place for place in old.places}
    serial = Serial(ready)
    narrow = [_narrowed(ready, n, by_key.get(job.key)) for n, job in enumerate(ready.jobs)]
    rank = [
        float(ready.common.step_at(by_key[job.key].starts)) if job.key in by_key else 0.0
        for job in ready.jobs
    ]
    return serial.forwards(rank, preferring=narrow)


def closed_up(ready: Prepared, plan: LaidOut) -> Plan | None:
    """A plan in the same order by the same people, each job as early as it then fits; None when one fits not.

    A search that is cut short leaves gaps that nothing calls for.
    """
    by_key = {place.job: place for place in plan.places}
    people = [
        _narrowed(ready, n, by_key.get(job.key), may_be_earlier=True) for n, job in enumerate(ready.jobs)
    ]
    rank = [float(ready.common.step_at(by_key[job.key].starts)) for job in ready.jobs]
    return Serial(ready).forwards(rank, preferring=people)


def _narrowed(
    ready: Prepared, n: int, place: Place | None, *, may_be_earlier: bool = False
) -> tuple[Way, ...]:
    """Ways of a job cut down to the people it had and to starts no earlier than it had.

    Empty when none is.
    """
    if place is None:
        return ()
    people = tuple(ready.person_number.get(key, -1) for key in place.people)
    ways = (_narrowed_way(ready, way, people, place) for way in ready.ways[n])
    if may_be_earlier:
        return tuple(
            replace(narrow, starts=way.starts if narrow.starts else 0)
            for narrow, way in zip(ways, ready.ways[n], strict=True)
        )
    return tuple(ways)


def _narrowed_way(ready: Prepared, way: Way, people: tuple[int, ...], place: Place) -> Way:
    first = ready.axes[way.axis].calendar.step_at(place.starts)
    starts = way.starts & ~bits(0, first - 1)
    seats = way.seats
    if len(people) == len(seats):
        seats = tuple((p,) if p in seat else () for p, seat in zip(people, seats, strict=True))
    return replace(way, starts=starts if all(seats) else 0, seats=seats)
