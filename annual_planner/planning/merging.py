"""Cards that repeat each other become one; names of an engine's cards and panels where there are several."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping
from dataclasses import replace
from typing import TypeVar

from annual_planner.planning.card_content import CardContent, ToMeasure, UsedPart
from annual_planner.planning.drafts import ANNUAL, Draft, engine_key
from annual_planner.trade.cards import ENGINE_ZONES, Hours

T = TypeVar("T")
N = TypeVar("N", UsedPart, ToMeasure)


def merged(drafts: Iterable[Draft]) -> list[Draft]:
    """One card for each job: cards of one key, or of one merge key and phase, for one engine become one.

    A job may begin in one phase and end in another (oil drained hot, filled later): those stay two cards.

    The card with the most hours stays, with what the others add; hours are the greater, not a sum. Its
    content says which were taken in, and who waited for one of those waits for it.
    """
    jobs: dict[tuple[str, int], list[Draft]] = {}
    for draft in drafts:
        jobs.setdefault((_job(draft), draft.content.engine), []).append(draft)
    kept = {job: _one(same) for job, same in jobs.items()}
    moved = {draft.key: kept[job].key for job, same in jobs.items() for draft in same}
    return [_waiting_for(draft, moved) for draft in kept.values()]


def _job(draft: Draft) -> str:
    key = draft.content.merge_key
    return f"{key}, {draft.phase.value}" if key else draft.key.split("#")[0]


def _one(same: list[Draft]) -> Draft:
    if len(same) == 1:
        return same[0]
    base = max(same, key=lambda draft: draft.hours.likely)
    result = base
    for other in same:
        if other is not base:
            result = _taken_in(result, other)
    return result


def _taken_in(base: Draft, other: Draft) -> Draft:
    """The base card with what the other adds to it."""
    origin = ANNUAL if ANNUAL in (base.origin, other.origin) else base.origin
    hours = Hours(*(max(getattr(base.hours, n), getattr(other.hours, n)) for n in ("low", "likely", "high")))
    return replace(
        base,
        content=_joined(base, other),
        origin=origin,
        always=base.always or other.always,
        hours=hours,
        note="; ".join(text for text in (base.note, _takes_in(base, other)) if text),
    )


def _takes_in(base: Draft, other: Draft) -> str:
    return "" if other.title == base.title else f"takes in '{other.title}', hours counted once"


def _joined(base: Draft, other: Draft) -> CardContent:
    mine, its = base.content, other.content
    taken = () if other.title == base.title else (other.title,)
    return replace(
        mine,
        steps=_union(mine.steps, its.steps),
        panels=_union(mine.panels, its.panels),
        tools=_union(mine.tools, its.tools),
        cautions=_union(mine.cautions, its.cautions),
        references=_union(mine.references, its.references),
        covers=_union(mine.covers, its.covers),
        preventive=_union(mine.preventive, its.preventive),
        after=_union(mine.after, its.after),
        settles=_union(mine.settles, its.settles),
        requirements=_union(mine.requirements, its.requirements),
        parts=_by_name(mine.parts, its.parts),
        measurements=_by_name(mine.measurements, its.measurements),
        owner_note=mine.owner_note or its.owner_note,
        turns_propeller=mine.turns_propeller or its.turns_propeller,
        makes_propeller_safe=mine.makes_propeller_safe or its.makes_propeller_safe,
        complex=mine.complex or its.complex,
        major=mine.major or its.major,
        inspector=mine.inspector or its.inspector,
        inspection=mine.inspection or its.inspection,
        merged=_union(mine.merged, taken),
    )


def _union(mine: tuple[T, ...], its: tuple[T, ...]) -> tuple[T, ...]:
    return tuple(dict.fromkeys((*mine, *its)))


def _by_name(mine: tuple[N, ...], its: tuple[N, ...]) -> tuple[N, ...]:
    """Mine, and those of the other that have a name of their own: a part or reading isn't needed twice."""
    names = {each.name for each in mine}
    return mine + tuple(each for each in its if each.name not in names)


def _waiting_for(draft: Draft, moved: Mapping[str, str]) -> Draft:
    """The draft with each predecessor named by the card that is now it."""
    after = (moved.get(key, key) for key in draft.content.after)
    waits = tuple(dict.fromkeys(key for key in after if key != draft.key))
    return replace(draft, content=replace(draft.content, after=waits))


def on_engines(
    drafts: Iterable[Draft], engines: int, there: Iterable[str] = (), panels: Collection[str] = ()
) -> list[Draft]:
    """Name predecessors and panels of each engine where an airplane has several.

    A card of engine 2 waits for that engine's cards; a card of the whole airplane waits for those of each.
    Predecessors that this airplane doesn't have fall away; `there`: keys of cards that are there already.
    `panels`: keys of the panels that each engine has its own of, such as its cowling.
    """
    listed = list(drafts)
    present = {*there, *(draft.key for draft in listed)}
    return [_on_engines(draft, present, engines, panels) for draft in listed]


def _on_engines(draft: Draft, present: set[str], engines: int, of_engines: Collection[str]) -> Draft:
    own = draft.content.engine
    places = (own,) if own else tuple(range(1, engines + 1))
    after = tuple(name for key in draft.content.after for name in _named(key, places, present))
    panels = draft.content.panels
    if engines > 1:
        whole = draft.zone in ENGINE_ZONES
        split = {panel: places if whole or panel in of_engines else (0,) for panel in panels}
        panels = tuple(engine_key(panel, place) for panel, each in split.items() for place in each)
    return replace(draft, content=replace(draft.content, after=after, panels=panels))


def _named(key: str, places: tuple[int, ...], present: set[str]) -> tuple[str, ...]:
    if key in present:
        return (key,)
    return tuple(name for place in places if (name := engine_key(key, place)) in present)
