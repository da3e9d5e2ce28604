"""Which plug goes into which place when a rotation is followed and some plugs are rejected."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass

from annual_planner.trade.engines import EngineType, Place
from annual_planner.trade.refused import Refused
from annual_planner.trade.rotation import Scheme
from annual_planner.trade.working import Input, Step, Worked, Working


@dataclass(frozen=True, slots=True)
class GoesIn:
    """What goes into a place: the plug that came out of `came_from`, or a new one of `new_types` if None."""

    place: Place
    came_from: Place | None
    new_types: tuple[str, ...] = ()


def going_in(
    engine: EngineType,
    scheme: Scheme,
    rejected: Collection[Place] = (),
    types: Mapping[Place, str] | None = None,
) -> Worked[tuple[GoesIn, ...]]:
    """What goes into every place after some plugs were rejected, in the order of the engine's places.

    A new plug goes where the map sends the rejected one; the others never shift to close the hole. `types`:
    keys of the plug types that came out of the places, as far as known. Raises Refused for a rejected place
    the engine doesn't have, and where a plug would get to a place that doesn't take its type.
    """
    for at in rejected:
        engine.checked(at)
    back = {new: old for old, new in scheme.moves.items()}
    goes = tuple(_goes_in(engine, at, back[at], back[at] in rejected) for at in engine.places)
    _refuse_wrong_types(engine, goes, types or {})
    working = Working(
        title=f"Plugs going into {engine.title}: {scheme.title.lower()}",
        result=f"{len(goes) - len(set(rejected))} plugs go back in, {len(set(rejected))} new",
        inputs=(Input("rejected", ", ".join(str(at) for at in sorted(rejected)) or "none"),),
        steps=tuple(_going_step(each, back[each.place]) for each in goes),
        rules=(scheme.basis,),
        assumptions=("A new plug takes the place its predecessor would have gone to; no other plug shifts.",),
    )
    return Worked(goes, working)


def _goes_in(engine: EngineType, at: Place, old: Place, is_rejected: bool) -> GoesIn:
    if not is_rejected:
        return GoesIn(at, old)
    return GoesIn(at, None, tuple(each.key for each in engine.plug_types_at(at)))


def _going_step(goes: GoesIn, old: Place) -> Step:
    if goes.came_from is None:
        return Step(f"{goes.place} takes", f"a new plug, in place of the one from {old}")
    return Step(f"{goes.place} takes", f"the plug from {goes.came_from}")


def _refuse_wrong_types(engine: EngineType, goes: tuple[GoesIn, ...], types: Mapping[Place, str]) -> None:
    wrong = [
        f"{types[each.came_from]} from {each.came_from} to {each.place}"
        for each in goes
        if each.came_from is not None
        and each.came_from in types
        and types[each.came_from] not in {known.key for known in engine.plug_types_at(each.place)}
    ]
    if wrong:
        raise Refused(
            f"{engine.title} doesn't take these plugs where the rotation sends them: {'; '.join(wrong)}.",
            "Choose a scheme that keeps them in their row, or fit new ones of the type the place takes.",
        )
