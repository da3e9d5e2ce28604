"""Hands that cost nothing, an owner's own, for what they may do, where nothing that counts more gets worse.

Job after job is given to them, the rest is laid again in the same order by the same people, and the plan is
kept if it is worth more. Between hands that cost something the solver chooses.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace

from annual_planner.planning.crew.laying import Plan
from annual_planner.planning.crew.open_time import STEP_MIN
from annual_planner.planning.crew.prepared import Prepared, Way, bits
from annual_planner.planning.crew.serial import Serial

MOST_OFFERS = 60
"""Jobs offered to cheaper hands, those first that save most; each costs a plan by rules."""

Worth = Callable[[Plan], tuple[int, ...]]
"""What a plan is worth in the order of the goals: less is better."""


def hand_worth(ready: Prepared, plan: Plan) -> tuple[int, int]:
    """People in zones, then cost of hours in money (see `changing_hands` and `cost`): less is better."""
    return len(set(_in_rooms(ready, plan))), sum(
        cost(ready, n, p) for n, laid in plan.items() for p in laid.people
    )


def changing_hands(ready: Prepared) -> frozenset[int]:
    """Those who count as one more in a zone they work in: all, save who costs nothing beside people who do.

    Such an owner takes over nobody's work there.
    """
    paid = frozenset(p for p, person in enumerate(ready.people) if person.cost_per_hour)
    return paid or frozenset(range(len(ready.people)))


def cost(ready: Prepared, n: int, person: int) -> int:
    """What a person costs on a job at its likely hours, in whole units of the shop's money."""
    return round(ready.steps[n] * STEP_MIN * ready.people[person].cost_per_hour / 60)


def with_free_hands(ready: Prepared, plan: Plan, worth: Worth) -> Plan:
    """The plan with hands that cost nothing where it is worth more for them, else the same plan."""
    offers = sorted(_offers(ready, plan), key=lambda each: (-each.saves, each.job, each.person))
    if not offers:
        return plan
    serial, reached = Serial(ready), worth(plan)
    for offer in offers[:MOST_OFFERS]:
        laid = plan[offer.job]
        people = tuple(offer.person if seat == offer.seat else p for seat, p in enumerate(laid.people))
        if len(set(people)) < len(people) or not cost(ready, offer.job, laid.people[offer.seat]):
            continue
        rank = [float(plan[n].begins) for n in range(len(plan))]
        hands = (people if n == offer.job else plan[n].people for n in range(len(plan)))
        trial = serial.forwards(rank, [_by(ready, n, those) for n, those in enumerate(hands)])
        if trial is not None and (found := worth(trial)) < reached:
            plan, reached = trial, found
    return plan


@dataclass(frozen=True, slots=True)
class _Offer:
    """A seat of a job that somebody who costs nothing may take, and what it saves."""

    saves: int
    job: int
    seat: int
    person: int


def _offers(ready: Prepared, plan: Plan) -> Iterator[_Offer]:
    """Every such seat, if those people are there before the plan is done."""
    free = frozenset(range(len(ready.people))) - changing_hands(ready)
    finish = max((laid.ends for laid in plan.values()), default=0)
    for n, laid in plan.items() if free else ():
        there = [
            way for way in ready.ways[n] if way.starts & bits(0, ready.axes[way.axis].first_from(finish) - 1)
        ]
        for seat, person in enumerate(laid.people):
            if saves := cost(ready, n, person):
                for other in sorted({p for way in there for p in way.seats[seat]} & free):
                    yield _Offer(saves, n, seat, other)


def _by(ready: Prepared, n: int, people: Sequence[int]) -> tuple[Way, ...]:
    """The ways of a job cut down to certain people; one they can't go keeps its number, without a start."""
    return tuple(_narrowed(way, people) for way in ready.ways[n])


def _narrowed(way: Way, people: Sequence[int]) -> Way:
    if any(p not in seat for p, seat in zip(people, way.seats, strict=True)):
        return replace(way, starts=0, seats=())
    return replace(way, seats=tuple((p,) for p in people))


def _in_rooms(ready: Prepared, plan: Plan) -> Iterator[tuple[int, int]]:
    counted = changing_hands(ready)
    for n, laid in plan.items():
        for use in ready.uses[n]:
            if ready.stocks[use.stock].is_room:
                yield from ((use.stock, p) for p in laid.people if p in counted)
