"""What must hold before work on a card is written down."""

from __future__ import annotations

from typing import TYPE_CHECKING

from annual_planner.records.predecessors import Before, open_predecessors
from annual_planner.store.doing_rows import CardPlace
from annual_planner.store.signed_reads import signed_of
from annual_planner.trade.card_states import ASKS_WHY, DONE, FOLLOWS, WORKABLE
from annual_planner.trade.package_states import CLOSED
from annual_planner.trade.refused import Refused

if TYPE_CHECKING:
    from annual_planner.store.session import Work


def only_text(words: str) -> str:
    """Words without the space around them."""
    return words.strip()


def because(says: str, why: str) -> str:
    """What an edit is called, with the reason for it where one was given."""
    return f"{says}: {only_text(why)}" if why.strip() else says


def check_open_package(place: CardPlace) -> None:
    """Refused for a card of a closed package, or one that was left out."""
    if place.package_state == CLOSED:
        raise Refused(f"Package {place.package} is closed.", "A closed one stays as it is; plan a new one.")
    if not place.included:
        raise Refused(f"Card {place.number} was left out of the package.", "Take it in first.")


def check_workable(place: CardPlace) -> None:
    """Refused for a card that is finished, left out or of a closed package."""
    check_open_package(place)
    if place.state not in WORKABLE:
        raise Refused(f"Card {place.number} is {place.state}.", "Reopen it first, and say why.")


def check_unsigned(work: Work, place: CardPlace) -> None:
    """Refused for a done card that was signed: what is signed stays as it was signed."""
    signed = signed_of(work, "work_card", [place.card_id]) if place.state == DONE else ()
    if any(line.corrected_by_id is None for line in signed):
        raise Refused(
            f"Card {place.number} is signed.", "Reopen it and say why; the signed record stays as it is."
        )


def check_order(work: Work, card_id: int, why: str) -> None:
    """Refused where cards that come first can't wait, or the reason for going before them is missing."""
    ahead = open_predecessors(work, card_id).value
    unsafe = [before for before in ahead if not before.safe]
    if unsafe:
        rules = "; ".join(dict.fromkeys(each.rule.citation for each in unsafe))
        raise Refused(f"Not before {_named(unsafe)}: {rules}.", f"{unsafe[0].rule.says} Finish that first.")
    if ahead and not why.strip():
        raise Refused(
            f"{_named(list(ahead))} should come first.",
            "It may be worked now; write down why it goes before.",
        )


def _named(ahead: list[Before]) -> str:
    said = ", ".join(f"card {each.number} '{each.title}'" for each in ahead[:3])
    return said if len(ahead) <= 3 else f"{said} and {len(ahead) - 3} more"


def check_state(place: CardPlace, saw: str, wants: str, why: str, person_id: int | None) -> None:
    """Refused for a state that can't come next, without the reason or the person it needs."""
    check_open_package(place)
    if wants not in FOLLOWS.get(saw, ()):
        raise Refused(f"A card that is {saw} can't be set to '{wants}'.", _may(saw))
    if wants in ASKS_WHY and not why.strip():
        raise Refused(f"A card that is {wants} needs a reason.", "Write down why, in a few words.")
    if saw not in WORKABLE and not why.strip():
        raise Refused(f"Card {place.number} is {saw}; opening it again needs a reason.", "Write down why.")
    if wants == DONE and person_id is None:
        raise Refused("Whoever did it must be named.", "Say who did the card.")


def _may(saw: str) -> str:
    return f"It may be set to: {', '.join(FOLLOWS[saw])}." if saw in FOLLOWS else "Look at the card again."
