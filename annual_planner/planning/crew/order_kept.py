"""What waits for what in a plan when order and people are kept: links, hands passed on, tools handed over."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from heapq import heapify, heappop, heappush

from annual_planner.planning.crew.laying import Plan
from annual_planner.planning.crew.prepared import Prepared


@dataclass(frozen=True, slots=True)
class Arc:
    """One job that waits for another.

    For its end and so many minutes, or for somebody or something it holds.
    """

    before: int
    after: int
    least_min: int = 0
    most_min: int | None = None
    person: int | None = None
    stock: int | None = None


def arcs(ready: Prepared, plan: Plan) -> list[Arc]:
    """Every wait of a plan.

    With these kept, and nothing else, no person, room or tool is ever over its limit.
    """
    links = (Arc(link.before, link.after, link.least_min, link.most_min) for link in ready.links)
    return [*links, *_hands(ready, plan), *_handed_over(ready, plan)]


def by_start(plan: Plan) -> list[int]:
    """Jobs in the order of their starts; what takes no time comes before what starts with it."""
    return sorted(plan, key=lambda n: (plan[n].begins, plan[n].ends, n))


def in_order(ready: Prepared, plan: Plan, waits: list[Arc]) -> list[int]:
    """Jobs in an order in which each comes after all it waits for, by start where that leaves a choice."""
    left = [0] * len(plan)
    wake: list[list[int]] = [[] for _ in plan]
    for arc in waits:
        left[arc.after] += 1
        wake[arc.before].append(arc.after)
    ready_now = [(plan[n].begins, plan[n].ends, n) for n in plan if not left[n]]
    heapify(ready_now)
    line = []
    while ready_now:
        n = heappop(ready_now)[2]
        line.append(n)
        for then in wake[n]:
            left[then] -= 1
            if not left[then]:
                heappush(ready_now, (plan[then].begins, plan[then].ends, then))
    return line


def _hands(ready: Prepared, plan: Plan) -> Iterator[Arc]:
    last: dict[int, int] = {}
    for n in by_start(plan):
        if plan[n].begins == plan[n].ends:
            continue
        for person in plan[n].people:
            if person in last:
                yield Arc(last[person], n, person=person)
            last[person] = n


def _handed_over(ready: Prepared, plan: Plan) -> Iterator[Arc]:
    """Each piece of a stock goes from one job to the next; a job takes the pieces that were freed last."""
    for stock in range(len(ready.stocks)):
        free: list[tuple[int, int]] = [(0, -1)] * ready.stocks[stock].limit
        for n in by_start(plan):
            amount = sum(use.amount for use in ready.uses[n] if use.stock == stock)
            if not amount or plan[n].begins == plan[n].ends:
                continue
            ready_now = sorted((piece for piece in free if piece[0] <= plan[n].begins), reverse=True)[:amount]
            for piece in ready_now:
                free.remove(piece)
            free += [(plan[n].ends, n)] * amount
            yield from (
                Arc(giver, n, stock=stock) for giver in sorted({giver for _, giver in ready_now} - {-1})
            )
