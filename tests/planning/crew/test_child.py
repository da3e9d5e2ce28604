"""The search in a process of its own: messages come, it can be cancelled, and it leaves nothing running."""

from __future__ import annotations

import multiprocessing
from dataclasses import replace
from time import monotonic

from annual_planner.planning.crew.child import Better, Child, Done, Failed, Message
from annual_planner.planning.crew.problem import Problem
from tests.planning.crew.annuals import annual, at
from tests.planning.crew.checker import broken

LONG_S = 120.0


def until_over(child: Child, seconds: float = LONG_S) -> list[Message]:
    """Every message up to the last."""
    ends_at, found = monotonic() + seconds, list[Message]()
    while not child.over and monotonic() < ends_at:
        found += child.messages(wait_s=0.2)
    return found


def test_better_plans_come_and_then_the_answer() -> None:
    problem = annual(4, 12, owner=False)
    with Child(problem, seconds=5, workers=2) as child:
        *better, last = until_over(child)
    assert better
    assert all(isinstance(message, Better) for message in better)
    assert isinstance(last, Done)
    assert broken(problem, last.worked.value) == []
    assert multiprocessing.active_children() == []


def test_a_cancelled_search_still_gives_its_best_plan() -> None:
    problem = annual(21, 80, owner=False)
    with Child(problem, seconds=10 * LONG_S, workers=2) as child:
        while not isinstance(next(child.messages(wait_s=LONG_S)), Better):
            pass
        child.cancel()
        last = until_over(child)[-1]
    assert isinstance(last, Done)
    assert broken(problem, last.worked.value) == []


def test_an_impossible_package_fails_with_the_rules_that_clash() -> None:
    base = annual(4, 5, owner=False, with_clock=False)
    late = replace(
        base.jobs[0], not_before=at("2026-05-05T08:00"), not_after=at("2026-05-05T08:15"), likely=8, high=16
    )
    impossible: Problem = replace(base, jobs=(late, *base.jobs[1:]))
    with Child(impossible, seconds=5, workers=2) as child:
        (last,) = until_over(child)
    assert isinstance(last, Failed)
    assert not last.ours
    assert any("job number 0" in rule for rule in last.clash)
