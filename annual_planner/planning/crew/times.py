"""When jobs start and end, as variables of the solver.

Starts lie on the axis of those who work. A job, person or room whose times meet other axes gets times on the
axis that all have in common, tied to its own by straight pieces; nothing else pays for that.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING, Any

from annual_planner.planning.crew.clock_links import Piece, chosen_piece, pieces_of
from annual_planner.planning.crew.prepared import Axis, Prepared, Way, bits, set_bits
from annual_planner.planning.crew.variables import Hint, Variables

if TYPE_CHECKING:
    from ortools.sat.python.cp_model import IntervalVar, IntVar


class Times:
    """Ways, starts and ends of all jobs up to a horizon in common steps."""

    def __init__(self, ready: Prepared, horizon: int, variables: Variables) -> None:
        self.ready = ready
        self.horizon = horizon
        self._variables = variables
        self.cp = variables.cp
        self.chosen: list[list[Any]] = []
        """By job and way: a literal, true when the job is done in that way."""
        self.starts: list[list[Any]] = []
        """By job and way, on the axis of the way."""
        self._ends: list[list[Any]] = []
        self._common: dict[int, tuple[Any, Any]] = {}
        self._intervals: dict[tuple[int, int], IntervalVar] = {}
        self._sizes: dict[tuple[int, int], IntVar] = {}
        for n in range(len(ready.jobs)):
            self._lay_on_axes(n)

    def _lay_on_axes(self, n: int) -> None:
        """Each job is done in one of its ways, and starts where that way may start."""
        ways = self.ready.ways[n]
        several = len(ways) > 1
        literals = [
            self._variables.new_bool(f"way {n}.{w}", _is_way(n, w))
            for w in range(len(ways) if several else 0)
        ]
        self.chosen.append(literals or [True])
        if several:
            self.cp.add_exactly_one(self.chosen[n])
        if not ways:
            self.cp.add_bool_or([])
        self.starts.append([])
        self._ends.append([])
        for w, way in enumerate(ways):
            self._lay_in_way(n, w, way)

    def _lay_in_way(self, n: int, w: int, way: Way) -> None:
        mask = way.starts & bits(0, self.last_on(way.axis) - way.steps)
        if not mask:
            self._never(n, w)
            mask = 1
        start = self._variables.new_step(mask, f"start {n}.{w}", _start_in(n, w, next(set_bits(mask))))
        self.starts[n].append(start)
        by_clock = way.ends is not None
        self._ends[n].append(self._ends_by_clock(n, w, way, start) if by_clock else start + way.steps)

    def _never(self, n: int, w: int) -> None:
        chosen = self.chosen[n][w]
        self.cp.add_bool_or([] if chosen is True else [chosen.Not()])

    def _ends_by_clock(self, n: int, w: int, way: Way, start: Any) -> Any:
        """What is sent away is back when so much time has passed by the clock."""
        assert way.ends is not None
        ends = way.ends
        last = min(len(ends), self.horizon + 1) - 1
        pieces = pieces_of(ends, 0, last)
        end = self._variables.new_int(
            0,
            self.ready.axes[way.axis].steps,
            f"end {n}.{w}",
            lambda plan: ends[plan[n].start] if plan[n].way == w else 0,
        )
        self._tie(start, end, pieces, f"away {n}.{w}", lambda plan: plan[n].start, None)
        return end

    def _tie(
        self, step: Any, value: Any, pieces: Sequence[Piece], name: str, hint: Hint, only_if: Any
    ) -> None:
        """Hold a value to what a table says for a step."""
        literals = self.on_pieces(step, pieces, name, hint, only_if)
        for literal, piece in zip(literals, pieces, strict=True):
            self.cp.add(value == piece.value + (step if piece.runs else 0)).only_enforce_if(literal)

    def on_pieces(
        self, step: Any, pieces: Sequence[Piece], name: str, hint: Hint, only_if: Any = None
    ) -> list[IntVar]:
        """A literal for each piece of a table: true on that on which the step lies. `hint`: the step."""
        literals = chosen_piece(self.cp, step, pieces, name, only_if)
        for literal, piece in zip(literals, pieces, strict=True):
            self._variables.hinted(literal, _lies_on(piece, hint))
        return literals

    def last_on(self, axis: int) -> int:
        """Last end on an axis that is within the horizon."""
        return self.ready.axes[axis].first_from(self.horizon)

    def single_axis(self, n: int) -> int | None:
        """The axis of a job that can be done in one way only."""
        ways = self.ready.ways[n]
        return ways[0].axis if len(ways) == 1 else None

    def frame(self, jobs: Sequence[int], axis: int | None = None) -> int:
        """The axis on which these jobs can be compared: their own if they have one and the same."""
        axes = {self.single_axis(n) for n in jobs} | ({axis} if axis is not None else set())
        only = axes.pop() if len(axes) == 1 else None
        return self.ready.common_axis if only is None else only

    def of(self, n: int, axis: int) -> tuple[Any, Any]:
        """Start and end of a job on an axis: its own, or else the one all have in common."""
        if self.single_axis(n) == axis:
            return self.starts[n][0], self._ends[n][0]
        assert axis == self.ready.common_axis
        if n not in self._common:
            self._common[n] = self._times_in_common(n)
        return self._common[n]

    def _times_in_common(self, n: int) -> tuple[Any, Any]:
        """Start and end on the common axis follow from those on the axis of the chosen way."""
        begins = self._variables.new_int(0, self.horizon, f"begins {n}", lambda plan: plan[n].begins)
        ends = self._variables.new_int(0, self.horizon, f"ends {n}", lambda plan: plan[n].ends)
        self.cp.add(begins + min(way.steps for way in self.ready.ways[n]) <= ends)
        for w, way in enumerate(self.ready.ways[n]):
            only_if = None if len(self.ready.ways[n]) == 1 else self.chosen[n][w]
            self._tie_to_common(n, w, way, (begins, ends), only_if)
        return begins, ends

    def _tie_to_common(self, n: int, w: int, way: Way, common: tuple[Any, Any], only_if: Any) -> None:
        axis, last = self.ready.axes[way.axis], self.last_on(way.axis)
        start, end = self.starts[n][w], self._ends[n][w]
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
            start, end = self.of(n, axis)
            self._intervals[n, axis] = (
                self.cp.new_fixed_size_interval_var(start, self.ready.steps[n], f"job {n}")
                if self._is_fixed(n, axis)
                else self.cp.new_interval_var(start, self._size(n, axis), end, f"job {n}")
            )
        return self._intervals[n, axis]

    def interval_of_person(self, n: int, axis: int, person: int, works: Any) -> IntervalVar:
        """The stretch of an axis that a job takes of a person, where they work on it."""
        start, end = self.of(n, axis)
        name = f"job {n} of {person}"
        if self._is_fixed(n, axis):
            return self.cp.new_optional_fixed_size_interval_var(start, self.ready.steps[n], works, name)
        return self.cp.new_optional_interval_var(start, self._size(n, axis), end, works, name)

    def _is_fixed(self, n: int, axis: int) -> bool:
        """Whether a job takes the same number of steps on an axis wherever it starts."""
        return self.single_axis(n) == axis and self.ready.ways[n][0].ends is None

    def _size(self, n: int, axis: int) -> IntVar:
        """Steps of an axis from start to end of a job that pauses over other people's time."""
        if (n, axis) not in self._sizes:
            least = min(way.steps for way in self.ready.ways[n])
            self._sizes[n, axis] = self._variables.new_int(
                least, self.horizon, f"size {n}", self._size_in(n, axis)
            )
        return self._sizes[n, axis]

    def _size_in(self, n: int, axis: int) -> Hint:
        if self.single_axis(n) == axis:
            way = self.ready.ways[n][0]
            return lambda plan: way.end(plan[n].start) - plan[n].start
        return lambda plan: plan[n].ends - plan[n].begins

    def end_in(self, n: int, axis: int) -> Hint:
        """End of a job in a plan, on an axis."""
        if self.single_axis(n) == axis:
            way = self.ready.ways[n][0]
            return lambda plan: way.end(plan[n].start)
        return lambda plan: plan[n].ends


def _ends_on_common(axis: Axis, last: int) -> Iterator[Piece]:
    yield Piece(0, 0, False, axis.on_common[0])
    yield from (Piece(a + 1, min(b + 1, last), True, add) for a, b, add in axis.runs if a + 1 <= last)


def _is_way(n: int, w: int) -> Hint:
    return lambda plan: plan[n].way == w


def _start_in(n: int, w: int, else_at: int) -> Hint:
    return lambda plan: plan[n].start if plan[n].way == w else else_at


def _own_start(n: int, w: int) -> Hint:
    return lambda plan: plan[n].start if plan[n].way == w else -1


def _own_end(n: int, w: int, way: Way) -> Hint:
    return lambda plan: way.end(plan[n].start) if plan[n].way == w else -1


def _lies_on(piece: Piece, step: Hint) -> Hint:
    return lambda plan: piece.first <= step(plan) <= piece.last
