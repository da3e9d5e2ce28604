"""What the closing of a package is judged by: its cards as they stand, and its entries."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Any

from sqlalchemy import select
from sqlalchemy.orm import aliased

from annual_planner.store.doing_mappings import CardResultRow
from annual_planner.store.mappings import AssemblyRow, InstallationRow, PersonRow
from annual_planner.store.record_mappings import LogEntryRow
from annual_planner.store.session import Work
from annual_planner.store.work_mappings import CardRow, DiscrepancyRow


@dataclass(frozen=True, slots=True)
class ClosingCard:
    """An included card as it stands; `results`: the names of the measurements that have one.

    `out`: those out of the card's limits. `found`: whether a discrepancy was found on it.
    """

    card_id: int
    number: int
    title: str
    state: str
    state_why: str
    entry: str
    signer: str
    done_by_id: int | None
    done_by: str
    content: dict[str, Any]
    results: tuple[str, ...]
    out: tuple[str, ...]
    found: bool


@dataclass(frozen=True, slots=True)
class ClosingEntry:
    """An entry of a package that stands: a draft or signed, not a superseded one."""

    entry_id: int
    kind: str
    book: str
    """'airframe', 'engine 1', 'propeller 2' …"""
    assembly_id: int | None
    work_on: date
    approved: bool | None
    text: str
    state: str
    card_ids: tuple[int, ...]
    facts: dict[str, Any]


def closing_cards(work: Work, package_id: int) -> tuple[ClosingCard, ...]:
    """The included cards of a package by number: three queries."""
    query = (
        select(CardRow, PersonRow.name)
        .outerjoin(PersonRow, PersonRow.id == CardRow.done_by_id)
        .where(CardRow.package_id == package_id, CardRow.included)
        .order_by(CardRow.number)
    )
    results: dict[int, list[str]] = {}
    out: dict[int, list[str]] = {}
    measured = (
        select(CardResultRow.card_id, CardResultRow.measurement, CardResultRow.within)
        .join(CardRow, CardRow.id == CardResultRow.card_id)
        .where(CardRow.package_id == package_id)
    )
    for card_id, name, within in work.session.execute(measured):
        results.setdefault(card_id, []).append(name)
        if within is False:
            out.setdefault(card_id, []).append(name)
    raised = select(DiscrepancyRow.card_id).join(CardRow, CardRow.id == DiscrepancyRow.card_id)
    found = set(work.session.scalars(raised.where(CardRow.package_id == package_id)))
    return tuple(
        ClosingCard(
            card_id=card.id,
            number=card.number,
            title=card.title,
            state=card.state,
            state_why=card.state_why,
            entry=card.entry,
            signer=card.signer,
            done_by_id=card.done_by_id,
            done_by=name or "",
            content=card.content,
            results=tuple(results.get(card.id, ())),
            out=tuple(out.get(card.id, ())),
            found=card.id in found,
        )
        for card, name in work.session.execute(query)
    )


def closing_entries(work: Work, package_id: int) -> tuple[ClosingEntry, ...]:
    """The entries of a package that are drafts or signed, oldest first: one query."""
    stay = aliased(InstallationRow)
    query = (
        select(LogEntryRow, AssemblyRow.kind, stay.position)
        .outerjoin(AssemblyRow, AssemblyRow.id == LogEntryRow.assembly_id)
        .outerjoin(
            stay,
            (stay.assembly_id == LogEntryRow.assembly_id)
            & (stay.aircraft_id == LogEntryRow.aircraft_id)
            & stay.removed_on.is_(None),
        )
        .where(LogEntryRow.package_id == package_id, LogEntryRow.state.in_(("draft", "signed")))
        .order_by(LogEntryRow.id)
    )
    return tuple(
        ClosingEntry(
            entry_id=row.id,
            kind=row.kind,
            book=f"{kind} {position or 1}" if kind else "airframe",
            assembly_id=row.assembly_id,
            work_on=row.work_on,
            approved=row.approved,
            text=row.text,
            state=row.state,
            card_ids=tuple(row.facts.get("card_ids", ())),
            facts=dict(row.facts),
        )
        for row, kind, position in work.session.execute(query)
    )
