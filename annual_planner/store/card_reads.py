"""Readers of what is done on cards: time, results, notes, parts, photographs; each a few queries."""

from __future__ import annotations

from collections.abc import Collection, Iterable
from datetime import datetime, timedelta
from decimal import Decimal
from typing import Any

from sqlalchemy import Select, case, func, select
from sqlalchemy.orm import undefer

from annual_planner.store.doing_mappings import (
    CardNoteRow,
    CardResultRow,
    PartUsedRow,
    PhotographRow,
    WorkedTimeRow,
)
from annual_planner.store.doing_rows import (
    CardPlace,
    DoingLine,
    NoteLine,
    PartLine,
    PhotographLine,
    RaisedLine,
    ResultLine,
    StretchLine,
)
from annual_planner.store.mappings import AssemblyRow, InstallationRow, PersonRow
from annual_planner.store.refusals import Gone
from annual_planner.store.session import Work
from annual_planner.store.work_mappings import CardRow, DiscrepancyRow, PackageRow
from annual_planner.trade.card_states import OPEN
from annual_planner.trade.refused import Refused

LONG_STRETCH = timedelta(hours=12)
"""A stretch that runs longer was most likely left open; common practice, no source."""


def place_of_card(work: Work, card_id: int) -> CardPlace:
    """Where a card belongs. Refused when it is gone."""
    query = select(CardRow, PackageRow).join(PackageRow, PackageRow.id == CardRow.package_id)
    found = work.session.execute(query.where(CardRow.id == card_id)).one_or_none()
    if found is None:
        raise Gone("That card is no longer there.", "Open the package again to see what is there now.")
    card, package = found
    return CardPlace(
        card_id=card.id,
        number=card.number,
        package_id=package.id,
        package=package.number,
        package_state=package.state,
        aircraft_id=package.aircraft_id,
        zone=card.zone,
        included=card.included,
        state=card.state,
        assembly_id=_assembly(work, package.aircraft_id, card.zone, int(card.content.get("engine") or 1)),
    )


def _assembly(work: Work, aircraft_id: int, zone: str, position: int) -> int | None:
    """The engine or propeller fitted there now; None for another zone."""
    if zone not in ("engine", "propeller"):
        return None
    query = (
        select(InstallationRow.assembly_id)
        .join(AssemblyRow, AssemblyRow.id == InstallationRow.assembly_id)
        .where(
            InstallationRow.aircraft_id == aircraft_id,
            InstallationRow.removed_on.is_(None),
            InstallationRow.position == position,
            AssemblyRow.kind == zone,
        )
    )
    return work.session.scalars(query.limit(1)).first()


def lock_person(work: Work, person_id: int) -> None:
    """Let one writer at a time write a person's time, so that nobody is on two cards. Refused when gone."""
    query = select(PersonRow.id).where(PersonRow.id == person_id).with_for_update()
    if work.session.execute(query).first() is None:
        raise Refused("That person is no longer in the fleet.", "Choose who works on it.")


def anything_begun(work: Work, package_id: int) -> bool:
    """Whether any card of a package isn't as it was planned: set to something, or time spent on it."""
    spent = select(WorkedTimeRow.id).where(WorkedTimeRow.card_id == CardRow.id).exists()
    query = select(CardRow.id).where(CardRow.package_id == package_id, (CardRow.state != OPEN) | spent)
    return work.session.scalars(query.limit(1)).first() is not None


def stretches(work: Work, card_id: int) -> tuple[StretchLine, ...]:
    """Everyone's time on a card, oldest first."""
    return _stretches(work, _stretch_query().where(WorkedTimeRow.card_id == card_id))


def open_stretches(
    work: Work, person_id: int | None = None, package_id: int | None = None
) -> tuple[StretchLine, ...]:
    """Stretches that still run: of a person, on a package, or all."""
    query = _stretch_query().where(WorkedTimeRow.stopped_at.is_(None))
    if person_id is not None:
        query = query.where(WorkedTimeRow.person_id == person_id)
    if package_id is not None:
        query = query.where(CardRow.package_id == package_id)
    return _stretches(work, query)


def left_open(lines: Iterable[StretchLine], at: datetime) -> tuple[StretchLine, ...]:
    """Those that most likely were forgotten: begun on another day, or more than 12 h ago."""
    return tuple(
        line
        for line in lines
        if line.stopped_at is None
        and (at - line.started_at > LONG_STRETCH or line.started_at.astimezone(at.tzinfo).date() != at.date())
    )


def _stretch_query() -> Any:
    return (
        select(WorkedTimeRow, CardRow.number, CardRow.title, PersonRow.name)
        .join(CardRow, CardRow.id == WorkedTimeRow.card_id)
        .join(PersonRow, PersonRow.id == WorkedTimeRow.person_id)
        .order_by(WorkedTimeRow.started_at, WorkedTimeRow.id)
    )


def _stretches(work: Work, query: Select[Any]) -> tuple[StretchLine, ...]:
    return tuple(
        StretchLine(
            stretch_id=row.id,
            card_id=row.card_id,
            card_number=number,
            card_title=title,
            person_id=row.person_id,
            name=name,
            started_at=row.started_at,
            stopped_at=row.stopped_at,
            version=row.version,
        )
        for row, number, title, name in work.session.execute(query)
    )


def results(work: Work, card_id: int) -> tuple[ResultLine, ...]:
    """What was measured on a card."""
    query = (
        select(CardResultRow, PersonRow.name)
        .outerjoin(PersonRow, PersonRow.id == CardResultRow.person_id)
        .where(CardResultRow.card_id == card_id)
        .order_by(CardResultRow.id)
    )
    return tuple(
        ResultLine(
            card_id=row.card_id,
            measurement=row.measurement,
            value=row.value,
            typed=row.text,
            unit=row.unit,
            within=row.within,
            read_at=row.read_at,
            name=name or "",
            version=row.version,
        )
        for row, name in work.session.execute(query)
    )


