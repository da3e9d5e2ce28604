"""Readers of keys, of signed records and of the chain."""

from __future__ import annotations

from collections.abc import Collection, Iterator
from typing import Any

from sqlalchemy import Select, func, select
from sqlalchemy.orm import aliased

from annual_planner.store.mappings import AircraftRow, AuditRow, PersonRow
from annual_planner.store.people_reads import person_values
from annual_planner.store.record_mappings import LogEntryRow, PersonKeyRow, SignedRecordRow
from annual_planner.store.record_rows import (
    KeyLine,
    LastLink,
    Link,
    SignedLine,
    UnreadableLink,
    WrappedKey,
)
from annual_planner.store.searching import has_words, ids_of, in_order
from annual_planner.store.session import Work
from annual_planner.store.sorting import Then
from annual_planner.trade.people import Person
from annual_planner.trade.refused import Refused
from annual_planner.trade.seals import FIRST, Sealed

_A_TIME = 500


def key_lines(work: Work, person_id: int | None = None) -> list[KeyLine]:
    """Keys, closed ones too, the oldest first; of one person or of everyone."""
    query = select(PersonKeyRow, PersonRow.name).join(PersonRow, PersonRow.id == PersonKeyRow.person_id)
    if person_id is not None:
        query = query.where(PersonKeyRow.person_id == person_id)
    return [_key_line(row, name) for row, name in work.session.execute(query.order_by(PersonKeyRow.id))]


def _key_line(row: PersonKeyRow, name: str) -> KeyLine:
    return KeyLine(
        key_id=row.id,
        person_id=row.person_id,
        person=name,
        public_key=row.public_key,
        made_at=row.made_at,
        closed_at=row.closed_at,
        closed_why=row.closed_why,
        failed_tries=row.failed_tries,
        waits_until=row.waits_until,
    )


def key_line(work: Work, key_id: int) -> KeyLine:
    """One key. Raises Refused when there is none."""
    query = (
        select(PersonKeyRow, PersonRow.name)
        .join(PersonRow, PersonRow.id == PersonKeyRow.person_id)
        .where(PersonKeyRow.id == key_id)
    )
    found = work.session.execute(query).first()
    if found is None:
        raise Refused("There is no such key.", "Look at the list again.")
    return _key_line(*found)


def open_key(work: Work, person_id: int) -> KeyLine | None:
    """The key with which the person signs today; None where there is none."""
    return next((key for key in reversed(key_lines(work, person_id)) if key.closed_at is None), None)


def wrapped_key(work: Work, key_id: int) -> WrappedKey:
    """What is needed to unlock a key. Raises Refused when there is none."""
    row = work.session.get(PersonKeyRow, key_id)
    if row is None:
        raise Refused("There is no such key.", "Look at the list again.")
    return WrappedKey(row.id, row.person_id, row.public_key, row.wrapped_key, row.salt, dict(row.wrapping))


def signer_of(work: Work, person_id: int) -> tuple[Person, tuple[str, ...]]:
    """A person with their certificates and roles as stored now. Raises Refused when they are gone."""
    person = person_values(work).get(person_id)
    roles = work.session.scalar(select(PersonRow.roles).where(PersonRow.id == person_id))
    if person is None or roles is None:
        raise Refused("This person is no longer in the fleet.", "Choose who signs again.")
    return person, tuple(roles)


def last_link(work: Work) -> LastLink:
    """The newest link of the chain."""
    query = (
        select(SignedRecordRow.link, SignedRecordRow.seal, SignedRecordRow.signed_at)
        .order_by(SignedRecordRow.link.desc())
        .limit(1)
    )
    found = work.session.execute(query).first()
    return LastLink(0, FIRST, None) if found is None else LastLink(*found)


def signed_of(work: Work, table: str, ids: Collection[int]) -> list[SignedLine]:
    """Everything signed about these rows of a table, the oldest first."""
    query = _lines().where(SignedRecordRow.subject_table == table, SignedRecordRow.subject_id.in_(ids))
    return _read_lines(work, query.order_by(SignedRecordRow.link))


