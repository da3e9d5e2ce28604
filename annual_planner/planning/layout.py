"""Laying out a package: every card for what was weighed and found, numbered in the order of work."""

from __future__ import annotations

from datetime import date

from annual_planner.library.shelf import Library
from annual_planner.planning.card_content import as_stored
from annual_planner.planning.drafts import (
    NO_TYPES,
    Draft,
    annual_drafts,
    discrepancy_draft,
    engines_of,
    requirement_drafts,
)
from annual_planner.planning.engine_cards import Types
from annual_planner.planning.entitled import LeastAsked
from annual_planner.planning.experience import NO_EXPERIENCE, Experience
from annual_planner.planning.in_order import drafts_in_order
from annual_planner.planning.merging import merged, on_engines
from annual_planner.planning.panel_cards import engine_panels, with_openings, without_missing_panels
from annual_planner.planning.weighed import DONE_BY_THE_WHOLE
from annual_planner.store.package_writes import NewCard, NewItem
from annual_planner.store.rows import AircraftSheet, DiscrepancyLine
from annual_planner.store.weighable import Weighable
from annual_planner.trade.people import Person
from annual_planner.trade.weighing import Weighed
from annual_planner.trade.working import Worked

Items = list[tuple[Weighable, Worked[Weighed]]]
"""Requirements with what is proposed for each."""


def new_item(thing: Weighable, weighed: Worked[Weighed]) -> NewItem:
    """The row of a weighed requirement, decided as proposed."""
    value = weighed.value
    return NewItem(
        requirement_id=thing.line.requirement_id,
        proposed_now=value.do_now,
        do_now=value.do_now,
        reason=value.reason,
        given_up_hours=value.given_up_hours,
        given_up_days=value.given_up_days,
    )


def lay_out(
    items: Items,
    sheet: AircraftSheet,
    found: list[DiscrepancyLine],
    library: Library,
    on: date,
    owner: Person | None = None,
    types: Types = NO_TYPES,
    before: Experience = NO_EXPERIENCE,
) -> list[NewCard]:
    """Every card of the package, numbered in the order of work; those left out come behind.

    `types`: the engine types of the airplane, as far as known. `before`: hours the shop's visits took.
    Refused when the cards wait for each other or the airplane's sheet leaves a count out.
    """
    drafts = [before.of_draft(draft) for draft in _drafts(items, sheet, found, library, types)]
    now = {thing.line.requirement_id for thing, weighed in items if weighed.value.do_now}
    inside = [draft for draft in drafts if included(draft.always, draft.content.requirements, now)]
    keys = {draft.key for draft in inside}
    outside = [draft for draft in drafts if draft.key not in keys]
    asked = LeastAsked(sheet, on, library.rules, owner)
    ordered = [*drafts_in_order(inside), *drafts_in_order(outside)]
    return [new_card(n, draft, draft.key in keys, asked) for n, draft in enumerate(ordered, 1)]


def included(always: bool, requirements: tuple[int, ...], now: set[int]) -> bool:
    """Say whether a card is in: it is anyway, or something that is done now asks for it."""
    return always or not now.isdisjoint(requirements)


def _drafts(
    items: Items, sheet: AircraftSheet, found: list[DiscrepancyLine], library: Library, types: Types
) -> list[Draft]:
    zones = {zone.key: zone for zone in library.zones}
    asked = [thing for thing, _ in items if thing.line.key not in DONE_BY_THE_WHOLE]
    drafts = [
        *annual_drafts(library.cards, sheet, types),
        *(draft for thing in asked for draft in requirement_drafts(library.cards, thing, sheet, types)),
        *(discrepancy_draft(each, zones) for each in found),
    ]
    there = without_missing_panels(merged(drafts), library.zones, frozenset(sheet.features))
    named = on_engines(there, engines_of(sheet), panels=engine_panels(library.zones))
    return with_openings(named, library)


def new_card(number: int, draft: Draft, inside: bool, asked: LeastAsked) -> NewCard:
    """The row of a card, with the least doer, signer and entry that the rules ask for."""
    needed = asked.needed(draft.title, draft.kind.value, draft.content).value
    return NewCard(
        number=number,
        key=draft.key,
        title=draft.title,
        zone=draft.zone,
        phase=draft.phase.value,
        kind=draft.kind.value,
        hours_low=draft.hours.low,
        hours_likely=draft.hours.likely,
        hours_high=draft.hours.high,
        content=as_stored(draft.content),
        origin=draft.origin,
        included=inside,
        doer=needed.done_by,
        signer=needed.signed_by,
        entry=needed.entry,
        requirement_id=next(iter(draft.content.requirements), None),
        discrepancy_id=draft.discrepancy_id,
        note=draft.note,
    )
