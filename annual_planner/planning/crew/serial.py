"""Serial generation: jobs in some order, each laid as early as it fits; and the same from the back."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Sequence
from heapq import heapify, heappop, heappush
from math import inf

from annual_planner.planning.crew.laying import Free, Laid, Layer, Plan
from annual_planner.planning.crew.open_time import STEP_MIN
from annual_planner.planning.crew.prepared import Link, Prepared, Way

MOST_TRIES = 400
"""How often jobs that must follow each other closely are tried further on."""


class Serial:
    """Makes plans of one problem out of orders of its jobs."""

    def __init__(self, ready: Prepared) -> None:
        self.ready = ready
        self.empty = Free(ready)
        self.bound = bound_together(ready)
        self.barred = _strangers_of(ready)
        self.layer = Layer(ready, _scarcity(ready))
        self.back_layer = Layer(ready, self.layer.liking, backwards=True)
        self.pinned = self._pinned()
        self.turns = {back: self._waiting(back) for back in (False, True)}

    def forwards(
        self, rank: Sequence[float], preferring: Sequence[Sequence[Way]] | None = None
    ) -> Plan | None:
        """Lay all jobs as early as they fit, those with a low rank first; None when one finds no place.

        `preferring`: for each job narrower ways that are tried first, in the same order as its ways; or none.
        """
        self.layer.preferring = preferring
        if self.pinned is None:
            return None
        free, plan = self.pinned[0].copy(), Plan(self.pinned[1])
        ends_by = self.ready.common.steps
        for members in self._in_turn(rank, backwards=False):
            laid = self._lay_group(free, plan, [n for n in members if n not in plan], ends_by)
            if laid is None:
                return None
            free = laid
        return plan if not self.pinned[1] or self._links_kept(plan) else None

    def backwards(self, rank: Sequence[float], ends_by: int) -> Plan | None:
        """Lay all jobs as late as they fit before a common step, those with a low rank first.

        Times by the clock between jobs are left out: the outcome serves as an order, not as a plan.
        """
        free, plan = self.empty.copy(), Plan()
        for members in self._in_turn(rank, backwards=True):
            for n in reversed(members):
                last = min([ends_by, *(plan[link.after].begins for link in self.ready.following[n])])
                laid = self.back_layer.place(free, n, 0, last, self._barred(plan, n))
                if laid is None:
                    return None
                plan[n] = laid
                free.take(n, self._way(n, laid), laid)
        return plan

    def _in_turn(self, rank: Sequence[float], backwards: bool) -> list[list[int]]:
        """Groups in order of rank, each as soon as all that it waits for is in."""
        waits, wake = self.turns[backwards]
        return [
            self.bound[g] for g in drawn([min(rank[n] for n in group) for group in self.bound], waits, wake)
        ]

    def _waiting(self, backwards: bool) -> tuple[list[int], list[list[int]]]:
        """How many groups each group waits for, and which groups wait for it."""
        return waiting(self.bound, self.ready, backwards)

    def _pinned(self) -> tuple[Free, Plan] | None:
        """Pinned jobs laid where they are held, before anything else takes their people.

        None if they clash.
        """
        free, plan = self.empty.copy(), Plan()
        for n, job in enumerate(self.ready.jobs):
            if job.pinned is not None and job.pinned.start is not None:
                laid = self.layer.place(free, n, 0, self.ready.common.steps, self._barred(plan, n))
                if laid is None:
                    return None
                plan[n] = laid
                free.take(n, self._way(n, laid), laid)
        return free, plan

    def _links_kept(self, plan: Plan) -> bool:
        for link in self.ready.links:
            first, last = self._between(plan[link.before], link)
            if not first <= plan[link.after].begins <= last:
                return False
        return True

    def _way(self, n: int, laid: Laid) -> Way:
        return self.ready.ways[n][laid.way]

    def _barred(self, plan: Plan, n: int) -> frozenset[int]:
        return frozenset(p for other in self.barred[n] if other in plan for p in plan[other].people)

    def _lay_group(self, free: Free, plan: Plan, members: Sequence[int], ends_by: int) -> Free | None:
        """Lay jobs that must follow each other closely, the first further and further on until all fit."""
        if len(members) < 2:
            return free if all(self._lay(free, plan, n, 0, ends_by) for n in members) else None
        begins_from = 0
        for _ in range(MOST_TRIES):
            trial, placed = free.copy(), Plan(plan)
            if not (first := self._lay(trial, placed, members[0], begins_from, ends_by)):
                return None
            if all(self._lay(trial, placed, n, 0, ends_by) for n in members[1:]):
                plan.update(placed)
                return trial
            begins_from = first.begins + 1
        return None

    def _lay(self, free: Free, plan: Plan, n: int, begins_from: int, ends_by: int) -> Laid | None:
        """Lay one job as early as it fits after all it waits for, if that is early enough."""
        latest = self.ready.common.steps
        for link in self.ready.before[n]:
            if link.before in plan:
                earliest, last = self._between(plan[link.before], link)
                begins_from, latest = max(begins_from, earliest), min(latest, last)
        for link in self.ready.following[n]:
            if link.after in plan:
                ends_by = min(ends_by, self._last_end(plan[link.after].begins, link))
        if begins_from > latest:
            return None
        laid = self.layer.place(free, n, begins_from, ends_by, self._barred(plan, n))
        if laid is None or laid.begins > latest:
            return None
        plan[n] = laid
        free.take(n, self._way(n, laid), laid)
        return laid

    def _between(self, before: Laid, link: Link) -> tuple[int, int]:
        """First and last common step at which the next job may begin."""
        end = before.ends
        if not link.least_min and link.most_min is None:
            return end, self.ready.common.steps
        of_nothing, axis = before.begins == end, self.ready.common_axis
        first = self.ready.earliest(axis, link.least_min, of_nothing)[end] if link.least_min else end
        if link.most_min is None:
            return first, self.ready.common.steps
        return first, self.ready.latest(axis, link.most_min, of_nothing)[end]

    def _last_end(self, begins: int, link: Link) -> int:
        """Last common step at which a job may end so that the next can begin where it lies."""
        if not link.least_min:
            return begins
        return bisect_right(self.ready.earliest(self.ready.common_axis, link.least_min), begins) - 1


def drawn(rank: Sequence[float], waits: Sequence[int], wake: Sequence[Sequence[int]]) -> list[int]:
    """Numbers by rank, each as soon as all that it waits for are drawn; those in a loop are left out."""
    left = list(waits)
    ready = [(rank[g], g) for g, count in enumerate(left) if not count]
    heapify(ready)
    found = []
    while ready:
        _, g = heappop(ready)
        found.append(g)
        for then in wake[g]:
            left[then] -= 1
            if not left[then]:
                heappush(ready, (rank[then], then))
    return found


def waiting(
    groups: Sequence[Sequence[int]], ready: Prepared, backwards: bool
) -> tuple[list[int], list[list[int]]]:
    """How many groups each group waits for, and which groups wait for it."""
    group_of = {n: g for g, members in enumerate(groups) for n in members}
    pairs = {(group_of[link.before], group_of[link.after]) for link in ready.links}
    wake: list[list[int]] = [[] for _ in groups]
    waits = [0] * len(groups)
    for one, two in sorted(pairs):
        if one != two:
            first, then = (two, one) if backwards else (one, two)
            wake[first].append(then)
            waits[then] += 1
    return waits, wake


def bound_together(ready: Prepared) -> list[list[int]]:
    """Jobs in groups of those that must follow each other within some time, in an order they can be laid in.

    Groups that would wait for each other become one.
    """
    leader = list(range(len(ready.jobs)))

    def lead(n: int) -> int:
        while leader[n] != n:
            n = leader[n]
        return n

    for link in ready.links:
        if link.most_min is not None:
            leader[lead(link.after)] = lead(link.before)
    while True:
        groups: dict[int, list[int]] = {}
        for n in in_line(ready):
            groups.setdefault(lead(n), []).append(n)
        listed = list(groups.values())
        stuck = _in_a_loop(listed, ready)
        if not stuck:
            return [_soonest_due(group, ready) for group in listed]
        for g in stuck[1:]:
            leader[lead(listed[g][0])] = lead(listed[stuck[0]][0])


def _soonest_due(group: list[int], ready: Prepared) -> list[int]:
    """A group in an order it can be laid in; of jobs that can come next, the one that must begin soonest."""
    if len(group) < 3:
        return group
    place = {n: g for g, n in enumerate(group)}
    wake = [[place[link.after] for link in ready.following[n] if link.after in place] for n in group]
    waits = [sum(link.before in place for link in ready.before[n]) for n in group]
    due = [inf] * len(group)
    for n in reversed(group):
        most = [link.most_min for link in ready.before[n] if link.most_min is not None]
        behind = [due[then] - STEP_MIN * ready.steps[n] for then in wake[place[n]]]
        due[place[n]] = min([*most, *behind], default=inf)
    return [group[g] for g in drawn(due, waits, wake)]


def _in_a_loop(groups: Sequence[Sequence[int]], ready: Prepared) -> list[int]:
    """Groups that wait for each other: those that can be drawn neither from the front nor from the back."""
    even = [0.0] * len(groups)
    reached = [set(drawn(even, *waiting(groups, ready, backwards))) for backwards in (False, True)]
    return [g for g in range(len(groups)) if g not in reached[0] and g not in reached[1]]


def in_line(ready: Prepared) -> list[int]:
    """Jobs in an order in which each comes after all that it waits for."""
    left = [len(links) for links in ready.before]
    line = [n for n, count in enumerate(left) if not count]
    for n in line:  # it grows while it is walked
        for link in ready.following[n]:
            left[link.after] -= 1
            if not left[link.after]:
                line.append(link.after)
    return line


def _strangers_of(ready: Prepared) -> list[list[int]]:
    others: list[list[int]] = [[] for _ in ready.jobs]
    for one, two in ready.strangers:
        others[one].append(two)
        others[two].append(one)
    return others


def _scarcity(ready: Prepared) -> list[int]:
    """For each person the work that only few can do: who is needed elsewhere is asked last."""
    wanted = [0.0] * len(ready.people)
    for n, ways in enumerate(ready.ways):
        for seat in ways[0].seats if ways else ():
            for person in seat:
                wanted[person] += (ready.steps[n] + 1) / len(seat)
    order = sorted(range(len(wanted)), key=lambda p: (wanted[p], ready.people[p].cost_per_hour))
    return [order.index(p) for p in range(len(wanted))]
