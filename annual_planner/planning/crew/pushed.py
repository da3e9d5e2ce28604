"""Many courses of one plan by chance when nobody re-plans: order and people stay, starts are pushed back."""

from __future__ import annotations

from typing import Any

from annual_planner.planning.crew.laying import Plan, lasting, ready_people
from annual_planner.planning.crew.order_kept import Arc, arcs, in_order
from annual_planner.planning.crew.prepared import Prepared, set_bits

MOST_PASSES = 12
"""How often a course is walked again because a job came too late after the one it must follow closely."""


class Pushed:
    """One plan, ready to be walked for many samples at once."""

    def __init__(self, ready: Prepared, plan: Plan) -> None:
        import numpy as np

        self.np = np
        self.ready, self.plan = ready, plan
        self.waits = arcs(ready, plan)
        self.order = in_order(ready, plan, self.waits)
        self.before: list[list[Arc]] = [[] for _ in plan]
        for arc in self.waits:
            self.before[arc.after].append(arc)
        self.free = ready_people(ready)
        self.next_start = [self._next_start(n) for n in range(len(plan))]
        self.on_common = [np.array(axis.on_common, np.int64) for axis in ready.axes]
        self.first_from = [self._first_from(axis) for axis in range(len(ready.axes))]

    def finishes(self, steps: Any) -> Any:
        """Finish in common steps for each sample.

        From the steps of every job (rows) in every sample (columns).
        """
        np = self.np
        least = np.zeros(steps.shape, np.int64)
        for _ in range(MOST_PASSES):
            begins, ends = self._walk(steps, least)
            if not self._hold_close(begins, ends, least):
                break
        return ends.max(axis=0)

    def _walk(self, steps: Any, least: Any) -> tuple[Any, Any]:
        begins, ends = self.np.zeros_like(steps), self.np.zeros_like(steps)
        for n in self.order:
            earliest = least[n].copy()
            for arc in self.before[n]:
                self.np.maximum(earliest, self._freed(arc, ends[arc.before]), out=earliest)
            begins[n], ends[n] = self._run(n, earliest, steps[n])
        return begins, ends

    def _freed(self, arc: Arc, ends: Any) -> Any:
        if not arc.least_min:
            return ends
        table = self._table(self.ready.earliest(self.ready.common_axis, arc.least_min))
        return table[self.np.minimum(ends, len(table) - 1)]

    def _table(self, values: tuple[int, ...]) -> Any:
        return self.np.array(values, self.np.int64)

    def _run(self, n: int, earliest: Any, steps: Any) -> tuple[Any, Any]:
        """Begin and end on the common axis.

        The first start the job allows, then its steps on its own axis.
        """
        np, way = self.np, self.ready.ways[n][self.plan[n].way]
        last = self.ready.common.steps - 1
        start = self.next_start[n][self.first_from[way.axis][np.minimum(earliest, last)]]
        on_common = self.on_common[way.axis]
        begins = on_common[np.minimum(start, len(on_common) - 1)]
        if way.ends is not None:
            back = np.array(way.ends, np.int64)[np.minimum(start, len(way.ends) - 1)]
            return begins, on_common[np.minimum(back, len(on_common) - 1)]
        end = np.minimum(start + steps, len(on_common))
        return begins, np.where(steps > 0, on_common[np.maximum(end - 1, 0)] + 1, begins)

    def _hold_close(self, begins: Any, ends: Any, least: Any) -> bool:
        """Where a job came too late after the one it must follow, put that one later. Whether any was."""
        np, late_somewhere = self.np, False
        for arc in self.waits:
            if arc.most_min is None:
                continue
            table = self._table(self.ready.latest(self.ready.common_axis, arc.most_min))
            short = begins[arc.after] - table[np.minimum(ends[arc.before], len(table) - 1)]
            late = short > 0
            if late.any():
                late_somewhere = True
                least[arc.before] = np.where(late, begins[arc.before] + short, least[arc.before])
        return late_somewhere

    def _next_start(self, n: int) -> Any:
        """For each step of a job's axis the first start at or after it that the job and its people allow."""
        laid = self.plan[n]
        way = self.ready.ways[n][laid.way]
        mask = way.starts
        for person in laid.people:
            mask &= lasting(self.free[person][way.axis], way.steps)
        steps = self.ready.axes[way.axis].steps
        table = self.np.full(steps + 1, steps, self.np.int64)
        allowed = self.np.fromiter(set_bits(mask), self.np.int64)
        table[allowed] = allowed
        return self.np.minimum.accumulate(table[::-1])[::-1]

    def _first_from(self, axis: int) -> Any:
        own = self.on_common[axis]
        return self.np.searchsorted(own, self.np.arange(self.ready.common.steps))