def notes(work: Work, card_id: int) -> tuple[NoteLine, ...]:
    """What was written on a card, oldest first."""
    query = (
        select(CardNoteRow, PersonRow.name)
        .outerjoin(PersonRow, PersonRow.id == CardNoteRow.person_id)
        .where(CardNoteRow.card_id == card_id)
        .order_by(CardNoteRow.id)
    )
    return tuple(
        NoteLine(row.id, row.card_id, row.written_at, name or "", row.text, row.version)
        for row, name in work.session.execute(query)
    )


def parts_used(
    work: Work, card_id: int | None = None, discrepancy_id: int | None = None
) -> tuple[PartLine, ...]:
    """Parts used on a card or for a discrepancy."""
    query = select(PartUsedRow).where(*_of(PartUsedRow, card_id, discrepancy_id)).order_by(PartUsedRow.id)
    return tuple(
        PartLine(
            part_id=row.id,
            card_id=row.card_id,
            discrepancy_id=row.discrepancy_id,
            name=row.name,
            quantity=row.quantity,
            unit=row.unit,
            serial=row.serial,
            cost=row.cost,
            version=row.version,
        )
        for row in work.session.scalars(query)
    )


def photographs(
    work: Work, card_id: int | None = None, discrepancy_id: int | None = None
) -> tuple[PhotographLine, ...]:
    """Photographs of a card or a discrepancy with their small pictures, oldest first."""
    query = (
        select(PhotographRow)
        .where(*_of(PhotographRow, card_id, discrepancy_id))
        .order_by(PhotographRow.taken_at, PhotographRow.id)
    )
    return tuple(
        PhotographLine(
            photograph_id=row.id,
            card_id=row.card_id,
            discrepancy_id=row.discrepancy_id,
            taken_at=row.taken_at,
            caption=row.caption,
            width_px=row.width_px,
            height_px=row.height_px,
            thumbnail=row.thumbnail,
            version=row.version,
        )
        for row in work.session.scalars(query)
    )


def photograph_jpeg(work: Work, photograph_id: int) -> bytes:
    """The whole picture. Refused when it is gone."""
    query = select(PhotographRow).options(undefer(PhotographRow.jpeg))
    row = work.session.scalars(query.where(PhotographRow.id == photograph_id)).one_or_none()
    if row is None:
        raise Refused("That photograph is no longer there.", "Open the page again.")
    return row.jpeg


def _of(row: Any, card_id: int | None, discrepancy_id: int | None) -> list[Any]:
    asked = {"card_id": card_id, "discrepancy_id": discrepancy_id}
    wheres = [getattr(row, name) == value for name, value in asked.items() if value is not None]
    if not wheres:
        raise ValueError("a card or a discrepancy must be named")
    return wheres


def raised_on(work: Work, card_id: int) -> tuple[RaisedLine, ...]:
    """Discrepancies found on a card, oldest first."""
    query = select(DiscrepancyRow).where(DiscrepancyRow.card_id == card_id).order_by(DiscrepancyRow.id)
    return tuple(
        RaisedLine(row.id, row.found_on, row.text, row.airworthy, row.state, row.disposition)
        for row in work.session.scalars(query)
    )


def doing_lines(work: Work, package_id: int) -> tuple[DoingLine, ...]:
    """How far each card of a package is, by number: four queries whatever its size."""
    query = (
        select(CardRow)
        .where(CardRow.package_id == package_id, CardRow.included)
        .order_by(CardRow.number, CardRow.id)
    )
    cards = work.session.scalars(query).all()
    ids = [card.id for card in cards]
    used, on_it = _time(work, ids)
    taken = _counted(work, ids)
    open_ones = _open_discrepancies(work, ids)
    return tuple(
        DoingLine(
            card_id=card.id,
            number=card.number,
            title=card.title,
            zone=card.zone,
            phase=card.phase,
            state=card.state,
            people=tuple(on_it.get(card.id, ())),
            hours_used=used.get(card.id, Decimal(0)),
            hours_likely=card.hours_likely,
            results=taken.get(card.id, (0, 0))[0],
            out_of_limits=taken.get(card.id, (0, 0))[1],
            open_discrepancies=open_ones.get(card.id, 0),
        )
        for card in cards
    )


def _time(work: Work, ids: Collection[int]) -> tuple[dict[int, Decimal], dict[int, list[str]]]:
    used: dict[int, Decimal] = {}
    on_it: dict[int, list[str]] = {}
    for line in _stretches(work, _stretch_query().where(WorkedTimeRow.card_id.in_(ids))):
        used[line.card_id] = used.get(line.card_id, Decimal(0)) + line.hours()
        if line.stopped_at is None:
            on_it.setdefault(line.card_id, []).append(line.name)
    return used, on_it


def _counted(work: Work, ids: Collection[int]) -> dict[int, tuple[int, int]]:
    out = func.sum(case((CardResultRow.within.is_(False), 1), else_=0))
    query = (
        select(CardResultRow.card_id, func.count(), out)
        .where(CardResultRow.card_id.in_(ids))
        .group_by(CardResultRow.card_id)
    )
    return {card_id: (taken, outside) for card_id, taken, outside in work.session.execute(query)}


def _open_discrepancies(work: Work, ids: Collection[int]) -> dict[int, int]:
    query = (
        select(DiscrepancyRow.card_id, func.count())
        .where(DiscrepancyRow.card_id.in_(ids), DiscrepancyRow.closed_on.is_(None))
        .group_by(DiscrepancyRow.card_id)
    )
    return {card_id: count for card_id, count in work.session.execute(query) if card_id is not None}