SIGNED_ORDERS: dict[str, tuple[Any, ...]] = {
    "record": (SignedRecordRow.id,),
    "signed_at": (SignedRecordRow.signed_at,),
    "person": (PersonRow.name,),
    "meaning": (SignedRecordRow.meaning,),
    "kind": (SignedRecordRow.kind,),
    "registration": (func.coalesce(AircraftRow.registration, ""),),
    "work_on": (SignedRecordRow.work_on,),
}
"""What a list of signatures can be sorted by."""


def signed_ids(
    work: Work,
    *,
    aircraft_id: int | None = None,
    owner_id: int | None = None,
    search: str = "",
    order: str = "record",
    descending: bool = True,
    then: Then | None = None,
) -> list[int]:
    """Ids of what is signed, newest first: in the fleet, on one airplane, on an owner's airplanes. One query.

    `search`: in signer, meaning, kind and airplane. Refused for an order that there isn't.
    """
    query = _joined(select(SignedRecordRow.id))
    if aircraft_id is not None:
        query = query.where(SignedRecordRow.aircraft_id == aircraft_id)
    if owner_id is not None:
        query = query.where(AircraftRow.owner_id == owner_id)
    if search.strip():
        words = (PersonRow.name, SignedRecordRow.meaning, SignedRecordRow.kind, AircraftRow.registration)
        query = query.where(has_words(search, words))
    newest = (SignedRecordRow.id.desc(),)
    return ids_of(work, query.order_by(*in_order(SIGNED_ORDERS, order, descending, newest, then)))


def signed_lines(work: Work, record_ids: Collection[int]) -> list[SignedLine]:
    """What was signed under these ids, newest first. One query."""
    query = _lines().where(SignedRecordRow.id.in_(record_ids))
    return _read_lines(work, query.order_by(SignedRecordRow.id.desc()))


def _lines() -> Select[Any]:
    later = aliased(SignedRecordRow)
    corrected = (
        select(func.min(later.id)).where(later.corrects_id == SignedRecordRow.id).correlate(SignedRecordRow)
    )
    return _joined(
        select(
            SignedRecordRow.id,
            SignedRecordRow.kind,
            SignedRecordRow.subject_table,
            SignedRecordRow.subject_id,
            SignedRecordRow.aircraft_id,
            func.coalesce(AircraftRow.registration, ""),
            SignedRecordRow.package_id,
            SignedRecordRow.person_id,
            PersonRow.name,
            SignedRecordRow.meaning,
            SignedRecordRow.work_on,
            SignedRecordRow.signed_at,
            SignedRecordRow.seal,
            SignedRecordRow.corrects_id,
            corrected.scalar_subquery(),
        )
    )


def _joined(query: Any) -> Select[Any]:
    joined: Select[Any] = (
        query.select_from(SignedRecordRow)
        .join(PersonRow, PersonRow.id == SignedRecordRow.person_id)
        .outerjoin(AircraftRow, AircraftRow.id == SignedRecordRow.aircraft_id)
    )
    return joined


def _read_lines(work: Work, query: Select[Any]) -> list[SignedLine]:
    return [SignedLine(*row) for row in work.session.execute(query)]


def contents_of(work: Work, record_ids: Collection[int]) -> dict[int, bytes]:
    """The signed bytes of these records, by id."""
    query = select(SignedRecordRow.id, SignedRecordRow.content).where(SignedRecordRow.id.in_(record_ids))
    return {row[0]: row[1] for row in work.session.execute(query)}


def links(work: Work) -> Iterator[Link | UnreadableLink]:
    """The whole chain in its order, some hundred links in memory at a time."""
    order = select(SignedRecordRow.id).order_by(SignedRecordRow.link, SignedRecordRow.id)
    ids = list(work.session.scalars(order))
    for at in range(0, len(ids), _A_TIME):
        yield from _some_links(work, ids[at : at + _A_TIME])


def link_of(work: Work, record_id: int) -> Link:
    """One link. Raises Refused when there is none."""
    query = _links().where(SignedRecordRow.id == record_id)
    found = work.session.execute(query).first()
    if found is None:
        raise Refused(f"There is no signed record {record_id}.", "Look at the list again.")
    return _link(*found)


