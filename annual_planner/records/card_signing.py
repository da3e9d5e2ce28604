"""Signing a card: it is done, and its results, notes, parts and photographs are covered as they stand."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import TYPE_CHECKING, Any

from annual_planner.records.signable import Signable
from annual_planner.store.signed_subjects import CardToSign, card_to_sign
from annual_planner.trade.card_states import DONE
from annual_planner.trade.cards import WorkKind
from annual_planner.trade.people import WorkPiece
from annual_planner.trade.refused import Refused
from annual_planner.trade.signing import AIRWORTHY, LIST_GIVEN, PERFORMED, ToSign, meanings_of

if TYPE_CHECKING:
    from annual_planner.store.session import Work

INSPECTING = (PERFORMED, AIRWORTHY, LIST_GIVEN)


def card_work(card: CardToSign) -> WorkPiece:
    """The card as the rules see it."""
    return piece_of(card.title, {**card.content, "kind": card.kind})


def piece_of(title: str, told: Mapping[str, Any]) -> WorkPiece:
    """A piece of work from stored words. Raises Refused for a kind of work that there isn't."""
    try:
        kind = WorkKind(told.get("kind", WorkKind.REPAIR))
    except ValueError as fault:
        raise Refused(f"'{title}' is of no kind of work that is known.", "Look at the card again.") from fault
    return WorkPiece(
        title=title,
        kind=kind,
        subject=str(told.get("subject") or "airframe"),
        preventive=_words(told.get("preventive")),
        inspection=str(told.get("inspection") or ""),
        complex=bool(told.get("complex")),
        major=bool(told.get("major")),
    )


def _words(value: object) -> tuple[str, ...]:
    return tuple(str(each) for each in value) if isinstance(value, Iterable) else ()


def read_card(work: Work, card_id: int) -> ToSign:
    """The card as it stands."""
    card = card_to_sign(work, card_id)
    piece = card_work(card)
    return ToSign(
        kind="card",
        said=f"card {card.number} of {card.package}",
        values=card.values,
        work_on=card.done_on,
        meanings=INSPECTING if piece.inspection else meanings_of((piece,)),
        works=(piece,),
        aircraft_id=card.aircraft_id,
        package_id=card.package_id,
        performer_id=card.done_by_id,
    )


def check_card(work: Work, card_id: int) -> None:
    """Raise Refused for a card that isn't done."""
    card = card_to_sign(work, card_id)
    if not card.included or card.state != DONE or card.done_on is None:
        raise Refused(
            f"Card {card.number} of {card.package} isn't done.",
            "Set it to done, with the day and the person, then sign it.",
        )


SIGNABLE = Signable(read_card, check_card, touches="card")
