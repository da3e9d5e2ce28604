"""Readers of the signed records that came with an airplane from an earlier keeper."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime

from sqlalchemy import select

from annual_planner.store.mappings import AircraftRow
from annual_planner.store.received_mappings import ReceivedChainRow, ReceivedRecordRow
from annual_planner.store.record_rows import Link
from annual_planner.store.session import Work
from annual_planner.trade.seals import Sealed


@dataclass(frozen=True, slots=True)
class ReceivedChain:
    """What one earlier keeper signed about an airplane, as it was taken in."""

    chain_id: int
    aircraft_id: int
    registration: str
    keeper: str
    handed_on: date
    last_link: int
    last_seal: str
    taken_at: datetime
    taken_by: str
    links: tuple[Link, ...]


def received_chains(work: Work, aircraft_id: int | None = None) -> tuple[ReceivedChain, ...]:
    """Everything received, of one airplane or of the whole fleet, in the order it was taken in."""
    chains = select(ReceivedChainRow, AircraftRow.registration).join(
        AircraftRow, AircraftRow.id == ReceivedChainRow.aircraft_id
    )
    records = select(ReceivedRecordRow).execution_options(populate_existing=True)
    if aircraft_id is not None:
        chains = chains.where(ReceivedChainRow.aircraft_id == aircraft_id)
        records = records.where(ReceivedRecordRow.aircraft_id == aircraft_id)
    links: dict[int, list[Link]] = {}
    for record in work.session.scalars(records.order_by(ReceivedRecordRow.chain_id, ReceivedRecordRow.link)):
        links.setdefault(record.chain_id, []).append(received_link(record))
    found = work.session.execute(chains.order_by(ReceivedChainRow.id))
    return tuple(_chain(row, registration, links.get(row.id, ())) for row, registration in found)


def _chain(row: ReceivedChainRow, registration: str, links: Sequence[Link]) -> ReceivedChain:
    return ReceivedChain(
        chain_id=row.id,
        aircraft_id=row.aircraft_id,
        registration=registration,
        keeper=row.keeper,
        handed_on=row.handed_on,
        last_link=row.last_link,
        last_seal=row.last_seal,
        taken_at=row.taken_at,
        taken_by=row.taken_by,
        links=tuple(links),
    )


def received_link(row: ReceivedRecordRow) -> Link:
    """A received record with all that its checking needs; its numbers are those of the fleet that signed."""
    sealed = Sealed(
        link=row.link,
        previous_seal=row.previous_seal,
        kind=row.kind,
        subject_table=row.subject_table,
        subject_id=row.subject_id,
        aircraft_id=row.signed_aircraft_id,
        package_id=row.signed_package_id,
        digest=row.digest,
        act=row.act,
        signature=row.signature,
        public_key=row.public_key,
        key_id=row.signed_key_id,
        person_id=row.signed_person_id,
        meaning=row.meaning,
        work_on=row.work_on,
        signed_at=row.signed_at,
        corrects_id=row.corrects_link,
    )
    return Link(row.link, row.content, sealed, row.seal, row.signed_person_id, row.person, "")
