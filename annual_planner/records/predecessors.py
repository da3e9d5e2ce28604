"""Which cards of a package should come before one, from what is stored."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

from annual_planner.store.packages import card_line, card_lines
from annual_planner.trade.before import comes_first
from annual_planner.trade.card_states import FINISHED
from annual_planner.trade.cards import Phase, WorkKind
from annual_planner.trade.sequence import CardInOrder
from annual_planner.trade.working import Rule, Worked

if TYPE_CHECKING:
    from annual_planner.store.rows import CardLine
    from annual_planner.store.session import Work


@dataclass(frozen=True, slots=True)
class Before:
    """A card that isn't finished and should come first; `safe`: this one may go before it, with a reason."""

    card_id: int
    number: int
    title: str
    why: str
    rule: Rule
    safe: bool


def open_predecessors(work: Work, card_id: int) -> Worked[tuple[Before, ...]]:
    """What isn't finished and should come before a card, unsafe ones first. Refused when the card is gone."""
    card = card_line(work, card_id)
    return predecessors_among(card, card_lines(work, card.package_id))


def predecessors_among(card: CardLine, every: list[CardLine]) -> Worked[tuple[Before, ...]]:
    """The same, from cards already read."""
    lines = {_key(each): each for each in every if each.included or each.card_id == card.card_id}
    finished = [key for key, each in lines.items() if each.state in FINISHED]
    worked = comes_first(_key(card), [as_in_order(each) for each in lines.values()], finished)
    found = tuple(
        Before(lines[a.key].card_id, lines[a.key].number, a.title, a.why, a.rule, a.safe)
        for a in worked.value
    )
    return Worked(found, worked.working)


def as_in_order(card: CardLine) -> CardInOrder:
    """What the order of work needs to know of a stored card."""
    content: Mapping[str, object] = card.content
    return CardInOrder(
        key=_key(card),
        title=card.title,
        phase=Phase(card.phase),
        kind=WorkKind(card.kind),
        zone=card.zone,
        panels=_words(content.get("panels")),
        after=_words(content.get("after")),
        turns_propeller=bool(content.get("turns_propeller")),
        makes_propeller_safe=bool(content.get("makes_propeller_safe")),
    )


def _key(card: CardLine) -> str:
    """Own cards go by their id, since they may share a key after undos."""
    return f"own:{card.card_id}" if card.origin == "own" else card.key


def _words(value: object) -> tuple[str, ...]:
    return tuple(str(each) for each in value) if isinstance(value, list | tuple) else ()
