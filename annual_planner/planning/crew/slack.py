"""How far each job may slip: all slips are tried at once, and the rest of the plan is pushed along.

A job that slips begins later than planned. All others keep their people, their order and their turn at zones
and tools; none begins earlier than planned, and each begins as soon after that as what it waits for lets it.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from annual_planner.planning.crew.laying import Plan, lasting, ready_people
from annual_planner.planning.crew.order_kept import Arc, in_order
from annual_planner.planning.crew.prepared import Axis, Prepared, Way, bits, set_bits

ByClock = Callable[[int, int, bool], tuple[int, ...]]


def slacks(ready: Prepared, plan: Plan) -> dict[int, int]:
    """Open steps by which each job may slip without a later finish or a missed window.

    One step more, and the finish is later, a window is missed, or there is no place for the job. The plan
    must hold every job of the problem.
    """
    import numpy as np

    if not plan:
        return {}
    slips = Slips(ready, plan)
    finish = slips.planned_ends.max()
    held = slips.windows(slips.planned_begins, slips.planned_ends)
    low = np.zeros(len(plan), np.int64)
    high = np.maximum(finish - slips.planned_begins, 1) + (slips.planned_begins == slips.planned_ends)
    while (high - low > 1).any():
        middle = (low + high) // 2
        begins, ends = slips.pushed(middle)
        fits = (ends.max(axis=0) <= finish) & (slips.windows(begins, ends) >= held[:, None]).all(axis=0)
        low, high = np.where(fits, middle, low), np.where(fits, high, middle)
    return dict(enumerate(low.tolist()))


class Slips:
    """One plan, ready to be pushed along; every array has a row for each job. Moments are common steps."""

    def __init__(self, ready: Prepared, plan: Plan) -> None:
        import numpy as np

        self.np = np
        self.ready, self.plan = ready, plan
        self.planned_begins = np.array([plan[n].begins for n in range(len(plan))])
        self.planned_ends = np.array([plan[n].ends for n in range(len(plan))])
        links = [Arc(link.before, link.after) for link in ready.links]
        self.order = in_order(ready, plan, links)
        self.free = ready_people(ready)
        self.tables: dict[tuple[str, int, bool], Any] = {}
        self.first_from = [self._first_from(axis) for axis in ready.axes]
        self.runs = [self._runs(n) for n in range(len(plan))]

    def pushed(self, slips: Any) -> tuple[Any, Any]:
        """Begins and ends of all jobs (rows) when one of them (columns) slips by its number of steps."""
        np, jobs = self.np, len(self.plan)
        begins, ends = np.zeros((jobs, jobs), np.int64), np.zeros((jobs, jobs), np.int64)
        hands: dict[int, Any] = {}
        turns = [np.zeros((stock.limit, jobs), np.int64) for stock in self.ready.stocks]
        for n in self.order:
            earliest = np.full(jobs, self.planned_begins[n])
            earliest[n] += slips[n]
            for link in self.ready.before[n]:
                of_nothing = self.plan[link.before].begins == self.plan[link.before].ends
                freed = self._freed(ends[link.before], link.least_min, of_nothing)
                np.maximum(earliest, freed, out=earliest)
            busy = self.planned_begins[n] < self.planned_ends[n]
            people = self.plan[n].people if busy else ()
            uses = self.ready.uses[n] if busy else ()
            for person in people:
                if person in hands:
                    np.maximum(earliest, hands[person], out=earliest)
            for use in uses:
                turns[use.stock].sort(axis=0)
                np.maximum(earliest, turns[use.stock][use.amount - 1], out=earliest)
            begins[n], ends[n] = self._run(n, earliest)
            hands.update(dict.fromkeys(people, ends[n]))
            for use in uses:
                turns[use.stock][: use.amount] = ends[n]
        return begins, ends

    def windows(self, begins: Any, ends: Any) -> Any:
        """For each link with a largest gap, whether it is kept."""
        np = self.np
        kept = [
            self._latest(link.most_min, ends[link.before], self._of_nothing(link.before))
            >= begins[link.after]
            for link in self.ready.links
            if link.most_min is not None
        ]
        return np.array(kept) if kept else np.ones((0, *begins.shape[1:]), bool)

    def _of_nothing(self, n: int) -> bool:
        return self.plan[n].begins == self.plan[n].ends

    def _freed(self, ends: Any, least_min: int, of_nothing: bool) -> Any:
        if not least_min:
            return ends
        table = self._table(self.ready.earliest, least_min, of_nothing)
        return table[self.np.minimum(ends, len(table) - 1)]

    def _latest(self, most_min: int, ends: Any, of_nothing: bool) -> Any:
        table = self._table(self.ready.latest, most_min, of_nothing)
        return table[self.np.minimum(ends, len(table) - 1)]

    def _table(self, by_clock: ByClock, minutes: int, of_nothing: bool) -> Any:
        key = (by_clock.__name__, minutes, of_nothing)
        if key not in self.tables:
            self.tables[key] = self.np.array(by_clock(self.ready.common_axis, minutes, of_nothing))
        return self.tables[key]

    def _run(self, n: int, earliest: Any) -> tuple[Any, Any]:
        """Begin and end of a job at its first start that is allowed; behind everything when there is none."""
        np, (begins, ends) = self.np, self.runs[n]
        way = self.ready.ways[n][self.plan[n].way]
        own = self.first_from[way.axis][np.minimum(earliest, self.ready.common.steps)]
        return begins[own], ends[own]

    def _runs(self, n: int) -> tuple[Any, Any]:
        """For each step of a job's axis: where it begins and ends when it begins there or as soon after."""
        np, laid = self.np, self.plan[n]
        way = self.ready.ways[n][laid.way]
        axis = self.ready.axes[way.axis]
        last = min(axis.first_from(int(self.planned_ends.max())), axis.steps - 1)  # later is too late anyway
        allowed = list(set_bits(self._allowed(way, laid.people) & bits(0, last)))
        following = np.searchsorted(np.array(allowed, np.int64), np.arange(axis.steps + 1))
        never = self.ready.common.steps + 1
        begins = np.array([*(axis.start_on_common(start) for start in allowed), never])
        ends = np.array([*(_end(axis, way, start) for start in allowed), never])
        return begins[following], ends[following]

    def _allowed(self, way: Way, people: tuple[int, ...]) -> int:
        mask = way.starts
        for person in people:
            mask &= lasting(self.free[person][way.axis], way.steps)
        return mask

    def _first_from(self, axis: Axis) -> Any:
        return self.np.searchsorted(
            self.np.array(axis.on_common, self.np.int64), self.np.arange(self.ready.common.steps + 1)
        )


def _end(axis: Axis, way: Way, start: int) -> int:
    if way.steps or way.ends is not None:
        return axis.end_on_common(way.end(start))
    return axis.start_on_common(start)
