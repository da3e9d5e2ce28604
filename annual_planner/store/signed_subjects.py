"""What cards and entries hold that a signature covers, read anew from the fleet each time.

A table with an "id" is a reference: the id is what counts later, the rest is how the thing was called then.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from typing import Any

from sqlalchemy import select

from annual_planner.store.doing_mappings import CardNoteRow, CardResultRow, PartUsedRow, PhotographRow
from annual_planner.store.mappings import AircraftRow, AssemblyRow, PersonRow
from annual_planner.store.record_mappings import LogEntryRow, SignedRecordRow
from annual_planner.store.refusals import gone
from annual_planner.store.session import Work
from annual_planner.store.work_mappings import CardRow, PackageRow
from annual_planner.trade.canonical import day_text, measured, moment_text, plain_values


@dataclass(frozen=True, slots=True)
class OfAircraft:
    """What the rules and the signed content ask about an airplane."""

    aircraft_id: int
    registration: str
    category: str
    uses: frozenset[str]
    owner_id: int | None
    values: Mapping[str, object]
    """Registration, maker, model and serial as signed content holds them; a reference by its id."""


@dataclass(frozen=True, slots=True)
class CardToSign:
    """A card as it stands now."""

    aircraft_id: int
    package_id: int
    package: str
    number: int
    title: str
    kind: str
    content: Mapping[str, Any]
    state: str
    included: bool
    done_by_id: int | None
    done_on: date | None
    values: Mapping[str, object]


@dataclass(frozen=True, slots=True)
class EntryToSign:
    """A log entry as it stands now."""

    aircraft_id: int
    package_id: int | None
    card_id: int | None
    kind: str
    side: str
    """What the entry is about: 'airframe', 'engine', 'propeller'."""
    work_on: date
    approved: bool | None
    facts: Mapping[str, Any]
    state: str
    corrects_id: int | None
    """The log entry that it corrects."""
    correction_why: str
    values: Mapping[str, object]


def aircraft_to_sign(work: Work, aircraft_id: int) -> OfAircraft:
    """An airplane. Raises Refused when it is gone."""
    row = work.session.get(AircraftRow, aircraft_id, populate_existing=True)
    if row is None:
        raise gone("airplane")
    return OfAircraft(
        aircraft_id=row.id,
        registration=row.registration,
        category=row.category,
        uses=frozenset(row.uses),
        owner_id=row.owner_id,
        values={
            "id": row.id,
            "registration": row.registration,
            "maker": row.maker,
            "model": row.model,
            "serial": row.serial,
        },
    )


def card_to_sign(work: Work, card_id: int) -> CardToSign:
    """A card with its results, notes, parts and photographs. Raises Refused when it is gone."""
    row = work.session.get(CardRow, card_id, populate_existing=True)
    package = None if row is None else work.session.get(PackageRow, row.package_id)
    if row is None or package is None:
        raise gone("card")
    return CardToSign(
        aircraft_id=package.aircraft_id,
        package_id=package.id,
        package=package.number,
        number=row.number,
        title=row.title,
        kind=row.kind,
        content=row.content,
        state=row.state,
        included=row.included,
        done_by_id=row.done_by_id,
        done_on=row.done_on,
        values=_card_values(work, row, package),
    )


def _card_values(work: Work, row: CardRow, package: PackageRow) -> dict[str, object]:
    return {
        "airplane": dict(aircraft_to_sign(work, package.aircraft_id).values),
        "package": package.number,
        "number": row.number,
        "title": row.title,
        "zone": row.zone,
        "phase": row.phase,
        "kind": row.kind,
        "as planned": plain_values(row.content),
        "note": row.note,
        "state": row.state,
        "state why": row.state_why,
        "done by": person_reference(work, row.done_by_id),
        "done on": day_text(row.done_on),
        "results": _results(work, row.id),
        "notes": _notes(work, row.id),
        "parts used": _parts(work, row.id),
        "photographs": _photographs(work, row.id),
    }


def _results(work: Work, card_id: int) -> list[object]:
    query = select(CardResultRow).where(CardResultRow.card_id == card_id).order_by(CardResultRow.measurement)
    rows = _fresh(work, query)
    people = person_references(work, [row.person_id for row in rows])
    return [
        {
            "measurement": row.measurement,
            "value": None if row.value is None else measured(row.value, row.unit),
            "text": row.text,
            "within limits": row.within,
            "read at": moment_text(row.read_at),
            "read by": people.get(row.person_id),
        }
        for row in rows
    ]


def _notes(work: Work, card_id: int) -> list[object]:
    query = select(CardNoteRow).where(CardNoteRow.card_id == card_id).order_by(CardNoteRow.id)
    rows = _fresh(work, query)
    people = person_references(work, [row.person_id for row in rows])
    return [
        {
            "text": row.text,
            "written at": moment_text(row.written_at),
            "by": people.get(row.person_id),
        }
        for row in rows
    ]


def _parts(work: Work, card_id: int) -> list[object]:
    query = select(PartUsedRow).where(PartUsedRow.card_id == card_id).order_by(PartUsedRow.id)
    return [
        {"name": row.name, "quantity": measured(row.quantity, row.unit), "serial": row.serial}
        for row in _fresh(work, query)
    ]


def _photographs(work: Work, card_id: int) -> list[object]:
    query = (
        select(PhotographRow.caption, PhotographRow.sha256, PhotographRow.taken_at)
        .where(PhotographRow.card_id == card_id)
        .order_by(PhotographRow.id)
    )
    return [
        {"caption": caption, "sha256": sha256, "taken at": moment_text(taken_at)}
        for caption, sha256, taken_at in work.session.execute(query)
    ]


def entry_to_sign(work: Work, entry_id: int) -> EntryToSign:
    """A log entry. Raises Refused when it is gone."""
    row = work.session.get(LogEntryRow, entry_id, populate_existing=True)
    if row is None:
        raise gone("entry")
    assembly = None if row.assembly_id is None else work.session.get(AssemblyRow, row.assembly_id)
    return EntryToSign(
        aircraft_id=row.aircraft_id,
        package_id=row.package_id,
        card_id=row.card_id,
        kind=row.kind,
        side="airframe" if assembly is None else assembly.kind,
        work_on=row.work_on,
        approved=row.approved,
        facts=row.facts,
        state=row.state,
        corrects_id=row.corrects_id,
        correction_why=row.correction_why,
        values=_entry_values(work, row, assembly),
    )


def _entry_values(work: Work, row: LogEntryRow, assembly: AssemblyRow | None) -> dict[str, object]:
    of_what = {} if assembly is None else _assembly_values(assembly)
    return {
        "airplane": dict(aircraft_to_sign(work, row.aircraft_id).values),
        "record of": of_what or "airframe",
        "kind": row.kind,
        "work on": day_text(row.work_on),
        "approved": row.approved,
        "text": row.text,
        "facts": plain_values(row.facts),
        "card": row.card_id,
        "discrepancy": row.discrepancy_id,
        "corrects entry": row.corrects_id,
        "reason of the correction": row.correction_why,
    }


def _assembly_values(row: AssemblyRow) -> dict[str, object]:
    return {"id": row.id, "kind": row.kind, "maker": row.maker, "model": row.model, "serial": row.serial}


def newest_signed(work: Work, table: str, row_id: int) -> int | None:
    """The newest signed record about a row, if there is one."""
    query = select(SignedRecordRow.id).where(
        SignedRecordRow.subject_table == table, SignedRecordRow.subject_id == row_id
    )
    return work.session.scalar(query.order_by(SignedRecordRow.link.desc()).limit(1))


def _fresh(work: Work, query: Any) -> Any:
    return work.session.scalars(query.execution_options(populate_existing=True)).all()


def person_reference(work: Work, person_id: int | None) -> dict[str, object] | None:
    """A person as signed content names another than its signer."""
    return person_references(work, [person_id]).get(person_id)


def person_references(work: Work, ids: Iterable[int | None]) -> Mapping[int | None, dict[str, object]]:
    """These people by id, as signed content names them: one query, and none where nobody is meant."""
    wanted = {each for each in ids if each is not None}
    if not wanted:
        return {}
    query = select(PersonRow.id, PersonRow.name).where(PersonRow.id.in_(wanted))
    named = {row.id: row.name for row in work.session.execute(query)}
    return {each: {"id": each, "name": named.get(each, "")} for each in wanted}
