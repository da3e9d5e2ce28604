"""Pools: groups of people who between them must do some of the work.

A limit the search would find out late.
"""

from __future__ import annotations

from collections.abc import Sequence

from annual_planner.planning.crew.prepared import Prepared

MOST_POOLS = 48
MOST_UNIONS = 1500

Pool = frozenset[int]


def who_may_sit(ready: Prepared, n: int) -> list[Pool]:
    """For each seat of a job the people who may take it in any way of doing the job."""
    ways = ready.ways[n]
    if not ways:
        return []
    return [frozenset(p for way in ways for p in way.seats[seat]) for seat in range(len(ways[0].seats))]


def pools(ready: Prepared) -> list[tuple[Pool, list[int]]]:
    """Pools with what each job asks of them, the tightest first; those that can never be short are left out.

    A pool is asked for the seats that nobody outside it may take.
    """
    seats = [who_may_sit(ready, n) for n in range(len(ready.jobs))]
    kinds = {seat for those in seats for seat in those}
    asked = [(pool, [sum(seat <= pool for seat in those) for those in seats]) for pool in _unions(kinds)]
    tight = [(pool, demands) for pool, demands in asked if _may_be_short(pool, demands)]
    tight.sort(key=lambda item: (-_work(ready, item[1]) / len(item[0]), len(item[0])))
    return _without_repeats(tight)[:MOST_POOLS]


def _unions(kinds: set[Pool]) -> list[Pool]:
    found = set(kinds)
    for kind in sorted(kinds, key=lambda pool: (len(pool), sorted(pool))):
        if len(found) > MOST_UNIONS:
            break
        found |= {kind | other for other in found}
    return sorted(found, key=lambda pool: (len(pool), sorted(pool)))


def _may_be_short(pool: Pool, demands: Sequence[int]) -> bool:
    """Two jobs at once may ask for more than there are; a pool of one is a person, who is held already."""
    return len(pool) > 1 and sum(demands) > len(pool) and sum(demand > 0 for demand in demands) > 1


def _without_repeats(tight: list[tuple[Pool, list[int]]]) -> list[tuple[Pool, list[int]]]:
    """Of pools that are asked the same, the smallest is enough."""
    least: dict[tuple[int, ...], tuple[Pool, list[int]]] = {}
    for pool, demands in tight:
        key = tuple(demands)
        if key not in least or len(pool) < len(least[key][0]):
            least[key] = (pool, demands)
    return list(least.values())


def _work(ready: Prepared, demands: Sequence[int]) -> int:
    return sum(steps * demand for steps, demand in zip(ready.steps, demands, strict=True))
