"""The problem as a model of the solver: every rule is one short method, its docstring what it enforces.

Starts lie on the axis of those who work. A job, person or room whose times meet other axes gets times on the
axis that all have in common, tied to its own by straight pieces; nothing else pays for that.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Callable, Iterator, Sequence
from typing import TYPE_CHECKING, Any

from annual_planner.planning.crew.clock_links import Piece, chosen_piece, pieces_of
from annual_planner.planning.crew.laying import Laid, Plan
from annual_planner.planning.crew.pools import pools
from annual_planner.planning.crew.prepared import Axis, Prepared, Way, bits, set_bits, stretches

if TYPE_CHECKING:
    from ortools.sat.python.cp_model import CpSolver, CpSolverSolutionCallback, IntervalVar, IntVar

Seen = Callable[[Any], int]
"""Value of a variable in the answer at hand."""


class Model:
    """Variables and rules of one problem up to a horizon in common steps."""

    def __init__(self, ready: Prepared, horizon: int) -> None:
        from ortools.sat.python import cp_model

        self.ready = ready
        self.horizon = horizon
        self.cp = cp_model.CpModel()
        self._domain = cp_model.Domain
        self.hints: list[tuple[IntVar, Callable[[Plan], int]]] = []
        self.chosen: list[list[Any]] = []
        self.starts: list[list[Any]] = []
        self.ends: list[list[Any]] = []
        self.sits: dict[tuple[int, int, tuple[int, ...], int], IntVar] = {}
        self.works: list[dict[int, Any]] = [{} for _ in ready.jobs]
        self._common: dict[int, tuple[Any, Any]] = {}
        self._intervals: dict[tuple[int, int], IntervalVar] = {}
        self._sizes: dict[tuple[int, int], IntVar] = {}
        for n in range(len(ready.jobs)):
            self._lay_on_axes(n)
        for n in range(len(ready.jobs)):
            self._seats_are_filled(n)
        self._links_are_kept()
        for person in range(len(ready.people)):
            self._one_job_at_a_time(person)
        for stock in range(len(ready.stocks)):
            self._no_stock_over_its_limit(stock)
        self._pools_are_not_short()
        self._strangers_stay_apart()

    # ---- variables

    def _lay_on_axes(self, n: int) -> None:
        """Each job is done in one of its ways, and starts where that way may start."""
        ways = self.ready.ways[n]
        several = len(ways) > 1
        literals = [self._new_bool(f"way {n}.{w}", _is_way(n, w)) for w in range(len(ways) if several else 0)]
        self.chosen.append(literals or [True])
        if several:
            self.cp.add_exactly_one(self.chosen[n])
        if not ways:
            self.cp.add_bool_or([])
        self.starts.append([])
        self.ends.append([])
        for w, way in enumerate(ways):
            self._lay_in_way(n, w, way)

    def _lay_in_way(self, n: int, w: int, way: Way) -> None:
        mask = way.starts & bits(0, self._last_on(way.axis) - way.steps)
        if not mask:
            self._never(n, w)
            mask = 1
        start = self.cp.new_int_var_from_domain(
            self._domain.from_intervals([list(s) for s in stretches(mask)]), f"start {n}.{w}"
        )
        self.hints.append((start, _start_in(n, w, next(set_bits(mask)))))
        self.starts[n].append(start)
        self.ends[n].append(start + way.steps if way.ends is None else self._ends_by_clock(n, w, way, start))

    def _never(self, n: int, w: int) -> None:
        chosen = self.chosen[n][w]
        self.cp.add_bool_or([] if chosen is True else [chosen.Not()])

    def _ends_by_clock(self, n: int, w: int, way: Way, start: Any) -> Any:
        """What is sent away is back when so much time has passed by the clock."""
        assert way.ends is not None
        ends = way.ends
        last = min(len(ends), self.horizon + 1) - 1
        pieces = pieces_of(ends, 0, last)
        end = self.cp.new_int_var(0, self.ready.axes[way.axis].steps, f"end {n}.{w}")
        self.hints.append((end, lambda plan: ends[plan[n].start] if plan[n].way == w else 0))
        self._tie(start, end, pieces, f"away {n}.{w}", lambda plan: plan[n].start, None)
        return end

    def _tie(
        self,
        step: Any,
        value: Any,
        pieces: Sequence[Piece],
        name: str,
        hint: Callable[[Plan], int],
        only_if: Any,
    ) -> None:
        """Hold a value to what a table says for a step."""
        literals = self._on_pieces(step, pieces, name, hint, only_if)
        for literal, piece in zip(literals, pieces, strict=True):
            self.cp.add(value == piece.value + (step if piece.runs else 0)).only_enforce_if(literal)

    def _on_pieces(
        self, step: Any, pieces: Sequence[Piece], name: str, hint: Callable[[Plan], int], only_if: Any
    ) -> list[IntVar]:
        literals = chosen_piece(self.cp, step, pieces, name, only_if)
        for literal, piece in zip(literals, pieces, strict=True):
            self.hints.append((literal, _lies_on(piece, hint)))
        return literals

    def _new_bool(self, name: str, hint: Callable[[Plan], int]) -> IntVar:
        literal = self.cp.new_bool_var(name)
        self.hints.append((literal, hint))
        return literal

    def _last_on(self, axis: int) -> int:
        """Last end on an axis that is within the horizon."""
        return self.ready.axes[axis].first_from(self.horizon)

    def single_axis(self, n: int) -> int | None:
        """The axis of a job that can be done in one way only."""
        ways = self.ready.ways[n]
        return ways[0].axis if len(ways) == 1 else None

    def times(self, n: int, axis: int) -> tuple[Any, Any]:
        """Start and end of a job on an axis: its own, or else the one all have in common."""
        if self.single_axis(n) == axis:
            return self.starts[n][0], self.ends[n][0]
        assert axis == self.ready.common_axis
        if n not in self._common:
            self._common[n] = self._times_in_common(n)
        return self._common[n]

    def _times_in_common(self, n: int) -> tuple[Any, Any]:
        """Start and end on the common axis follow from those on the axis of the chosen way."""
        begins = self.cp.new_int_var(0, self.horizon, f"begins {n}")
        ends = self.cp.new_int_var(0, self.horizon, f"ends {n}")
        self.hints += [(begins, lambda plan: plan[n].begins), (ends, lambda plan: plan[n].ends)]
        self.cp.add(begins + min(way.steps for way in self.ready.ways[n]) <= ends)
        for w, way in enumerate(self.ready.ways[n]):
            only_if = None if len(self.ready.ways[n]) == 1 else self.chosen[n][w]
            self._tie_to_common(n, w, way, (begins, ends), only_if)
        return begins, ends

    def _tie_to_common(self, n: int, w: int, way: Way, common: tuple[Any, Any], only_if: Any) -> None:
        axis, last = self.ready.axes[way.axis], self._last_on(way.axis)
        start, end = self.starts[n][w], self.ends[n][w]
        of_start = [Piece(a, min(b, last), True, add) for a, b, add in axis.runs if a <= last]
        self._tie(start, common[0], of_start, f"from {n}.{w}", _own_start(n, w), only_if)
        if way.steps or way.ends is not None:
            of_end = list(_ends_on_common(axis, last))
            self._tie(end, common[1], of_end, f"to {n}.{w}", _own_end(n, w, way), only_if)
        else:
            self.cp.add(common[1] == common[0]).only_enforce_if(self.chosen[n][w])

    def interval(self, n: int, axis: int) -> IntervalVar:
        """The stretch of an axis that a job takes, whoever does it."""
        if (n, axis) not in self._intervals:
            start, end = self.times(n, axis)
            self._intervals[n, axis] = (
                self.cp.new_fixed_size_interval_var(start, self.ready.steps[n], f"job {n}")
                if self._is_fixed(n, axis)
                else self.cp.new_interval_var(start, self._size(n, axis), end, f"job {n}")
            )
        return self._intervals[n, axis]

    def _is_fixed(self, n: int, axis: int) -> bool:
        """Whether a job takes the same number of steps on an axis wherever it starts."""
        return self.single_axis(n) == axis and self.ready.ways[n][0].ends is None

    def _size(self, n: int, axis: int) -> IntVar:
        """Steps of an axis from start to end of a job that pauses over other people's time."""
        if (n, axis) not in self._sizes:
            least = min(way.steps for way in self.ready.ways[n])
            size = self.cp.new_int_var(least, self.horizon, f"size {n}")
            self.hints.append((size, self._size_in(n, axis)))
            self._sizes[n, axis] = size
        return self._sizes[n, axis]

    def _size_in(self, n: int, axis: int) -> Callable[[Plan], int]:
        if self.single_axis(n) == axis:
            way = self.ready.ways[n][0]
            return lambda plan: way.end(plan[n].start) - plan[n].start
        return lambda plan: plan[n].ends - plan[n].begins

    def frame(self, jobs: Sequence[int], axis: int | None = None) -> int:
        """The axis on which these jobs can be compared: their own if they have one and the same."""
        axes = {self.single_axis(n) for n in jobs} | ({axis} if axis is not None else set())
        only = axes.pop() if len(axes) == 1 else None
        return self.ready.common_axis if only is None else only

    # ---- rules

    def _seats_are_filled(self, n: int) -> None:
        """Each seat of a job is taken by one person who may, and nobody takes two."""
        taken: defaultdict[int, list[Any]] = defaultdict(list)
        for w, way in enumerate(self.ready.ways[n]):
            for people, count in Counter(way.seats).items():
                sitting = [self._sits(n, w, people, count, p) for p in people]
                self.cp.add(sum(sitting) == count * self.chosen[n][w])
                for p, literal in zip(people, sitting, strict=True):
                    taken[p].append(literal)
        for p, literals in taken.items():
            self.works[n][p] = literals[0] if len(literals) == 1 else self._works(n, p, literals)

    def _sits(self, n: int, w: int, people: tuple[int, ...], count: int, p: int) -> Any:
        if len(people) == count and len(self.ready.ways[n]) == 1:
            self.sits[n, w, people, p] = self.cp.new_constant(1)
        else:
            key = (n, w, people, p)
            self.sits[key] = self._new_bool(f"sits {n}.{w} {p}", _sits_there(self.ready, *key))
        return self.sits[n, w, people, p]

    def _works(self, n: int, p: int, literals: Sequence[Any]) -> IntVar:
        works = self._new_bool(f"works {n} {p}", lambda plan: p in plan[n].people)
        self.cp.add(sum(literals) == works)
        return works

    def _links_are_kept(self) -> None:
        """A job begins when all it waits for has ended, and the time by the clock between is kept."""
        for link in self.ready.links:
            if not (self.ready.ways[link.before] and self.ready.ways[link.after]):
                continue
            axis = self.frame((link.before, link.after))
            end, start = self.times(link.before, axis)[1], self.times(link.after, axis)[0]
            of_nothing = not self.ready.steps[link.before] and self.jobs_outside(link.before)
            name = f"link {link.before} {link.after}"
            self.cp.add(start >= end)
            if link.least_min:
                self._least_between(end, start, axis, link.before, link.least_min, of_nothing, name)
            if link.most_min is not None:
                self._most_between(end, start, axis, link.before, link.most_min, of_nothing, name)

    def jobs_outside(self, n: int) -> bool:
        """Whether a job takes open time, as against time by the clock outside the shop."""
        return self.ready.jobs[n].outside_min is None

    def _least_between(
        self, end: Any, start: Any, axis: int, n: int, minutes: int, of_nothing: bool, name: str
    ) -> None:
        """The next job begins no sooner than so many minutes after the one before has ended."""
        table = self.ready.earliest(axis, minutes, of_nothing)
        pieces = pieces_of(table, 0, self._last_on(axis))
        literals = self._on_pieces(end, pieces, f"{name} least", self._end_on(n, axis), None)
        for literal, piece in zip(literals, pieces, strict=True):
            self.cp.add(start >= piece.value + (end if piece.runs else 0)).only_enforce_if(literal)

    def _most_between(
        self, end: Any, start: Any, axis: int, n: int, minutes: int, of_nothing: bool, name: str
    ) -> None:
        """The next job begins no later than so many minutes after the one before has ended."""
        table = self.ready.latest(axis, minutes, of_nothing)
        pieces = pieces_of(table, 0, self._last_on(axis))
        literals = self._on_pieces(end, pieces, f"{name} most", self._end_on(n, axis), None)
        for literal, piece in zip(literals, pieces, strict=True):
            self.cp.add(start <= piece.value + (end if piece.runs else 0)).only_enforce_if(literal)

    def _end_on(self, n: int, axis: int) -> Callable[[Plan], int]:
        """End of a job in a plan, on an axis."""
        if self.single_axis(n) == axis:
            way = self.ready.ways[n][0]
            return lambda plan: way.end(plan[n].start)
        return lambda plan: plan[n].ends

    def _one_job_at_a_time(self, person: int) -> None:
        """Nobody works on two jobs at once, and nobody works while away."""
        jobs = [n for n in range(len(self.ready.jobs)) if person in self.works[n]]
        axis = self.frame(jobs, self.ready.person_axis[person])
        taken = [self._interval_of(n, axis, person) for n in jobs]
        taken += self._absences(person, axis)
        if len(taken) > 1:
            self.cp.add_no_overlap(taken)

    def _interval_of(self, n: int, axis: int, person: int) -> IntervalVar:
        start, end = self.times(n, axis)
        works, name = self.works[n][person], f"job {n} of {person}"
        if self._is_fixed(n, axis):
            return self.cp.new_optional_fixed_size_interval_var(start, self.ready.steps[n], works, name)
        return self.cp.new_optional_interval_var(start, self._size(n, axis), end, works, name)

    def _absences(self, person: int, axis: int) -> list[IntervalVar]:
        calendar, found = self.ready.axes[axis].calendar, []
        for away in self.ready.people[person].away:
            first, after = calendar.steps_by(away.start), calendar.step_at(away.end)
            if first < after and first < self._last_on(axis):
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
        axis = self.frame([n for n, _ in users])
        intervals = [self.interval(n, axis) for n, _ in users]
        if all(2 * amount > limit for _, amount in users):
            self.cp.add_no_overlap(intervals)
        else:
            self.cp.add_cumulative(intervals, [amount for _, amount in users], limit)

    def _pools_are_not_short(self) -> None:
        """At any moment the people of a pool are enough for the seats that only they may take (redundant)."""
        for pool, demands in pools(self.ready):
            users = [n for n, demand in enumerate(demands) if demand]
            axis = self.frame(users)
            intervals = [self.interval(n, axis) for n in users]
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
        finish = self.cp.new_int_var(0, self.horizon, "finish")
        self.hints.append((finish, lambda plan: max(laid.ends for laid in plan.values())))
        for n in range(len(self.ready.jobs)):
            if not self.ready.following[n] or not self.ready.steps[n]:
                self.cp.add(finish >= self.times(n, self.ready.common_axis)[1])
        return finish

    def hint(self, plan: Plan) -> None:
        """Tell the solver a plan to begin with."""
        self.cp.clear_hints()  # type: ignore[no-untyped-call]
        for variable, value in self.hints:
            self.cp.add_hint(variable, value(plan))

    def plan(self, seen: Seen) -> Plan:
        """The plan of an answer."""
        return {n: self._laid(n, seen) for n in range(len(self.ready.jobs))}

    def _laid(self, n: int, seen: Seen) -> Laid:
        ways = self.ready.ways[n]
        w = next(w for w in range(len(ways)) if len(ways) == 1 or seen(self.chosen[n][w]))
        way, start = ways[w], seen(self.starts[n][w])
        axis = self.ready.axes[way.axis]
        begins = axis.start_on_common(start)
        ends = axis.end_on_common(way.end(start)) if way.steps or way.ends is not None else begins
        sitting = {
            people: [p for p in people if seen(self.sits[n, w, people, p])]
            for people in sorted(set(way.seats))
        }
        return Laid(w, start, begins, ends, tuple(sitting[people].pop(0) for people in way.seats))


