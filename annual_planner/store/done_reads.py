"""What entries are composed from: the cards of a package that are done, with results, parts and repairs."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import Any

from sqlalchemy import select

from annual_planner.store.doing_mappings import CardNoteRow, CardResultRow, PartUsedRow
from annual_planner.store.mappings import PersonRow, RequirementRow
from annual_planner.store.session import Work
from annual_planner.store.work_mappings import CardRow, DiscrepancyRow
from annual_planner.trade.card_states import DONE
from annual_planner.trade.periods import Force


@dataclass(frozen=True, slots=True)
class DirectiveMet:
    """A directive that a card meets."""

    requirement_id: int
    title: str
    number: str
    revised_on: date | None
    recurring: bool


_NOTES_OF_PEOPLE = ("own", "discrepancy")
"""Origins of cards whose note was written about the work; other notes are about the plan."""


@dataclass(frozen=True, slots=True)
class DoneCard:
    """A card that was done: by whom and when, and what the entry for it is made of."""

    card_id: int
    number: int
    title: str
    kind: str
    phase: str
    entry: str
    signer: str
    content: dict[str, Any]
    done_by_id: int | None
    done_by: str
    done_on: date | None
    note: str
    """What people wrote on it about the work; what the plan says of itself is left out."""
    parts: tuple[str, ...]
    results: tuple[str, ...]
    directives: tuple[DirectiveMet, ...]


@dataclass(frozen=True, slots=True)
class FoundOnPackage:
    """A discrepancy of a package as it stands: what was found, decided, and deferred until when."""

    discrepancy_id: int
    zone: str
    text: str
    airworthy: bool | None
    state: str
    disposition: str
    deferred_until: date | None
    placard: str
    cylinder: int | None


def done_cards(work: Work, package_id: int) -> tuple[DoneCard, ...]:
    """The included cards of a package that are done, by number: a fixed number of queries."""
    query = (
        select(CardRow, PersonRow.name)
        .outerjoin(PersonRow, PersonRow.id == CardRow.done_by_id)
        .where(CardRow.package_id == package_id, CardRow.included, CardRow.state == DONE)
        .order_by(CardRow.number)
    )
    rows = work.session.execute(query).all()
    ids = [card.id for card, _ in rows]
    parts, results, notes = _parts(work, ids), _results(work, ids), _notes(work, ids)
    directives = _directives(work, {each for card, _ in rows for each in asked_by(card)})
    return tuple(
        DoneCard(
            card_id=card.id,
            number=card.number,
            title=card.title,
            kind=card.kind,
            phase=card.phase,
            entry=card.entry,
            signer=card.signer,
            content=card.content,
            done_by_id=card.done_by_id,
            done_by=name or "",
            done_on=card.done_on,
            note=" ".join((*_own_note(card), *notes.get(card.id, ()))),
            parts=tuple(parts.get(card.id, ())),
            results=tuple(results.get(card.id, ())),
            directives=tuple(directives[each] for each in asked_by(card) if each in directives),
        )
        for card, name in rows
    )


def asked_by(card: CardRow) -> tuple[int, ...]:
    """Ids of the requirements that a card meets."""
    own = (card.requirement_id,) if card.requirement_id is not None else ()
    return tuple(dict.fromkeys((*own, *card.content.get("requirements", ()))))


def _own_note(card: CardRow) -> tuple[str, ...]:
    text = card.note.strip() if card.origin in _NOTES_OF_PEOPLE else ""
    return (text,) if text else ()


def _notes(work: Work, card_ids: list[int]) -> dict[int, list[str]]:
    """Words written on the cards while they were worked, the oldest first."""
    found: dict[int, list[str]] = {}
    query = select(CardNoteRow.card_id, CardNoteRow.text).where(CardNoteRow.card_id.in_(card_ids))
    for card_id, text in work.session.execute(query.order_by(CardNoteRow.written_at, CardNoteRow.id)):
        found.setdefault(card_id, []).append(" ".join(text.split()))
    return found


def _parts(work: Work, card_ids: list[int]) -> dict[int, list[str]]:
    found: dict[int, list[str]] = {}
    query = select(PartUsedRow).where(PartUsedRow.card_id.in_(card_ids)).order_by(PartUsedRow.id)
    for row in work.session.scalars(query):
        found.setdefault(row.card_id or 0, []).append(part_said(row.name, row.quantity, row.unit, row.serial))
    return found


def part_said(name: str, quantity: Decimal, unit: str, serial: str) -> str:
    """A part that was used, as an entry names it."""
    amount = f"{quantity.normalize():f} {unit}".strip()
    return f"{name}, {amount}" + (f", serial {serial}" if serial else "")


def _results(work: Work, card_ids: list[int]) -> dict[int, list[str]]:
    found: dict[int, list[str]] = {}
    query = select(CardResultRow).where(CardResultRow.card_id.in_(card_ids)).order_by(CardResultRow.id)
    for row in work.session.scalars(query):
        value = row.text if row.value is None else f"{row.value:g} {row.unit}".strip()
        found.setdefault(row.card_id, []).append(f"{row.measurement} {value}".strip())
    return found


def _directives(work: Work, requirement_ids: set[int]) -> dict[int, DirectiveMet]:
    query = select(RequirementRow).where(
        RequirementRow.id.in_(requirement_ids), RequirementRow.force == Force.DIRECTIVE.value
    )
    return {
        row.id: DirectiveMet(
            requirement_id=row.id,
            title=row.title,
            number=row.directive_number or row.citation,
            revised_on=row.directive_revised_on,
            recurring=row.recurring,
        )
        for row in work.session.scalars(query)
    }


def found_on_package(work: Work, package_id: int, aircraft_id: int) -> tuple[FoundOnPackage, ...]:
    """Discrepancies found on a package, and those of its airplane still open, oldest first."""
    query = (
        select(DiscrepancyRow)
        .where(
            DiscrepancyRow.aircraft_id == aircraft_id,
            (DiscrepancyRow.package_id == package_id) | DiscrepancyRow.closed_on.is_(None),
        )
        .order_by(DiscrepancyRow.found_on, DiscrepancyRow.id)
    )
    return tuple(
        FoundOnPackage(
            discrepancy_id=row.id,
            zone=row.zone,
            text=row.text,
            airworthy=row.airworthy,
            state=row.state,
            disposition=row.disposition,
            deferred_until=row.deferred_until,
            placard=row.placard,
            cylinder=row.cylinder,
        )
        for row in work.session.scalars(query)
    )
