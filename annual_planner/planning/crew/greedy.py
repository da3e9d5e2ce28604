"""A good first plan in a fraction of a second: many orders of the jobs, the best kept and made better.

Orders by priority rules, by chance, and by crossing two good ones (a genetic search over orders of jobs);
each plan is pushed to the back and to the front again, which alone shortens many. Source of the ideas: the
textbook serial generation, forward-backward improvement and two-point crossing of job lists (from memory).
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from random import Random
from time import monotonic

from annual_planner.planning.crew.laying import Plan
from annual_planner.planning.crew.prepared import Prepared
from annual_planner.planning.crew.serial import Serial, in_line

FAMILY = 40
"""Plans that are kept and crossed."""

Rank = list[float]


@dataclass(frozen=True, slots=True)
class Ranked:
    """A plan, the order it came from, and what it is worth: less is better."""

    worth: tuple[int, int]
    order: tuple[int, ...]
    plan: Plan


def first_plan(
    ready: Prepared,
    seconds: float = 0.4,
    seed: int = 0,
    tries: int = 60,
    goal: int = 0,
    stop: Callable[[], bool] = bool,
) -> Plan | None:
    """The best plan found in some seconds, or None when no order gave one. Reproducible by seed and `tries`.

    `tries`: plans made at least from rules and chance, unless time is up (at least one is made); beyond them
    the search goes on crossing while `seconds` last. `goal`: a finish (common step) at which there is no
    more to gain.
    """
    return Search(ready, seed).run(seconds, tries, goal, stop)


class Search:
    """A search over orders of jobs."""

    def __init__(self, ready: Prepared, seed: int) -> None:
        self.ready = ready
        self.serial = Serial(ready)
        self.chance = Random(seed)
        self.family: list[Ranked] = []
        self.best: Ranked | None = None

    def run(self, seconds: float, tries: int, goal: int, stop: Callable[[], bool]) -> Plan | None:
        """Make plans by rules and chance, then cross them, until time is up or the goal is reached."""
        ends_at = monotonic() + seconds
        for made, rank in enumerate(self._first_ranks(tries), 1):
            self._take(self._improved(self.serial.forwards(rank)))
            if self._done(goal, stop) or (monotonic() > ends_at and (self.best or made > 20)):
                break
        return self.go_on(ends_at - monotonic(), goal, stop)

    def go_on(self, seconds: float, goal: int, stop: Callable[[], bool]) -> Plan | None:
        """Cross good plans for some seconds more."""
        ends_at = monotonic() + seconds
        while len(self.family) > 1 and monotonic() < ends_at and not self._done(goal, stop):
            self._next_child()
        return self.best.plan if self.best else None

    def take(self, plan: Plan) -> None:
        """Take a plan found elsewhere into the family."""
        self._take(plan)

    def _done(self, goal: int, stop: Callable[[], bool]) -> bool:
        return stop() or (self.best is not None and self.best.worth[0] <= goal)

    def _first_ranks(self, tries: int) -> Iterator[Rank]:
        rules = list(rule_ranks(self.ready))
        yield from rules
        for n in range(max(tries - len(rules), 0)):
            rule = rules[n % len(rules)]
            spread = max(rule) - min(rule) + 1
            part = self.chance.choice((0.05, 0.15, 0.3, 1.0))
            yield [value + self.chance.gauss(0, part * spread) for value in rule]

    def _improved(self, plan: Plan | None) -> Plan | None:
        """Push everything to the back and to the front again, if that helps."""
        if plan is None:
            return None
        back = self.serial.backwards(_by_end(plan), self._worth(plan)[0])
        again = self.serial.forwards(_by_start(back)) if back else None
        return again if again is not None and self._worth(again) < self._worth(plan) else plan

    def _worth(self, plan: Plan | None) -> tuple[int, int]:
        """Finish first, then the sum of all ends: what is less is better."""
        if plan is None:
            return (self.ready.common.steps + 1, 0)
        ends = [laid.ends for laid in plan.values()]
        return max(ends, default=0), sum(ends)

    def _take(self, plan: Plan | None) -> None:
        if plan is None:
            return
        order = tuple(sorted(plan, key=lambda n: (plan[n].begins, plan[n].ends, n)))
        child = Ranked(self._worth(plan), order, plan)
        if self.best is None or child.worth < self.best.worth:
            self.best = child
        if all(child.worth != other.worth for other in self.family):
            self.family.append(child)
            self.family.sort(key=lambda ranked: ranked.worth)
            del self.family[FAMILY:]

    def _next_child(self) -> None:
        mother, father = self.chance.sample(self.family, 2)
        order = _crossed(mother.order, father.order, self.chance)
        rank = [0.0] * len(order)
        for place, n in enumerate(order):
            stray = self.chance.gauss(0, 4) if self.chance.random() < 0.05 else 0.0
            rank[n] = place + stray
        self._take(self._improved(self.serial.forwards(rank)))


def _crossed(mother: Sequence[int], father: Sequence[int], chance: Random) -> list[int]:
    """The middle part of the order from the father, beginning and end from the mother."""
    one, two = sorted((chance.randrange(len(mother) + 1), chance.randrange(len(mother) + 1)))
    child = list(mother[:one])
    taken = set(child)
    for n in father:
        if len(child) >= two:
            break
        if n not in taken:
            child.append(n)
            taken.add(n)
    child.extend(n for n in mother if n not in taken)
    return child


def _by_start(plan: Plan) -> Rank:
    return [float(plan[n].begins) for n in range(len(plan))]


def _by_end(plan: Plan) -> Rank:
    return [float(-plan[n].ends) for n in range(len(plan))]


def rule_ranks(ready: Prepared) -> Iterator[Rank]:
    """Ranks by rules: latest start, latest end, least slack, most behind it, longest way, rarest people."""
    count = len(ready.jobs)
    heads, tails = heads_of(ready), tails_of(ready)
    behind = [float(len(reach)) for reach in reached(ready)]
    load = [_load(ready, n) for n in range(count)]
    yield [-tails[n] - ready.steps[n] for n in range(count)]
    yield [-tails[n] for n in range(count)]
    yield [-tails[n] - ready.steps[n] - heads[n] for n in range(count)]
    yield [-behind[n] for n in range(count)]
    yield [-tails[n] - ready.steps[n] - load[n] for n in range(count)]
    yield [-sum((load[m] for m in reach), load[n]) for n, reach in enumerate(reached(ready))]
    yield [heads[n] for n in range(count)]


def heads_of(ready: Prepared) -> Rank:
    """For each job the steps that must pass before it, by the longest way through the links."""
    heads = [0.0] * len(ready.jobs)
    for n in in_line(ready):
        for link in ready.before[n]:
            heads[n] = max(heads[n], heads[link.before] + ready.steps[link.before])
    return heads


def tails_of(ready: Prepared) -> Rank:
    """For each job the steps that must pass after it, by the longest way through the links."""
    tails = [0.0] * len(ready.jobs)
    for n in reversed(in_line(ready)):
        for link in ready.following[n]:
            tails[n] = max(tails[n], tails[link.after] + ready.steps[link.after])
    return tails


def reached(ready: Prepared) -> list[set[int]]:
    """For each job all that come after it through the links."""
    reach: list[set[int]] = [set() for _ in ready.jobs]
    for n in reversed(in_line(ready)):
        for link in ready.following[n]:
            reach[n] |= reach[link.after] | {link.after}
    return reach


def _load(ready: Prepared, n: int) -> float:
    """Work of a job in steps, weighed by how few can do it and how much of the equipment it takes."""
    seats = ready.ways[n][0].seats if ready.ways[n] else ()
    by_people = sum(1 / len(seat) for seat in seats if seat)
    by_stock = sum(use.amount / ready.stocks[use.stock].limit for use in ready.uses[n])
    return ready.steps[n] * (by_people + by_stock)
