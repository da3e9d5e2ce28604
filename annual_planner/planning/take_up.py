"""Taking up in a package what came after it was planned: newly due requirements and new discrepancies."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date
from typing import Any

from annual_planner.library.shelf import Library
from annual_planner.planning.card_changes import CARD, CARD_CHANGED, ITEM, PACKAGE, open_package
from annual_planner.planning.card_content import as_stored, from_stored
from annual_planner.planning.drafts import DUE, Draft, discrepancy_draft, engines_of, requirement_drafts
from annual_planner.planning.entitled import LeastAsked, owner_person
from annual_planner.planning.experience import experience
from annual_planner.planning.in_order import drafts_in_order
from annual_planner.planning.layout import Items, included, new_card, new_item
from annual_planner.planning.merging import merged, on_engines
from annual_planner.planning.package_engines import engine_types
from annual_planner.planning.panel_cards import ENDS, engine_panels, with_openings, without_missing_panels
from annual_planner.planning.weighed import DONE_BY_THE_WHOLE, Visit, weighed_items
from annual_planner.records.edits import Changed
from annual_planner.store.audit import note_change
from annual_planner.store.fleet_reads import aircraft_sheet, discrepancies
from annual_planner.store.package_writes import add_cards, add_items
from annual_planner.store.packages import PackageDates, card_lines, item_lines
from annual_planner.store.rows import AircraftSheet, CardLine
from annual_planner.store.session import Work
from annual_planner.store.weighable import weighables
from annual_planner.store.writing import add, change, remove
from annual_planner.trade.cards import Hours, Phase, WorkKind
from annual_planner.trade.refused import Refused

_THERE = "there:"
"""Marks the opening cards of the package while the openings for new cards are worked out."""

Row = tuple[tuple[str, object], ...]
"""A row's columns with their values."""

CardState = tuple[int, bool, dict[str, Any]]
"""A card that was there before: its id, whether it is in, and its content."""


@dataclass(frozen=True, slots=True)
class _OfWhatIsNew:
    """Taking up what is new in a package, taking that back, and putting it back again."""

    package_id: int

    @property
    def says(self) -> str:
        """What the menu calls it."""
        return "taking up what is new"


@dataclass(frozen=True, slots=True)
class TakeUp(_OfWhatIsNew):
    """Weigh what has become due by the horizon since; make cards for it and for new discrepancies.

    Cards get the next numbers; a card that is there already is used, not doubled.
    """

    library: Library

    def apply(self, work: Work, today: date) -> Changed:
        """Write it down. Refused when nothing is new."""
        dates = open_package(work, self.package_id)
        sheet = aircraft_sheet(work, dates.aircraft_id)
        there = card_lines(work, self.package_id)
        items = self._new_items(work, dates, sheet)
        drafts = self._drafts(work, items, there, sheet)
        if not items and not drafts:
            raise Refused("Nothing is new since the package was planned.", "Go on with it as it is.")
        now = {thing.line.requirement_id for thing, weighed in items if weighed.value.do_now}
        known = {card.key: card for card in there}
        shared = [(known[draft.key], draft) for draft in drafts if draft.key in known]
        before = tuple(_share(work, card, draft, now, dates.aircraft_id) for card, draft in shared)
        item_ids = add_items(work, self.package_id, [new_item(*each) for each in items])
        added = drafts_in_order(draft for draft in drafts if draft.key not in known)
        card_ids = self._add_cards(work, dates, sheet, added, there, now)
        after = {"items": len(item_ids), "cards": len(card_ids)}
        note_change(work, PACKAGE, self.package_id, dates.aircraft_id, "took up what is new", {}, after)
        back = TakeBack(self.package_id, tuple(item_ids), tuple(card_ids), before)
        return Changed(CARD_CHANGED, back, dates.aircraft_id)

    def _new_items(self, work: Work, dates: PackageDates, sheet: AircraftSheet) -> Items:
        weighed_before = {item.due.requirement_id for item in item_lines(work, self.package_id)}
        things = [
            thing
            for thing in weighables(work, dates.aircraft_id)
            if thing.line.requirement_id not in weighed_before
        ]
        return weighed_items(things, Visit(dates.start_on, dates.horizon_on), sheet, self.library)

    def _drafts(self, work: Work, items: Items, there: list[CardLine], sheet: AircraftSheet) -> list[Draft]:
        """Cards for what is new, with the openings that no card there makes yet."""
        zones = {zone.key: zone for zone in self.library.zones}
        repaired = {card.discrepancy_id for card in there}
        every = discrepancies(work, sheet.aircraft_id)
        found = [each for each in every if each.discrepancy_id not in repaired]
        asked = [thing for thing, _ in items if thing.line.key not in DONE_BY_THE_WHOLE]
        types = engine_types(work, sheet.aircraft_id, self.library)
        cards = self.library.cards
        new = [draft for thing in asked for draft in requirement_drafts(cards, thing, sheet, types)]
        new += [discrepancy_draft(each, zones) for each in found]
        own = without_missing_panels(merged(new), self.library.zones, frozenset(sheet.features))
        openings = [_as_draft(card) for card in there if card.kind in ENDS and card.included]
        keys, panels = (card.key for card in there), engine_panels(self.library.zones)
        named = on_engines(own, engines_of(sheet), keys, panels)
        return _apart(with_openings([*named, *openings], self.library), there)

    def _add_cards(
        self,
        work: Work,
        dates: PackageDates,
        sheet: AircraftSheet,
        drafts: list[Draft],
        there: list[CardLine],
        now: set[int],
    ) -> list[int]:
        last = max((card.number for card in there), default=0)
        asked = LeastAsked(sheet, dates.start_on, self.library.rules, owner_person(work, sheet))
        before = experience(work)
        cards = [
            new_card(
                n, before.of_draft(draft), included(draft.always, draft.content.requirements, now), asked
            )
            for n, draft in enumerate(drafts, last + 1)
        ]
        return add_cards(work, self.package_id, cards)


