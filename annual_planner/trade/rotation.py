"""Rotation: where every plug goes next, and what that does to its row, magneto and polarity.

Places are pairs of a firing index and a row. On one magneto an odd number of steps in the firing order
changes the polarity and an even number doesn't; across magnetos it also depends on whether they agree.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from enum import StrEnum
from math import lcm

from annual_planner.trade.engines import EngineType, MagnetoPhase, Place, PolarityRule
from annual_planner.trade.firing import REVERSAL, keeps_polarity, next_firing
from annual_planner.trade.refused import Refused
from annual_planner.trade.working import Input, Rule, Step, Worked, Working

PRACTICE = Rule("common practice, no source", "the next cylinder in the firing order, in the other row")


class Change(StrEnum):
    """What a move does to the polarity of a plug's spark."""

    CHANGES = "changes"
    STAYS = "stays"
    ALTERNATES = "alternates anyway"
    UNKNOWN = "unknown"


@dataclass(frozen=True, slots=True)
class Scheme:
    """A way to move plugs: the next place of every place, and what it rests on."""

    key: str
    title: str
    moves: Mapping[Place, Place]
    basis: Rule


@dataclass(frozen=True, slots=True)
class Move:
    """One plug's way, and what changes for it."""

    old: Place
    new: Place
    row_changes: bool
    magneto_changes: bool
    polarity: Change

    @property
    def place_changes(self) -> bool:
        """Whether the plug moves at all."""
        return self.old != self.new


@dataclass(frozen=True, slots=True)
class Rotation:
    """All moves of a scheme on an engine.

    `cycles`: the places a plug walks along, each starting at the first of the engine's places in it.
    `rotations_until_home`: after so many every plug is back where it was.
    """

    scheme: Scheme
    moves: tuple[Move, ...]
    cycles: tuple[tuple[Place, ...], ...]
    rotations_until_home: int

    @property
    def change_place(self) -> int:
        """How many plugs move."""
        return sum(each.place_changes for each in self.moves)

    @property
    def change_row(self) -> int:
        """How many plugs get to the other row."""
        return sum(each.row_changes for each in self.moves)

    @property
    def change_magneto(self) -> int:
        """How many plugs get to the other magneto."""
        return sum(each.magneto_changes for each in self.moves)

    def with_polarity(self, change: Change) -> tuple[Place, ...]:
        """The places, sorted, from which a plug's polarity changes, stays, alternates or can't be told."""
        return tuple(sorted(each.old for each in self.moves if each.polarity is change))

    def next_place(self, old: Place) -> Place:
        """Where the plug of that place goes. Raises KeyError where the engine has no such place."""
        return self.scheme.moves[old]


def polarity_change(engine: EngineType, old: Place, new: Place) -> Change:
    """What a move between two places does to the polarity of a plug's spark.

    Raises Refused where the engine has no such place.
    """
    same_magneto = engine.magneto_at(old) is engine.magneto_at(new)
    if engine.polarity is PolarityRule.UNKNOWN:
        return Change.STAYS if old == new else Change.UNKNOWN
    if engine.polarity is PolarityRule.ALL_ALIKE:
        return Change.STAYS
    if engine.polarity is PolarityRule.ALTERNATING or not keeps_polarity(engine.firing_order):
        return Change.ALTERNATES
    if not same_magneto and engine.phase is MagnetoPhase.UNKNOWN:
        return Change.UNKNOWN
    steps = engine.firing_order.index(new.cylinder) - engine.firing_order.index(old.cylinder)
    turned = not same_magneto and engine.phase is MagnetoPhase.OPPOSED
    return Change.CHANGES if (steps + turned) % 2 else Change.STAYS


def next_other_row(engine: EngineType) -> Scheme:
    """The usual scheme: next cylinder in the firing order, other row. Refused where the rows differ."""
    return stepping(engine, 1, change_row=True)


def next_same_row(engine: EngineType) -> Scheme:
    """Next cylinder in the firing order, same row: what is left where the rows take different plugs."""
    return stepping(engine, 1, change_row=False)


def stepping(engine: EngineType, steps: int, *, change_row: bool) -> Scheme:
    """So many cylinders on in the firing order. Refused where a row change would put a wrong plug in."""
    far = "next" if steps == 1 else f"{steps} on"
    row = "other" if change_row else "same"
    return _scheme(
        engine,
        f"{far.replace(' ', '_')}_in_firing_order_{row}_row",
        f"{far.capitalize()} in firing order, {row} row",
        PRACTICE if change_row and steps == 1 else Rule("computed from the firing order"),
        lambda at: Place(
            next_firing(engine.firing_order, at.cylinder, steps), at.row.other if change_row else at.row
        ),
    )


def mirrored(engine: EngineType) -> Scheme:
    """Mirror cylinder, other row: the number counted from the other end. Refused where the rows differ."""
    last = engine.cylinder_count + 1
    basis = (
        Rule("an engine maintenance manual for six cylinders, trade pages for four")
        if engine.cylinder_count in (4, 6)
        else Rule("computed only", "the habit comes from engines of four and six cylinders")
    )
    return _scheme(
        engine,
        "mirror_cylinder_other_row",
        "Mirror cylinder, other row",
        basis,
        lambda at: Place(last - at.cylinder, at.row.other),
    )


def swapped(engine: EngineType) -> Scheme:
    """Same cylinder, other row: the two plugs change places. Refused where the rows differ."""
    return _scheme(
        engine,
        "same_cylinder_other_row",
        "Same cylinder, other row",
        Rule("common practice, no source", "keeps a plug with its cylinder"),
        lambda at: Place(at.cylinder, at.row.other),
    )