def links_about(work: Work, aircraft_id: int) -> tuple[Link, ...]:
    """The links about an airplane, and those by which a key that signed them was closed, in their order."""
    found = {
        row[0].id: _link(*row)
        for row in work.session.execute(_links().where(SignedRecordRow.aircraft_id == aircraft_id))
    }
    looked: set[int] = set()
    while keys := {link.sealed.key_id for link in found.values()} - looked:
        looked |= keys
        closings = _links().where(
            SignedRecordRow.subject_table == PersonKeyRow.__tablename__,
            SignedRecordRow.kind == "key closed",
            SignedRecordRow.subject_id.in_(keys),
        )
        found |= {row[0].id: _link(*row) for row in work.session.execute(closings)}
    return tuple(found[record_id] for record_id in sorted(found))


def _some_links(work: Work, ids: list[int]) -> Iterator[Link | UnreadableLink]:
    try:
        found = [_link(*row) for row in work.session.execute(_links().where(SignedRecordRow.id.in_(ids)))]
    except (ValueError, TypeError):  # somebody wrote into the file what no column of ours holds
        found = []
    known = {link.record_id: link for link in found}
    for record_id in ids:
        yield known.get(record_id) or _one_link(work, record_id)


def _one_link(work: Work, record_id: int) -> Link | UnreadableLink:
    try:
        return link_of(work, record_id)
    except (ValueError, TypeError) as fault:
        return UnreadableLink(record_id, str(fault))


def _links() -> Select[*tuple[Any, ...]]:
    # Outer joins: a link whose key or person was taken away is a finding, and must not go unseen.
    return (
        select(
            SignedRecordRow,
            PersonKeyRow.public_key,
            PersonKeyRow.person_id,
            PersonRow.name,
            AircraftRow.registration,
        )
        .outerjoin(PersonKeyRow, PersonKeyRow.id == SignedRecordRow.key_id)
        .outerjoin(PersonRow, PersonRow.id == SignedRecordRow.person_id)
        .outerjoin(AircraftRow, AircraftRow.id == SignedRecordRow.aircraft_id)
        .execution_options(populate_existing=True)
    )


def _link(
    row: SignedRecordRow,
    public_key: bytes | None,
    key_person_id: int | None,
    name: str | None,
    reg: str | None,
) -> Link:
    sealed = Sealed(
        link=row.link,
        previous_seal=row.previous_seal,
        kind=row.kind,
        subject_table=row.subject_table,
        subject_id=row.subject_id,
        aircraft_id=row.aircraft_id,
        package_id=row.package_id,
        digest=row.digest,
        act=row.act,
        signature=row.signature,
        public_key=public_key or b"",
        key_id=row.key_id,
        person_id=row.person_id,
        meaning=row.meaning,
        work_on=row.work_on,
        signed_at=row.signed_at,
        corrects_id=row.corrects_id,
    )
    return Link(row.id, row.content, sealed, row.seal, key_person_id or 0, name or "nobody known", reg or "")


def signed_entries(work: Work) -> dict[int, str]:
    """Ids of log entries that claim to be signed, with their states."""
    query = select(LogEntryRow.id, LogEntryRow.state).where(LogEntryRow.state.in_(("signed", "superseded")))
    return {row[0]: row[1] for row in work.session.execute(query)}


def last_link_in_trail(work: Work) -> int:
    """The highest link that the audit trail tells of; 0 where it tells of none."""
    query = select(func.max(AuditRow.row_id)).where(AuditRow.table_name == SignedRecordRow.__tablename__)
    return work.session.scalar(query) or 0


def closing_records(work: Work, key_ids: Collection[int]) -> dict[int, int]:
    """For keys whose closing was signed: the signed record, by key."""
    query = select(SignedRecordRow.subject_id, SignedRecordRow.id).where(
        SignedRecordRow.subject_table == PersonKeyRow.__tablename__,
        SignedRecordRow.kind == "key closed",
        SignedRecordRow.subject_id.in_(key_ids),
    )
    return {row[0]: row[1] for row in work.session.execute(query)}
