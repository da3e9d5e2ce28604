"""Many courses of one plan by chance when nobody re-plans: order and people stay, starts are pushed back."""

from __future__ import annotations

from typing import Any

from annual_planner.planning.crew.by_minute import ByMinute, Many, Starts
from annual_planner.planning.crew.chances import Courses
from annual_planner.planning.crew.laying import Plan, lasting, ready_people
from annual_planner.planning.crew.order_kept import Arc, arcs, in_order
from annual_planner.planning.crew.prepared import Prepared

MOST_PASSES = 12
"""How often a course is walked again because a job came too late after the one it must follow closely."""


class Pushed:
    """One plan, ready to be walked for many samples at once. Moments are minutes since the shop's opening."""

    def __init__(self, ready: Prepared, plan: Plan) -> None:
        import numpy as np

        self.np = np
        self.ready, self.plan = ready, plan
        beginning = ready.common.when(0)
        self.axes = [Many(ByMinute(axis.calendar, beginning)) for axis in ready.axes]
        self.free = ready_people(ready)
        self.starts = [self._starts(n) for n in range(len(plan))]

    def finishes(self, courses: Courses) -> Any:
        """Finish of each course, in minutes."""
        np = self.np
        waits = arcs(self.ready, self.plan)
        least = np.zeros(courses.steps.shape)
        for _ in range(MOST_PASSES):
            begins, ends = self._walk(courses, waits, least)
            if not self._hold_close(waits, begins, ends, least):
                break
        return np.maximum(ends, np.where(courses.part_min > 0, ends + courses.part_min, 0)).max(axis=0)

    def _walk(self, courses: Courses, waits: list[Arc], least: Any) -> tuple[Any, Any]:
        begins, ends = self.np.zeros_like(least), self.np.zeros_like(least)
        before: list[list[Arc]] = [[] for _ in self.plan]
        for arc in waits:
            before[arc.after].append(arc)
        parts_of = _by_closing(courses)
        for n in in_order(self.ready, self.plan, waits):
            earliest = least[n].copy()
            for arc in before[n]:
                self.np.maximum(earliest, ends[arc.before] + arc.least_min, out=earliest)
            for finder in parts_of[n]:
                self.np.maximum(earliest, ends[finder] + courses.part_min[finder], out=earliest)
            begins[n], ends[n] = self._run(n, earliest, courses.steps[n])
        return begins, ends

    def _run(self, n: int, earliest: Any, steps: Any) -> tuple[Any, Any]:
        """Begin and end: the first start the job allows, then its steps on its own axis."""
        way = self.ready.ways[n][self.plan[n].way]
        axis = self.axes[way.axis]
        place = self.starts[n].first_of(axis.places(earliest))
        begins = axis.starts(place)
        outside = self.ready.jobs[n].outside_min
        if outside is not None:
            return begins, axis.starts(axis.places(begins + outside))
        return begins, self.np.where(steps > 0, axis.ends(place + steps), begins)

    def _hold_close(self, waits: list[Arc], begins: Any, ends: Any, least: Any) -> bool:
        """Where a job came too late after the one it must follow, put that one later. Whether any was."""
        late_somewhere = False
        for arc in waits:
            if arc.most_min is None:
                continue
            short = begins[arc.after] - ends[arc.before] - arc.most_min
            late = short > 1e-3
            if late.any():
                late_somewhere = True
                later = begins[arc.before] + short
                least[arc.before] = self.np.where(late, later, least[arc.before])
        return late_somewhere

    def _starts(self, n: int) -> Starts:
        """Where a job may start by itself and by the presence of its people."""
        laid = self.plan[n]
        way = self.ready.ways[n][laid.way]
        mask = way.starts
        for person in laid.people:
            mask &= lasting(self.free[person][way.axis], way.steps)
        return Starts(mask, self.ready.axes[way.axis].steps)


def _by_closing(courses: Courses) -> list[list[int]]:
    """For each job those whose parts it waits for."""
    found: list[list[int]] = [[] for _ in courses.closed_by]
    for finder, closing in enumerate(courses.closed_by):
        if closing is not None:
            found[closing].append(finder)
    return found
