"""Cards of a package in the order of work, by the trade's rules."""

from __future__ import annotations

from collections.abc import Iterable

from annual_planner.planning.card_content import CardContent, from_stored
from annual_planner.planning.drafts import OWN, Draft
from annual_planner.store.rows import CardLine
from annual_planner.trade.cards import Phase, WorkKind
from annual_planner.trade.sequence import CardInOrder, order
from annual_planner.trade.working import Working


def draft_in_order(draft: Draft) -> CardInOrder:
    """What the order of work needs to know of a card to be."""
    return _in_order(draft.key, draft.title, draft.phase, draft.kind, draft.zone, draft.content)


def key_in_order(card: CardLine) -> str:
    """A stored card's key in the order; own cards go by their id, since they may share a key after undos."""
    return f"own:{card.card_id}" if card.origin == OWN else card.key


def line_in_order(card: CardLine) -> CardInOrder:
    """What the order of work needs to know of a stored card."""
    return _in_order(
        key_in_order(card),
        card.title,
        Phase(card.phase),
        WorkKind(card.kind),
        card.zone,
        from_stored(card.content),
    )


def _in_order(
    key: str, title: str, phase: Phase, kind: WorkKind, zone: str, content: CardContent
) -> CardInOrder:
    return CardInOrder(
        key=key,
        title=title,
        phase=phase,
        kind=kind,
        zone=zone,
        panels=content.panels,
        after=content.after,
        turns_propeller=content.turns_propeller,
        makes_propeller_safe=content.makes_propeller_safe,
    )


def drafts_in_order(drafts: Iterable[Draft]) -> list[Draft]:
    """The cards to be in the order of work. Refused when they wait for each other."""
    by_key = {draft.key: draft for draft in drafts}
    return [by_key[key] for key in order([draft_in_order(draft) for draft in by_key.values()]).value]


def lines_in_order(cards: Iterable[CardLine]) -> tuple[tuple[CardLine, ...], Working]:
    """Stored cards in the order of work, and why. Refused when they wait for each other."""
    by_key = {key_in_order(card): card for card in cards}
    worked = order([line_in_order(card) for card in by_key.values()])
    return tuple(by_key[key] for key in worked.value), worked.working