def _scheme(engine: EngineType, key: str, title: str, basis: Rule, to: Callable[[Place], Place]) -> Scheme:
    return custom(engine, key, title, {at: to(at) for at in engine.places}, basis)


def custom(engine: EngineType, key: str, title: str, moves: Mapping[Place, Place], basis: Rule) -> Scheme:
    """A scheme of one's own, checked.

    Raises Refused unless every place has a next one and none gets two plugs, and where a plug would change
    its row in an engine whose rows take different plugs.
    """
    places = engine.places
    if set(moves) != set(places) or set(moves.values()) != set(places):
        raise Refused(
            f"{title}: not every place of {engine.title} gets exactly one plug.",
            "Give each place one next place, and no place to two plugs.",
        )
    if engine.rows_differ and any(old.row is not new.row for old, new in moves.items()):
        rows = "; ".join(_row_takes(engine, at) for at in places[:2])
        raise Refused(
            f"{title} moves plugs to the other row, but rows of {engine.title} take different plugs: {rows}.",
            "Take a scheme that keeps every plug in its row, such as the next cylinder in the same row.",
        )
    return Scheme(key, title, {at: moves[at] for at in places}, basis)


def _row_takes(engine: EngineType, at: Place) -> str:
    return f"{at.row.words} " + " or ".join(each.title for each in engine.plug_types_at(at))


def usual(engine: EngineType) -> Scheme:
    """The scheme most shops would take: the other row where the rows take the same plugs, else the same."""
    return next_same_row(engine) if engine.rows_differ else next_other_row(engine)


def schemes(engine: EngineType) -> tuple[Scheme, ...]:
    """The schemes that have a name and suit the engine, the usual one first."""
    if engine.rows_differ:
        return (next_same_row(engine),)
    return (next_other_row(engine), mirrored(engine), swapped(engine), next_same_row(engine))


def rotation(engine: EngineType, scheme: Scheme) -> Worked[Rotation]:
    """Work a scheme out for an engine: moves, cycles, rotations until home, and what changes for each plug.

    Raises Refused where the scheme was made for an engine with other places.
    """
    if set(scheme.moves) != set(engine.places):
        raise Refused(
            f"{scheme.title} was made for another engine than {engine.title}.",
            "Choose a scheme of this engine type.",
        )
    moves = tuple(_move(engine, old, scheme.moves[old]) for old in engine.places)
    cycles = cycles_of(scheme.moves)
    value = Rotation(scheme, moves, cycles, lcm(*(len(each) for each in cycles)))
    return Worked(value, _working(engine, value))


def _move(engine: EngineType, old: Place, new: Place) -> Move:
    return Move(
        old=old,
        new=new,
        row_changes=old.row is not new.row,
        magneto_changes=engine.magneto_at(old) is not engine.magneto_at(new),
        polarity=polarity_change(engine, old, new),
    )


def cycles_of(moves: Mapping[Place, Place]) -> tuple[tuple[Place, ...], ...]:
    """The closed walks a set of moves is made of, in the order of its places."""
    left = dict(moves)
    cycles = []
    while left:
        at = next(iter(left))
        walk = []
        while at in left:
            walk.append(at)
            at = left.pop(at)
        cycles.append(tuple(walk))
    return tuple(cycles)


def _working(engine: EngineType, worked: Rotation) -> Working:
    return Working(
        title=f"Plug rotation of {engine.title}: {worked.scheme.title.lower()}",
        result=f"{worked.change_place} of {len(worked.moves)} plugs move; {_homeward(worked)}",
        inputs=(
            Input("firing order", "-".join(str(each) for each in engine.firing_order)),
            Input("left magneto feeds", ", ".join(str(at) for at in sorted(engine.left_feeds))),
            Input("magnetos at one cylinder", engine.phase.value),
            Input("polarity rule", engine.polarity.value),
        ),
        steps=(*(_move_step(each) for each in worked.moves), *_cycle_steps(worked), *_count_steps(worked)),
        rules=(worked.scheme.basis, REVERSAL),
        assumptions=_assumptions(worked),
    )


def _homeward(worked: Rotation) -> str:
    return f"all are home after {worked.rotations_until_home} rotations"


def _move_step(move: Move) -> Step:
    magneto = "other magneto" if move.magneto_changes else "same magneto"
    return Step(f"{move.old} to {move.new}", f"{magneto}, polarity {move.polarity.value}")


def _cycle_steps(worked: Rotation) -> tuple[Step, ...]:
    return tuple(
        Step(f"cycle {number}, {len(walk)} places", " → ".join(str(at) for at in (*walk, walk[0])))
        for number, walk in enumerate(worked.cycles, start=1)
    )


def _count_steps(worked: Rotation) -> tuple[Step, ...]:
    counts = [
        ("plugs that change row", worked.change_row),
        ("plugs that change magneto", worked.change_magneto),
        *((f"plugs whose polarity {_SAID[each]}", len(worked.with_polarity(each))) for each in Change),
    ]
    return tuple(Step(name, str(count)) for name, count in counts)


_SAID = {
    Change.CHANGES: "changes",
    Change.STAYS: "stays",
    Change.ALTERNATES: "alternates from cycle to cycle anyway",
    Change.UNKNOWN: "can't be told",
}


def _assumptions(worked: Rotation) -> tuple[str, ...]:
    said = []
    if worked.with_polarity(Change.UNKNOWN):
        said.append(
            "Where polarity can't be told, the engine type doesn't say how its magnetos stand to each other."
        )
    if worked.with_polarity(Change.ALTERNATES):
        said.append("Every plug's polarity alternates by itself, so the rotation serves the places only.")
    said.append("The engine maker's current instructions come first.")
    return tuple(said)
