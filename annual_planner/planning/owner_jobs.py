"""What the owner may prepare, under which authority, and what is better left alone."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import date

from annual_planner.library.shelf import Library
from annual_planner.planning.card_content import CardContent
from annual_planner.planning.entitled import airplane_of, work_piece
from annual_planner.planning.package_view import OwnerJob, OwnerNote
from annual_planner.planning.sums import Contents
from annual_planner.store.rows import AircraftSheet, CardLine
from annual_planner.trade.authority import Authority, MayDo, authority
from annual_planner.trade.cards import Caution, Phase, WorkKind
from annual_planner.trade.people import Person, Standing

MAY_SIGN = "may do and sign (43.3(g), 43.7(f))"
MAY_DO = "may do, a certificated person signs (43.3(g), 43.7)"
SUPERVISED = "under the mechanic's eye, no signature"

LEAVE_ALONE = (
    "Washing the engine or belly before it is seen: stains show where it leaks (common practice, no source).",
    "Turning the propeller by hand: treat it as live until the shop has made it safe.",
    "Draining the oil or taking plugs out before arrival: the hot checks come first and need a warm engine.",
    "Anything on the inspection itself: only the inspector may inspect (43.3, 65.95(a)(2)).",
    "Panels, wires, controls and fuel lines not on this list: what nobody knows was opened stays open.",
)
"""What owners are asked to leave alone at every annual, each with its reason."""

BEFOREHAND = (Phase.RESEARCH, Phase.HOT_CHECKS)
LOOKED_AT = (WorkKind.INSPECT, WorkKind.TEST)
"""Phases and kinds of cards whose note tells the owner what to bring or look up before the airplane comes."""

_LEFT = "leave"
"""A card's note to the owner begins so where the shop asks to leave it alone."""


def owner_jobs(
    cards: Iterable[CardLine],
    contents: Contents,
    sheet: AircraftSheet,
    owner: Person | None,
    on: date,
    library: Library,
) -> tuple[OwnerJob, ...]:
    """Cards that the owner may do: preventive ones by own certificate, opening and cleaning supervised.

    Where the owner isn't recorded, nothing is offered but supervised work.
    """
    cautions = {caution.key: caution for caution in library.cautions}
    found = []
    for card in cards:
        content = contents[card.card_id]
        answer = _answer(card, content, sheet, owner, on, library)
        if answer:
            found.append(_job(card, content, answer, cautions))
    return tuple(found)


def _answer(
    card: CardLine,
    content: CardContent,
    sheet: AircraftSheet,
    owner: Person | None,
    on: date,
    library: Library,
) -> str:
    """The authority in words, empty when the card isn't the owner's."""
    if content.inspection or content.owner_note.lower().startswith(_LEFT):
        return ""
    if content.preventive and owner is not None:
        work = work_piece(card.title, card.kind, content)
        own = authority(work, owner, airplane_of(sheet), Standing.OWNER, on, library.rules)
        if own.may_do is MayDo.YES:
            return _own_words(own)
    offered = card.kind in (WorkKind.OPEN, WorkKind.CLEAN) and bool(content.owner_note)
    return SUPERVISED if offered else ""


def _own_words(own: Authority) -> str:
    return MAY_SIGN if own.may_sign else MAY_DO


def _job(card: CardLine, content: CardContent, answer: str, cautions: Mapping[str, Caution]) -> OwnerJob:
    saves = f"Saves the shop about {card.hours_likely.normalize():f} h of work"
    if content.preventive:
        saves += f"; preventive maintenance, {', '.join(content.preventive)}"
    return OwnerJob(
        card_number=card.number,
        title=card.title,
        why=f"{saves}. {content.owner_note}".strip(),
        authority=answer,
        steps=content.steps,
        cautions=tuple(cautions[key] for key in content.cautions if key in cautions),
    )


def owner_first(cards: Iterable[CardLine], contents: Contents) -> tuple[OwnerNote, ...]:
    """What the owner brings, looks up or gets ready before the airplane comes in, each once."""
    found: dict[str, OwnerNote] = {}
    for card in cards:
        content = contents[card.card_id]
        note = content.owner_note
        works = content.preventive or card.kind in (WorkKind.OPEN, WorkKind.CLEAN)
        early = card.phase in BEFOREHAND or card.kind in LOOKED_AT
        if note and early and not works and not note.lower().startswith(_LEFT):
            found.setdefault(note, OwnerNote(card.number, note))
    return tuple(found.values())


NOT_THE_OWNERS = (
    "Oil, filters, plugs, bearings and other preventive maintenance: no certificate on record lets this owner"
    " do it on this airplane (43.3(g)); it stays the shop's."
)
"""Said where nothing on the list of preventive maintenance is the owner's."""


def leave_alone(
    cards: Iterable[CardLine], contents: Contents, jobs: Iterable[OwnerJob] = ()
) -> tuple[str, ...]:
    """What the owner is asked to leave alone: the shop's standing wishes and those of single cards.

    `jobs`: what the owner may do; where none of it is preventive maintenance, that is said too.
    """
    cards = tuple(cards)
    own = any(job.authority in (MAY_SIGN, MAY_DO) for job in jobs)
    preventive = any(contents[card.card_id].preventive for card in cards)
    noted = [
        f"{card.title}: {_inside(contents[card.card_id].owner_note)}"
        for card in cards
        if contents[card.card_id].owner_note.lower().startswith(_LEFT)
    ]
    barred = (NOT_THE_OWNERS,) if preventive and not own else ()
    return (*LEAVE_ALONE, *barred, *dict.fromkeys(noted))


def _inside(note: str) -> str:
    """A note as it stands after a colon."""
    return note[:1].lower() + note[1:]
