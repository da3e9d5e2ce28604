"""One course by chance when the shop re-plans as it goes: at each end the next job goes to whoever is free.

No look into the future: a choice at any moment knows only what has ended by then and the likely hours of the
rest.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Callable, Iterator, Sequence
from functools import cache
from heapq import heappop, heappush
from itertools import chain
from math import inf

from annual_planner.planning.crew.by_minute import ByMinute, Starts
from annual_planner.planning.crew.laying import Plan, lasting, ready_people, seated
from annual_planner.planning.crew.prepared import Prepared, Way, stretches
from annual_planner.planning.crew.serial import Serial

Line = Sequence[float]
"""A value for each job."""

NO_TIME = 1e-3
"""Minutes within which two moments are one."""


class Dispatch:
    """A plan as an order of importance, for walking courses one at a time. Moments are minutes."""

    def __init__(self, ready: Prepared, plan: Plan, closed_by: Sequence[int | None]) -> None:
        self.ready, self.plan, self.closed_by = ready, plan, closed_by
        beginning = ready.common.when(0)
        self.axes = [ByMinute(axis.calendar, beginning) for axis in ready.axes]
        self.liking = Serial(ready).layer.liking
        self.rank = self._ranks()
        masks, known = ready_people(ready), cache(Starts)
        self.allowed = [
            [_Way(way, masks, ready.axes[way.axis].steps, known) for way in ways] for ways in ready.ways
        ]
        self.turns = sorted(set(self._openings()))
        self.strangers: list[list[int]] = [[] for _ in ready.jobs]
        for one, two in ready.strangers:
            self.strangers[one].append(two)
            self.strangers[two].append(one)

    def _ranks(self) -> list[int]:
        """Jobs in the order of the plan; what must follow another closely comes before all else."""
        plan, before = self.plan, self.ready.before
        close = [any(link.most_min is not None for link in before[n]) for n in range(len(plan))]
        order = sorted(plan, key=lambda n: (not close[n], plan[n].begins, plan[n].ends, n))
        return [place for _, place in sorted((n, place) for place, n in enumerate(order))]

    def _openings(self) -> Iterator[float]:
        """Moments from which something may begin that could not before, whatever the others do."""
        for axis, on in zip(self.ready.axes, self.axes, strict=True):
            yield from (on.opens[first] for first in axis.calendar.breaks())
        for ways in self.allowed:
            for way in ways:
                opens = self.axes[way.of.axis].opens
                for mask in (way.of.starts, *way.masks.values()):
                    yield from (opens[first] for first, _ in stretches(mask) if first < len(opens))

    def finish(self, steps: Line, part_min: Line) -> float:
        """Finish with these steps for each job, and so long a wait for the parts of what it found.

        Endless when some job could never begin.
        """
        return _Course(self, steps, part_min).run()


class _Way:
    """One way of doing a job, with where it and each of its people may start."""

    def __init__(
        self, way: Way, masks: Sequence[dict[int, int]], steps: int, known: Callable[[int, int], Starts]
    ) -> None:
        self.of = way
        people = set(chain.from_iterable(way.seats))
        self.masks = {p: lasting(masks[p][way.axis], way.steps) for p in people}
        self.starts = known(way.starts, steps)
        self.people = {p: known(mask, steps) for p, mask in self.masks.items()}


class _Course:
    """One course: what has ended, what is running, who and what is taken, at a moving moment."""

    def __init__(self, base: Dispatch, steps: Line, part_min: Line) -> None:
        self.base, self.ready = base, base.ready
        self.steps, self.part_min = steps, part_min
        self.missing = [len(links) for links in self.ready.before]
        self.free_from = [0.0] * len(steps)
        self.ends: dict[int, float] = {}
        self.hands: dict[int, tuple[int, ...]] = {}
        self.busy_until = [0.0] * len(self.ready.people)
        self.left = [stock.limit for stock in self.ready.stocks]
        self.running: list[tuple[float, int]] = []
        self.able: list[tuple[int, int]] = []
        """Jobs whose predecessors have ended, by rank."""
        self.moments: list[float] = []
        self.places: list[float | None] = []
        """Place of the moment on each axis; None where it is closed."""
        self.free: set[int] = set()
        """People who are not at work at the moment."""

    def run(self) -> float:
        """Walk from moment to moment until all jobs have begun; the end of the last."""
        for n, count in enumerate(self.missing):
            if not count:
                self.able.append((self.base.rank[n], n))
        now = 0.0
        while len(self.ends) < len(self.steps):
            self._start_what_can(now)
            now = self._next_moment(now)
            if now == inf:
                return inf
        parts = (self.ends[n] + wait for n, wait in enumerate(self.part_min) if wait)
        return max((*self.ends.values(), *parts), default=0.0)

    def _let_go(self, now: float) -> None:
        """What has ended gives back what it held, and lets go those that waited for it."""
        while self.running and self.running[0][0] <= now + NO_TIME:
            end, n = heappop(self.running)
            for use in self.ready.uses[n]:
                self.left[use.stock] += use.amount
            closing = self.base.closed_by[n]
            if closing is not None and self.part_min[n]:
                self.free_from[closing] = max(self.free_from[closing], end + self.part_min[n])
            for link in self.ready.following[n]:
                self.free_from[link.after] = max(self.free_from[link.after], end + link.least_min)
                self.missing[link.after] -= 1
                if not self.missing[link.after]:
                    self.able.append((self.base.rank[link.after], link.after))
                    heappush(self.moments, self.free_from[link.after])

    def _start_what_can(self, now: float) -> None:
        """Start jobs in rank; once more where one has ended that takes no time."""
        again = True
        while again:
            self._let_go(now)
            again, waiting = False, []
            self.places = [self._open_place(axis, now) for axis in self.base.axes]
            self.free = {p for p, until in enumerate(self.busy_until) if until <= now + NO_TIME}
            for rank, n in sorted(self.able):
                if self.free_from[n] <= now + NO_TIME and self._has_stocks(n) and self._begin(n, now):
                    again = again or self.ends[n] <= now + NO_TIME
                else:
                    waiting.append((rank, n))
            self.able = waiting

    def _has_stocks(self, n: int) -> bool:
        return all(self.left[use.stock] >= use.amount for use in self.ready.uses[n])

    def _begin(self, n: int, now: float) -> bool:
        for way in self.base.allowed[n]:
            place = self.places[way.of.axis]
            if place is None or not way.starts.allows(place):
                continue
            team = self._team(n, way, place)
            if team is not None:
                self._take(n, way.of.axis, place, team)
                return True
        return False

    def _open_place(self, axis: ByMinute, now: float) -> float | None:
        """Place of this moment on an axis; None while it is closed there."""
        place = axis.place(now)
        return place if abs(axis.starts(place) - now) <= NO_TIME else None

    def _team(self, n: int, way: _Way, place: float) -> tuple[int, ...] | None:
        """Those of the plan where they are free, else whoever is."""
        if len(way.of.seats) > len(self.free & way.people.keys()):
            return None
        barred = self._barred(n)
        fitting = {
            p: 1
            for p, starts in way.people.items()
            if p in self.free and p not in barred and starts.allows(place)
        }
        meant = self.base.plan[n].people
        if all(p in fitting and p in seat for p, seat in zip(meant, way.of.seats, strict=True)):
            return meant
        return seated(way.of.seats, fitting, 0, self.base.liking)

    def _barred(self, n: int) -> frozenset[int]:
        """People this job must not have.

        Those of a job it asks for other hands than, or, where that is to come, those it can't do without.
        """
        found: set[int] = set()
        for other in self.base.strangers[n]:
            if other in self.hands:
                found.update(self.hands[other])
            else:
                found.update(self._irreplaceable(other))
        return frozenset(found)

    def _irreplaceable(self, other: int) -> Iterator[int]:
        done = {p for one in self.base.strangers[other] for p in self.hands.get(one, ())}
        for seat in zip(*(way.of.seats for way in self.base.allowed[other]), strict=True):
            able = set(chain.from_iterable(seat)) - done
            if len(able) == 1:
                yield from able

    def _take(self, n: int, axis: int, place: float, team: tuple[int, ...]) -> None:
        on, outside = self.base.axes[axis], self.ready.jobs[n].outside_min
        if outside is not None:
            end = on.starts(on.place(on.starts(place) + outside))
        else:
            end = on.ends(place + self.steps[n]) if self.steps[n] > 0 else on.starts(place)
        self.ends[n], self.hands[n] = end, team
        for person in team:
            self.busy_until[person] = end
            self.free.discard(person)
        for use in self.ready.uses[n]:
            self.left[use.stock] -= use.amount
        heappush(self.running, (end, n))

    def _next_moment(self, now: float) -> float:
        while self.moments and self.moments[0] <= now + NO_TIME:
            heappop(self.moments)
        coming = [self.running[0][0]] if self.running else []
        coming += self.moments[:1]
        place = bisect_right(self.base.turns, now + NO_TIME)
        coming += self.base.turns[place : place + 1]
        return min(coming, default=inf)