def _as_draft(card: CardLine) -> Draft:
    return Draft(
        key=_THERE + card.key,
        title=card.title,
        zone=card.zone,
        phase=Phase(card.phase),
        kind=WorkKind(card.kind),
        hours=Hours(card.hours_low, card.hours_likely, card.hours_high),
        content=from_stored(card.content),
        origin=card.origin,
        always=True,
    )


def _apart(drafts: list[Draft], there: list[CardLine]) -> list[Draft]:
    """The drafts that are new; a further opening of a zone gets a key of its own."""
    known = {card.key for card in there}
    return [_renamed(draft, known, len(there)) for draft in drafts if not draft.key.startswith(_THERE)]


def _renamed(draft: Draft, known: set[str], count: int) -> Draft:
    further = draft.kind in ENDS and not draft.content.template and draft.key in known
    return replace(draft, key=f"{draft.key}~{count}") if further else draft


def _share(work: Work, card: CardLine, draft: Draft, now: set[int], aircraft_id: int) -> CardState:
    """Let a card that is there serve the new requirements too; what it was before."""
    content = from_stored(card.content)
    needs = tuple(dict.fromkeys((*content.requirements, *draft.content.requirements)))
    wants = {
        "content": as_stored(replace(content, requirements=needs)),
        "included": card.included or (card.origin == DUE and not now.isdisjoint(needs)),
    }
    _change_state(work, card.card_id, wants, aircraft_id)
    return card.card_id, card.included, card.content


def _change_state(work: Work, card_id: int, wants: dict[str, object], aircraft_id: int) -> None:
    change(work, CARD, card_id, {}, wants, aircraft_id=aircraft_id, said="card")


@dataclass(frozen=True, slots=True)
class TakeBack(_OfWhatIsNew):
    """Take away again what was taken up: items, cards, and what other cards were made to serve."""

    item_ids: tuple[int, ...]
    card_ids: tuple[int, ...]
    states: tuple[CardState, ...]

    def apply(self, work: Work, today: date) -> Changed:
        """Remove the rows and put the other cards back as they were."""
        aircraft_id = open_package(work, self.package_id).aircraft_id
        cards = tuple(_removed(work, CARD, each, aircraft_id) for each in self.card_ids)
        items = tuple(_removed(work, ITEM, each, aircraft_id) for each in self.item_ids)
        after = _put_states(work, self.package_id, self.states, aircraft_id)
        return Changed(CARD_CHANGED, PutBackTaken(self.package_id, items, cards, after), aircraft_id)


@dataclass(frozen=True, slots=True)
class PutBackTaken(_OfWhatIsNew):
    """Put back what was taken up and taken away again, as it was."""

    items: tuple[Row, ...]
    cards: tuple[Row, ...]
    states: tuple[CardState, ...]

    def apply(self, work: Work, today: date) -> Changed:
        """Write the rows again under their old ids."""
        aircraft_id = open_package(work, self.package_id).aircraft_id
        items = tuple(_added(work, ITEM, row, aircraft_id) for row in self.items)
        cards = tuple(_added(work, CARD, row, aircraft_id) for row in self.cards)
        before = _put_states(work, self.package_id, self.states, aircraft_id)
        return Changed(CARD_CHANGED, TakeBack(self.package_id, items, cards, before), aircraft_id)


def _said(table: str) -> str:
    return "card" if table == CARD else "item"


def _removed(work: Work, table: str, row_id: int, aircraft_id: int) -> Row:
    return tuple(remove(work, table, row_id, aircraft_id=aircraft_id, said=_said(table)).items())


def _added(work: Work, table: str, row: Row, aircraft_id: int) -> int:
    return add(work, table, dict(row), aircraft_id=aircraft_id, said=_said(table))


def _put_states(
    work: Work, package_id: int, states: tuple[CardState, ...], aircraft_id: int
) -> tuple[CardState, ...]:
    """Write these states; those that were there instead."""
    wanted = {card_id: (inside, content) for card_id, inside, content in states}
    before = [card for card in card_lines(work, package_id) if card.card_id in wanted]
    for card in before:
        inside, content = wanted[card.card_id]
        _change_state(work, card.card_id, {"included": inside, "content": content}, aircraft_id)
    return tuple((card.card_id, card.included, card.content) for card in before)