def seen_by(solver: CpSolver | CpSolverSolutionCallback) -> Seen:
    """How to read values of an answer."""
    return lambda variable: int(solver.value(variable))


def _ends_on_common(axis: Axis, last: int) -> Iterator[Piece]:
    yield Piece(0, 0, False, axis.on_common[0])
    yield from (Piece(a + 1, min(b + 1, last), True, add) for a, b, add in axis.runs if a + 1 <= last)


def _is_way(n: int, w: int) -> Callable[[Plan], int]:
    return lambda plan: plan[n].way == w


def _start_in(n: int, w: int, else_at: int) -> Callable[[Plan], int]:
    return lambda plan: plan[n].start if plan[n].way == w else else_at


def _own_start(n: int, w: int) -> Callable[[Plan], int]:
    return lambda plan: plan[n].start if plan[n].way == w else -1


def _own_end(n: int, w: int, way: Way) -> Callable[[Plan], int]:
    return lambda plan: way.end(plan[n].start) if plan[n].way == w else -1


def _lies_on(piece: Piece, step: Callable[[Plan], int]) -> Callable[[Plan], int]:
    return lambda plan: piece.first <= step(plan) <= piece.last


def _sits_there(ready: Prepared, n: int, w: int, people: tuple[int, ...], p: int) -> Callable[[Plan], int]:
    def sits(plan: Plan) -> int:
        laid = plan[n]
        seats = ready.ways[n][w].seats
        return laid.way == w and any(
            seat == people and who == p for seat, who in zip(seats, laid.people, strict=True)
        )

    return sits
