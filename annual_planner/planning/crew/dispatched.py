"""One course by chance when the shop re-plans as it goes: at each end the next job goes to whoever is free.

No look into the future: a choice at any moment knows only what has ended by then and the likely hours of the
rest.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterator, Sequence

from annual_planner.planning.crew.laying import Plan, lasting, ready_people, seated
from annual_planner.planning.crew.prepared import Prepared, stretches
from annual_planner.planning.crew.serial import Serial

Steps = Sequence[int]


class Dispatch:
    """A plan as an order of importance, for walking courses one sample at a time."""

    def __init__(self, ready: Prepared, plan: Plan) -> None:
        self.ready, self.plan = ready, plan
        self.order = sorted(plan, key=lambda n: (plan[n].begins, plan[n].ends, n))
        self.liking = Serial(ready).layer.liking
        people = ready_people(ready)
        self.allowed = [
            [(way, {p: lasting(people[p][way.axis], way.steps) for p in _sitting(way.seats)}) for way in ways]
            for ways in ready.ways
        ]
        self.turns = sorted(set(self._openings()))

    def _openings(self) -> Iterator[int]:
        """Moments from which something may begin that could not before, whatever the others do."""
        for ways in self.allowed:
            for way, people in ways:
                axis = self.ready.axes[way.axis]
                for mask in (way.starts, *people.values()):
                    yield from (axis.on_common[first] for first, _ in stretches(mask) if first < axis.steps)

    def finish(self, steps: Steps, extra: Steps) -> int:
        """Finish in common steps with these steps for each job, and so many more found by it."""
        course = _Course(self, steps, extra)
        return course.run()


def _sitting(seats: Sequence[Sequence[int]]) -> set[int]:
    return {p for seat in seats for p in seat}


class _Course:
    """One course: what has ended, what is running, who and what is taken, at a moving moment."""

    def __init__(self, base: Dispatch, steps: Steps, extra: Steps) -> None:
        self.base, self.ready = base, base.ready
        self.steps = [steps[n] + extra[n] for n in range(len(steps))]
        self.waiting = list(base.order)
        self.ends: dict[int, int] = {}
        self.hands: dict[int, tuple[int, ...]] = {}
        self.busy_until = [0] * len(self.ready.people)
        self.left = [stock.limit for stock in self.ready.stocks]
        self.running: list[tuple[int, int]] = []
        self.moments: set[int] = set()

    def run(self) -> int:
        """Walk from moment to moment until all jobs have begun; the end of the last."""
        now, last = 0, self.ready.common.steps - 1
        while self.waiting and now < last:
            self._free_what_ended(now)
            self._start_what_can(now)
            now = self._next_moment(now, last)
        return max(self.ends.values(), default=0) if not self.waiting else self.ready.common.steps

    def _free_what_ended(self, now: int) -> None:
        still = []
        for end, n in self.running:
            if end > now:
                still.append((end, n))
                continue
            for use in self.ready.uses[n]:
                self.left[use.stock] += use.amount
        self.running = still

    def _start_what_can(self, now: int) -> None:
        begun = True
        while begun:
            begun = False
            for n in list(self.waiting):
                if self._may_begin(n, now) and self._begin(n, now):
                    self.waiting.remove(n)
                    begun = True

    def _may_begin(self, n: int, now: int) -> bool:
        if any(self.left[use.stock] < use.amount for use in self.ready.uses[n]):
            return False
        for link in self.ready.before[n]:
            if link.before not in self.ends:
                return False
            end = self.ends[link.before]
            if end >= self.ready.common.steps:
                return False
            free = self.ready.earliest(self.ready.common_axis, link.least_min)[end] if link.least_min else end
            if free > now:
                self.moments.add(free)
                return False
        return True

    def _begin(self, n: int, now: int) -> bool:
        for way, people in self.base.allowed[n]:
            axis = self.ready.axes[way.axis]
            start = axis.first_from(now)
            if start >= axis.steps or axis.start_on_common(start) != now or not way.starts >> start & 1:
                continue
            barred = self._barred(n)
            fitting = {p: m for p, m in people.items() if self.busy_until[p] <= now and p not in barred}
            team = seated(way.seats, fitting, start, self.base.liking)
            if team is not None:
                self._take(n, way.axis, start, team, way.ends)
                return True
        return False

    def _barred(self, n: int) -> set[int]:
        others = (one + two - n for one, two in self.ready.strangers if n in (one, two))
        return {person for other in others for person in self.hands.get(other, ())}

    def _take(
        self, n: int, axis: int, start: int, team: tuple[int, ...], ends: tuple[int, ...] | None
    ) -> None:
        on = self.ready.axes[axis]
        end = ends[start] if ends is not None else min(start + self.steps[n], on.steps)
        ended = on.end_on_common(end) if end > start else on.start_on_common(start)
        self.ends[n], self.hands[n] = ended, team
        for person in team:
            self.busy_until[person] = ended
        for use in self.ready.uses[n]:
            self.left[use.stock] -= use.amount
        self.running.append((ended, n))

    def _next_moment(self, now: int, last: int) -> int:
        coming = [end for end, _ in self.running if end > now]
        coming += [moment for moment in self.moments if moment > now]
        place = bisect_right(self.base.turns, now)
        coming += self.base.turns[place : place + 1]
        return min(coming, default=last)
