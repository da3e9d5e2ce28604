"""The problem as a model of the solver: every rule is one short method, its docstring what it enforces."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING, Any

from annual_planner.planning.crew.clock_links import pieces_of
from annual_planner.planning.crew.laying import Laid, Plan
from annual_planner.planning.crew.pools import pools
from annual_planner.planning.crew.prepared import Prepared
from annual_planner.planning.crew.times import Times
from annual_planner.planning.crew.variables import Hint, Variables

if TYPE_CHECKING:
    from ortools.sat.python.cp_model import CpSolver, CpSolverSolutionCallback, IntervalVar, IntVar

Seen = Callable[[Any], int]
"""Value of a variable in the answer at hand."""


class Model:
    """Variables and rules of one problem up to a horizon in common steps."""

    def __init__(self, ready: Prepared, horizon: int) -> None:
        self.ready = ready
        self.horizon = horizon
        self.variables = Variables()
        self.cp = self.variables.cp
        self.times = Times(ready, horizon, self.variables)
        self.works: list[dict[int, Any]] = [{} for _ in ready.jobs]
        """By job: for each person who may, a literal that is true when they work on it."""
        self._sitting: dict[tuple[int, int, tuple[int, ...], int], IntVar] = {}
        for n in range(len(ready.jobs)):
            self._seats_are_filled(n)
        self._links_are_kept()
        for person in range(len(ready.people)):
            self._one_job_at_a_time(person)
        for stock in range(len(ready.stocks)):
            self._no_stock_over_its_limit(stock)
        self._pools_are_not_short()
        self._strangers_stay_apart()

    # ---- rules

    def _seats_are_filled(self, n: int) -> None:
        """Each seat of a job is taken by one person who may, and nobody takes two."""
        taken: defaultdict[int, list[Any]] = defaultdict(list)
        for w, way in enumerate(self.ready.ways[n]):
            for people, count in Counter(way.seats).items():
                sitting = [self._sits(n, w, people, count, p) for p in people]
                self.cp.add(sum(sitting) == count * self.times.chosen[n][w])
                for p, literal in zip(people, sitting, strict=True):
                    taken[p].append(literal)
        for p, literals in taken.items():
            self.works[n][p] = literals[0] if len(literals) == 1 else self._works(n, p, literals)

    def _sits(self, n: int, w: int, people: tuple[int, ...], count: int, p: int) -> Any:
        if len(people) == count and len(self.ready.ways[n]) == 1:
            self._sitting[n, w, people, p] = self.cp.new_constant(1)
        else:
            key = (n, w, people, p)
            self._sitting[key] = self.variables.new_bool(f"sits {n}.{w} {p}", _sits_there(self.ready, *key))
        return self._sitting[n, w, people, p]

    def _works(self, n: int, p: int, literals: Sequence[Any]) -> IntVar:
        works = self.variables.new_bool(f"works {n} {p}", lambda plan: p in plan[n].people)
        self.cp.add(sum(literals) == works)
        return works

    def _links_are_kept(self) -> None:
        """A job begins when all it waits for has ended, and the time by the clock between is kept."""
        for link in self.ready.links:
            if not (self.ready.ways[link.before] and self.ready.ways[link.after]):
                continue
            axis = self.times.frame((link.before, link.after))
            end, start = self.times.of(link.before, axis)[1], self.times.of(link.after, axis)[0]
            of_nothing = not self.ready.steps[link.before] and self._takes_open_time(link.before)
            name = f"link {link.before} {link.after}"
            self.cp.add(start >= end)
            if link.least_min:
                self._least_between(end, start, axis, link.before, link.least_min, of_nothing, name)
            if link.most_min is not None:
                self._most_between(end, start, axis, link.before, link.most_min, of_nothing, name)

    def _takes_open_time(self, n: int) -> bool:
        """Whether a job takes open time, as against time by the clock outside the shop."""
        return self.ready.jobs[n].outside_min is None

    def _least_between(
        self, end: Any, start: Any, axis: int, n: int, minutes: int, of_nothing: bool, name: str
    ) -> None:
        """The next job begins no sooner than so many minutes after the one before has ended."""
        table = self.ready.earliest(axis, minutes, of_nothing)
        pieces = pieces_of(table, 0, self.times.last_on(axis))
        literals = self.times.on_pieces(end, pieces, f"{name} least", self.times.end_in(n, axis))
        for literal, piece in zip(literals, pieces, strict=True):
            self.cp.add(start >= piece.value + (end if piece.runs else 0)).only_enforce_if(literal)

    def _most_between(
        self, end: Any, start: Any, axis: int, n: int, minutes: int, of_nothing: bool, name: str
    ) -> None:
        """The next job begins no later than so many minutes after the one before has ended."""
        table = self.ready.latest(axis, minutes, of_nothing)
        pieces = pieces_of(table, 0, self.times.last_on(axis))
        literals = self.times.on_pieces(end, pieces, f"{name} most", self.times.end_in(n, axis))
        for literal, piece in zip(literals, pieces, strict=True):
            self.cp.add(start <= piece.value + (end if piece.runs else 0)).only_enforce_if(literal)

    def _one_job_at_a_time(self, person: int) -> None:
        """Nobody works on two jobs at once, and nobody works while away."""
        jobs = [n for n in range(len(self.ready.jobs)) if person in self.works[n]]
        axis = self.times.frame(jobs, self.ready.person_axis[person])
        taken = [self.times.interval_of_person(n, axis, person, self.works[n][person]) for n in jobs]
        taken += self._absences(person, axis)
        if len(taken) > 1:
            self.cp.add_no_overlap(taken)

    def _absences(self, person: int, axis: int) -> list[IntervalVar]:
        calendar, found = self.ready.axes[axis].calendar, []
        for away in self.ready.people[person].away:
            first, after = calendar.steps_by(away.start), calendar.step_at(away.end)
            if first < after and first < self.times.last_on(axis):
                found.append(self.cp.new_fixed_size_interval_var(first, after - first, f"away {person}"))
        return found

    def _no_stock_over_its_limit(self, stock: int) -> None:
        """No room holds more people than it can, and no more of a tool is in use than there are."""
        users = [
            (n, use.amount)
            for n, uses in enumerate(self.ready.uses)
            for use in uses
            if use.stock == stock and self.ready.ways[n]
        ]
        limit = self.ready.stocks[stock].limit
        if sum(amount for _, amount in users) <= limit:
            return
        axis = self.times.frame([n for n, _ in users])
        intervals = [self.times.interval(n, axis) for n, _ in users]
        if all(2 * amount > limit for _, amount in users):
            self.cp.add_no_overlap(intervals)
        else:
            self.cp.add_cumulative(intervals, [amount for _, amount in users], limit)

    def _pools_are_not_short(self) -> None:
        """At any moment the people of a pool are enough for the seats that only they may take (redundant)."""
        for pool, demands in pools(self.ready):
            users = [n for n, demand in enumerate(demands) if demand]
            axis = self.times.frame(users)
            intervals = [self.times.interval(n, axis) for n in users]
            amounts = [demands[n] for n in users]
            for person in pool:
                absences = self._absences(person, axis)
                intervals += absences
                amounts += [1] * len(absences)
            self.cp.add_cumulative(intervals, amounts, len(pool))

    def _strangers_stay_apart(self) -> None:
        """Nobody works on a job that asks for other hands than those of a job they worked on."""
        for one, two in self.ready.strangers:
            for person in self.works[one].keys() & self.works[two].keys():
                self.cp.add(self.works[one][person] + self.works[two][person] <= 1)

    # ---- answers

    def finish(self) -> Any:
        """The end of the last job, in common steps, as a variable."""
        finish = self.variables.new_int(
            0, self.horizon, "finish", lambda plan: max(laid.ends for laid in plan.values())
        )
        for n in range(len(self.ready.jobs)):
            if not self.ready.following[n] or not self.ready.steps[n]:
                self.cp.add(finish >= self.times.of(n, self.ready.common_axis)[1])
        return finish

    def plan(self, seen: Seen) -> Plan:
        """The plan of an answer."""
        return {n: self._laid(n, seen) for n in range(len(self.ready.jobs))}

    def _laid(self, n: int, seen: Seen) -> Laid:
        ways = self.ready.ways[n]
        w = next(w for w in range(len(ways)) if len(ways) == 1 or seen(self.times.chosen[n][w]))
        way, start = ways[w], seen(self.times.starts[n][w])
        axis = self.ready.axes[way.axis]
        begins = axis.start_on_common(start)
        ends = axis.end_on_common(way.end(start)) if way.steps or way.ends is not None else begins
        sitting = {
            people: [p for p in people if seen(self._sitting[n, w, people, p])]
            for people in sorted(set(way.seats))
        }
        return Laid(w, start, begins, ends, tuple(sitting[people].pop(0) for people in way.seats))


def seen_by(solver: CpSolver | CpSolverSolutionCallback) -> Seen:
    """How to read values of an answer."""
    return lambda variable: int(solver.value(variable))


def _sits_there(ready: Prepared, n: int, w: int, people: tuple[int, ...], p: int) -> Hint:
    def sits(plan: Plan) -> int:
        laid = plan[n]
        seats = ready.ways[n][w].seats
        return laid.way == w and any(
            seat == people and who == p for seat, who in zip(seats, laid.people, strict=True)
        )

    return sits
