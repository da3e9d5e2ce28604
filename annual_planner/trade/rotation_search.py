"""Searching for the rotation that changes row and polarity of every plug, on the same magneto where it can.

Named schemes and steps along the firing order come first; where none of them is as good as can be, the moves
are found plug by plug as a cheapest assignment of plugs to places.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from annual_planner.trade.engines import EngineType, MagnetoPhase, Place, PolarityRule
from annual_planner.trade.rotation import (
    Change,
    Rotation,
    Scheme,
    custom,
    polarity_change,
    rotation,
    schemes,
    stepping,
)
from annual_planner.trade.working import Rule, Step, Worked, Working

# Each weighs more than all plugs of the largest engine together weigh one line below.
_MISSES_ITS_AIM = 1_000_000
_KEEPS_ROW = 10_000
_OTHER_MAGNETO = 100
_SAME_CYLINDER = 1
_WRONG_PLUG = 10**9

_SEARCHED = Rule(
    "computed", "cheapest assignment: row and polarity first, then the magneto, then the cylinder"
)


@dataclass(frozen=True, slots=True)
class Proposal:
    """The rotation that is proposed.

    `complete`: every plug changes row and polarity (or its polarity alternates by itself). `missing`: the
    places whose plugs don't, or can't be promised to. `because`: why none is complete, else empty.
    """

    rotation: Rotation
    complete: bool
    missing: tuple[Place, ...]
    because: str


def proposed(engine: EngineType) -> Worked[Proposal]:
    """Propose how to rotate the plugs of an engine.

    The scheme that changes row and polarity of every plug; of several the one with most plugs on their own
    magneto, and of equals the one with a name. Where none exists the nearest to it, with the reason.
    """
    scheme, tried = _chosen(engine)
    worked = rotation(engine, scheme)
    missing = tuple(sorted(each.old for each in worked.value.moves if _misses(engine, each.old, each.new)))
    because = _because(engine) if missing else ""
    value = Proposal(worked.value, not missing, missing, because)
    working = Working(
        title=f"Proposed plug rotation of {engine.title}",
        result=_result(value),
        steps=tuple(tried),
        rules=(scheme.basis, _SEARCHED),
        assumptions=(because,) if because else (),
        parts=(worked.working,),
    )
    return Worked(value, working)


def _result(value: Proposal) -> str:
    title, plugs = value.rotation.scheme.title, len(value.rotation.moves)
    if value.complete and value.rotation.with_polarity(Change.ALTERNATES):
        return f"{title}: row changes for all {plugs} plugs, polarity alternates by itself"
    if value.complete:
        return f"{title}: row and polarity change for all {plugs} plugs"
    return f"no scheme changes row and polarity for every plug; nearest: {title}"


def _chosen(engine: EngineType) -> tuple[Scheme, list[Step]]:
    candidates = list(_candidates(engine))
    graded = [(_price(engine, each) // _OTHER_MAGNETO, each) for each in candidates]
    tried = [Step(each.title, _said(engine, each)) for each in candidates]
    cheapest, scheme = min(graded, key=lambda each: each[0])
    if cheapest == 0:
        return scheme, tried
    searched = _searched(engine)
    if _price(engine, searched) // _OTHER_MAGNETO < cheapest:
        return searched, [*tried, Step(searched.title, _said(engine, searched))]
    return scheme, [*tried, Step("plug by plug", "no better")]


def _said(engine: EngineType, scheme: Scheme) -> str:
    moves = scheme.moves.items()
    good = sum(not _misses(engine, old, new) for old, new in moves)
    same = sum(engine.magneto_at(old) is engine.magneto_at(new) for old, new in moves)
    return f"{good} of {len(moves)} plugs change as wanted, {same} stay on their magneto"


def _candidates(engine: EngineType) -> Iterator[Scheme]:
    """Schemes worth trying, the best known first."""
    yield from schemes(engine)
    for steps in range(2, engine.cylinder_count):
        yield stepping(engine, steps, change_row=not engine.rows_differ)


def _price(engine: EngineType, scheme: Scheme) -> int:
    return sum(_price_of(engine, old, new) for old, new in scheme.moves.items())


def _price_of(engine: EngineType, old: Place, new: Place) -> int:
    if engine.rows_differ and old.row is not new.row:
        return _WRONG_PLUG
    return (
        _MISSES_ITS_AIM * _misses(engine, old, new)
        + _KEEPS_ROW * (old.row is new.row)
        + _OTHER_MAGNETO * (engine.magneto_at(old) is not engine.magneto_at(new))
        + _SAME_CYLINDER * (old.cylinder == new.cylinder)
    )


def _misses(engine: EngineType, old: Place, new: Place) -> bool:
    """Whether a move keeps the row, or doesn't surely change a polarity that wouldn't alternate anyway."""
    change = polarity_change(engine, old, new)
    return old.row is new.row or change not in (Change.CHANGES, Change.ALTERNATES)


def _searched(engine: EngineType) -> Scheme:
    places = engine.places
    prices = [[_price_of(engine, old, new) for new in places] for old in places]
    moves = {places[at]: places[to] for at, to in enumerate(cheapest_assignment(prices))}
    return custom(engine, "plug_by_plug", "Plug by plug", moves, _SEARCHED)


def cheapest_assignment(prices: Sequence[Sequence[int]]) -> list[int]:
    """For each row of a square table the column it gets, each column once, at the least sum.

    Rows are taken in one after another; each time the cheapest chain of changes that frees a column is
    followed, with prices kept reduced by what rows and columns already pay (the Hungarian method).

    >>> cheapest_assignment([[4, 1], [2, 2]])
    [1, 0]
    """
    size = len(prices)
    row_pays, column_pays = [0] * size, [0] * (size + 1)
    owner = [-1] * (size + 1)  # the last column is where each new row starts
    for row in range(size):
        owner[size] = row
        came_from = _cheapest_chain(prices, row_pays, column_pays, owner)
        column = next(each for each in came_from if owner[each] == -1)
        while column != size:
            owner[column] = owner[came_from[column]]
            column = came_from[column]
    return [owner.index(row, 0, size) for row in range(size)]


def _cheapest_chain(
    prices: Sequence[Sequence[int]], row_pays: list[int], column_pays: list[int], owner: list[int]
) -> dict[int, int]:
    """Walk from the waiting row to the nearest free column; give for each column reached the one before."""
    size = len(prices)
    distance = dict.fromkeys(range(size), float("inf"))
    before: dict[int, int] = {}
    reached, at = [size], size
    while owner[at] != -1:
        for column, so_far in distance.items():
            row = owner[at]
            reduced = prices[row][column] - row_pays[row] - column_pays[column]
            if reduced < so_far:
                distance[column], before[column] = reduced, at
        nearest = min(distance, key=distance.__getitem__)
        delta = int(distance.pop(nearest))
        for column in reached:
            row_pays[owner[column]] += delta
            column_pays[column] -= delta
        for column in distance:
            distance[column] -= delta
        reached.append(nearest)
        at = nearest
    return {column: before[column] for column in reached[1:]}


def _because(engine: EngineType) -> str:
    if engine.rows_differ:
        return "The rows take different plugs, so none can change its row."
    if engine.polarity is PolarityRule.ALL_ALIKE:
        return "The ignition gives every plug the same polarity, so no move changes it."
    if engine.polarity is PolarityRule.UNKNOWN:
        return "Nobody has said how this ignition alternates, so no change of polarity can be promised."
    if engine.phase is MagnetoPhase.UNKNOWN:
        return (
            "Some plugs must change their magneto to change their row, and whether the magnetos agree in "
            "polarity is unknown, so the change can't be promised for them. A meter or the wear tells."
        )
    return "With this wiring and firing order too few places of the other polarity lie in the other row."
