"""When nothing fits: the jobs and rules that clash, each of which would have to be given up or moved.

Jobs, then rules, are taken out piece by piece as long as the rest provably still fits nowhere (deletion
filtering). What is left is a clash of which nothing can be left out, unless time ran short.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace
from time import monotonic
from typing import TypeVar

from annual_planner.planning.crew.greedy import first_plan
from annual_planner.planning.crew.prepared import Prepared
from annual_planner.planning.crew.problem import Problem
from annual_planner.planning.crew.rules_of import NamedRule, rules_of
from annual_planner.planning.crew.stopping import solve_interruptibly
from annual_planner.trade.refused import Refused

Part = TypeVar("Part")

ONE_LOOK_S = 2.0
"""Seconds for finding out whether one smaller problem fits."""


class Impossible(Refused):
    """Nothing fits.

    `clash`: the rules that can't be kept together, in words; `jobs`: keys of the jobs in it.
    """

    def __init__(self, clash: tuple[str, ...], jobs: tuple[str, ...], smallest: bool) -> None:
        self.clash, self.jobs, self.smallest = clash, jobs, smallest
        among = "" if smallest else " (narrowed down as far as time allowed)"
        super().__init__(
            f"No plan fits. These can't be kept together{among}: {'; '.join(clash)}.",
            "Give up or move one of them.",
        )


@dataclass(frozen=True, slots=True)
class Clash:
    """Rules in words, keys of the jobs, and whether none of them can be left out."""

    rules: tuple[str, ...]
    jobs: tuple[str, ...]
    smallest: bool


def impossible(problem: Problem, seconds: float = 10.0) -> Impossible:
    """The refusal of a problem that fits nowhere."""
    found = clash(problem, seconds)
    return Impossible(found.rules, found.jobs, found.smallest)


def clash(problem: Problem, seconds: float = 10.0) -> Clash:
    """A smallest set of rules of a problem that can't be kept together. The problem must fit nowhere."""
    ends_at = monotonic() + seconds
    looks: list[bool | None] = []

    def clashes(part: Problem) -> bool:
        looks.append(fits_nowhere(part, ends_at))
        return looks[-1] is True

    jobs = _filtered(problem.jobs, lambda left: clashes(replace(problem, jobs=tuple(left))), ends_at)
    smaller = replace(problem, jobs=tuple(jobs))
    rules = list(rules_of(smaller))
    kept = _filtered(rules, lambda left: clashes(with_only(smaller, rules, left)), ends_at)
    said = tuple(rule.said for rule in kept) or ("there is not enough open time for one job",)
    smallest = None not in looks and monotonic() < ends_at
    return Clash(said, tuple(job.key for job in jobs), smallest)


def with_only(problem: Problem, rules: Iterable[NamedRule], kept: Iterable[NamedRule]) -> Problem:
    """The problem with some of its rules given up: all of `rules` that are not `kept`."""
    for rule in set(rules) - set(kept):
        problem = rule.without(problem)
    return problem


def _filtered(
    parts: Sequence[Part], still_clashes: Callable[[Sequence[Part]], bool], ends_at: float
) -> list[Part]:
    """Leave out parts, many at a time and then one by one, as long as the rest still clashes."""
    left = list(parts)
    size = max(len(left) // 2, 1)
    while left:
        place = 0
        while place < len(left) and monotonic() < ends_at:
            fewer = left[:place] + left[place + size :]
            if still_clashes(fewer):
                left = fewer
            else:
                place += size
        if size == 1 or monotonic() >= ends_at:
            break
        size = max(min(size // 2, len(left) // 2), 1)
    return left


def not_possible(problem: Problem, ends_at: float) -> bool:
    """Whether a problem provably fits nowhere; False also when that wasn't found out in time."""
    return fits_nowhere(problem, ends_at) is True


def fits_nowhere(problem: Problem, ends_at: float) -> bool | None:
    """Whether a problem fits nowhere; None when that wasn't found out in time."""
    seconds = min(ONE_LOOK_S, ends_at - monotonic())
    if not problem.jobs:
        return False
    if seconds <= 0:
        return None
    ready = Prepared(problem)
    if not all(ready.ways):
        return True
    if first_plan(ready, 0.0, tries=8) is not None:
        return False
    return _proven_impossible(ready, seconds)


def _proven_impossible(ready: Prepared, seconds: float) -> bool | None:
    from ortools.sat.python import cp_model

    from annual_planner.planning.crew.model import Model

    solver = cp_model.CpSolver()
    solver.parameters.max_time_in_seconds = seconds
    solver.parameters.num_workers = 4
    status = solve_interruptibly(solver, Model(ready, ready.common.steps).cp)
    return {cp_model.INFEASIBLE: True, cp_model.UNKNOWN: None}.get(status, False)
