"""Building a work package for a visit: what goes in, its cards, who may do them, in the order of work."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from annual_planner.library.shelf import Library
from annual_planner.planning.card_content import as_stored
from annual_planner.planning.drafts import (
    Draft,
    annual_drafts,
    discrepancy_draft,
    engines_of,
    requirement_drafts,
)
from annual_planner.planning.entitled import LeastAsked
from annual_planner.planning.in_order import drafts_in_order
from annual_planner.planning.merging import merged, on_engines
from annual_planner.planning.panel_cards import with_openings, without_missing_panels
from annual_planner.planning.reading import read_package
from annual_planner.planning.weighed import DONE_BY_THE_WHOLE, hours_on, visit_from, weighed_items
from annual_planner.records.edits import Changed
from annual_planner.store.audit import note_change
from annual_planner.store.fleet_reads import aircraft_sheet, discrepancies
from annual_planner.store.packages import (
    NewCard,
    NewItem,
    NewPackage,
    StoredPackage,
    add_cards,
    add_items,
    add_package,
    package_dates,
    put_back_package,
    take_out_package,
)
from annual_planner.store.rows import AircraftSheet, DiscrepancyLine
from annual_planner.store.session import Work
from annual_planner.store.weighable import Weighable, weighables
from annual_planner.trade.refused import Refused
from annual_planner.trade.weighing import Weighed
from annual_planner.trade.working import Worked

__all__ = ["BuildPackage", "PutBackPackage", "RemovePackage", "read_package"]

_KINDS = frozenset({"package", "card"})

Items = list[tuple[Weighable, Worked[Weighed]]]


@dataclass(frozen=True, slots=True)
class BuildPackage:
    """Plan a visit: everything due before the next annual would end is weighed, and the cards laid out."""

    aircraft_id: int
    start_on: date
    title: str
    library: Library

    @property
    def says(self) -> str:
        """What the menu calls it."""
        return f"new package '{self.title}'"

    def apply(self, work: Work, today: date) -> Changed:
        """Write the package with its items and cards down. Refused when it can't be laid out."""
        if not self.title.strip():
            raise Refused("The package has no title.", "Say what it is, such as 'Annual inspection'.")
        sheet = aircraft_sheet(work, self.aircraft_id)
        visit = visit_from(self.start_on)
        items = weighed_items(weighables(work, self.aircraft_id), visit, sheet, self.library)
        cards = lay_out(items, sheet, discrepancies(work, self.aircraft_id), self.library, self.start_on)
        package_id = add_package(
            work,
            NewPackage(
                aircraft_id=self.aircraft_id,
                title=self.title.strip(),
                start_on=visit.start_on,
                horizon_on=visit.horizon_on,
                hours_at_start=hours_on(sheet.hours_now, sheet, visit.start_on).value,
            ),
        )
        add_items(work, package_id, [_new_item(thing, weighed) for thing, weighed in items])
        add_cards(work, package_id, cards)
        after = {"title": self.title, "start_on": self.start_on, "items": len(items), "cards": len(cards)}
        note_change(work, "work_package", package_id, self.aircraft_id, "planned a package", {}, after)
        return Changed(_KINDS, RemovePackage(package_id), self.aircraft_id, package_id)


@dataclass(frozen=True, slots=True)
class RemovePackage:
    """Take a package that is still being planned away, with its items and cards."""

    package_id: int

    @property
    def says(self) -> str:
        """What the menu calls it."""
        return "removal of the package"

    def apply(self, work: Work, today: date) -> Changed:
        """Remove it. Refused when it is gone or work on it has begun."""
        dates = package_dates(work, self.package_id)
        if dates.state != "planning":
            raise Refused(
                f"Package {dates.number} is {dates.state}; its cards are records now.",
                "Leave single cards out of it instead.",
            )
        stored = take_out_package(work, self.package_id)
        before = {"number": dates.number, "title": dates.title, "cards": len(stored.cards)}
        note_change(work, "work_package", self.package_id, dates.aircraft_id, "removed a package", before, {})
        return Changed(_KINDS, PutBackPackage(self.package_id, stored), dates.aircraft_id)


@dataclass(frozen=True, slots=True)
class PutBackPackage:
    """Put a removed package back as it was."""

    package_id: int
    stored: StoredPackage

    @property
    def says(self) -> str:
        """What the menu calls it."""
        return "return of the package"

    def apply(self, work: Work, today: date) -> Changed:
        """Write its rows again under their old ids."""
        put_back_package(work, self.stored)
        dates = package_dates(work, self.package_id)
        after = {"number": dates.number, "title": dates.title, "cards": len(self.stored.cards)}
        note_change(work, "work_package", self.package_id, dates.aircraft_id, "put a package back", {}, after)
        return Changed(_KINDS, RemovePackage(self.package_id), dates.aircraft_id, self.package_id)


def _new_item(thing: Weighable, weighed: Worked[Weighed]) -> NewItem:
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
    items: Items, sheet: AircraftSheet, found: list[DiscrepancyLine], library: Library, on: date
) -> list[NewCard]:
    """Every card of the package, numbered in the order of work; those left out come behind.

    Refused when the cards wait for each other or the airplane's sheet leaves a count out.
    """
    drafts = _drafts(items, sheet, found, library)
    now = {thing.line.requirement_id for thing, weighed in items if weighed.value.do_now}
    inside = [draft for draft in drafts if included(draft.always, draft.content.requirements, now)]
    keys = {draft.key for draft in inside}
    outside = [draft for draft in drafts if draft.key not in keys]
    asked = LeastAsked(sheet, on, library.rules)
    ordered = [*drafts_in_order(inside), *drafts_in_order(outside)]
    return [_new_card(n, draft, draft.key in keys, asked) for n, draft in enumerate(ordered, 1)]


def included(always: bool, requirements: tuple[int, ...], now: set[int]) -> bool:
    """Say whether a card is in: it is anyway, or something that is done now asks for it."""
    return always or not now.isdisjoint(requirements)


def _drafts(
    items: Items, sheet: AircraftSheet, found: list[DiscrepancyLine], library: Library
) -> list[Draft]:
    zones = {zone.key: zone.title for zone in library.zones}
    asked = [thing for thing, _ in items if thing.line.key not in DONE_BY_THE_WHOLE]
    drafts = [
        *annual_drafts(library.cards, sheet),
        *(draft for thing in asked for draft in requirement_drafts(library.cards, thing, sheet)),
        *(discrepancy_draft(each, zones) for each in found),
    ]
    there = without_missing_panels(merged(drafts), library.zones, frozenset(sheet.features))
    return with_openings(on_engines(there, engines_of(sheet)), library)


def _new_card(number: int, draft: Draft, inside: bool, asked: LeastAsked) -> NewCard:
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
