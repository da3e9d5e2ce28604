"""Writing all records of an airplane that was handed over, under ids of this fleet."""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping, Sequence
from datetime import datetime
from typing import Any

from sqlalchemy import bindparam, insert, select
from sqlalchemy.exc import IntegrityError

from annual_planner.store.hand_over_reads import references, table_of
from annual_planner.store.hand_over_rows import CARRIED, FILES, LATER, HandedOver, SentChain, SentLink
from annual_planner.store.received_mappings import ReceivedChainRow, ReceivedRecordRow
from annual_planner.store.session import Work
from annual_planner.store.writing import change, values_of
from annual_planner.trade.refused import Refused

Row = Mapping[str, Any]
Ids = dict[str, dict[int, int]]
"""By table: the id in this fleet for the id in the hand-over."""
_A_TIME = 500


Finish = Callable[[str, Row, Ids], dict[str, Any]]
"""Gives the columns that a hand-over leaves out, or that this fleet has otherwise: by table, row and ids."""


def take_rows(
    work: Work,
    records: HandedOver,
    finish: Finish,
    *,
    keep_ids: bool = False,
    known: Ids | None = None,
    withheld: Mapping[str, Collection[int]] | None = None,
) -> Ids:
    """Write every row, under ids of this fleet, or in an empty fleet under its own with `keep_ids`.

    Rows that are `known` here already are referred to and not written; those `withheld` are left out.
    Raises Refused where a row can't stand in this fleet.
    """
    ids: Ids = {name: dict((known or {}).get(name, {})) for name in CARRIED}
    left = {name: {*ids[name], *(withheld or {}).get(name, ())} for name in CARRIED}
    try:
        for name in CARRIED:
            rows = [row for row in records.tables[name] if row["id"] not in left[name]]
            ids[name] |= _take_table(work, name, rows, ids, finish, keep_ids)
        for name, columns in LATER.items():
            for column in columns:
                rows = [row for row in records.tables[name] if row["id"] not in left[name]]
                _refer_later(work, name, column, rows, ids)
    except IntegrityError as fault:
        raise Refused(
            f"The records of the file don't fit together in this fleet: {fault.orig!s:.120}.",
            "Nothing was recorded. Ask the keeper who handed over for the file again.",
        ) from fault
    return ids


def _take_table(
    work: Work, name: str, rows: Sequence[Row], ids: Ids, finish: Finish, keep_ids: bool
) -> dict[int, int]:
    table, refers = table_of(name), references(name)
    start = {"version": 1} if "version" in table.c else {}
    given = insert(table).returning(table.c.id, sort_by_parameter_order=True)
    at_a_time = 1 if name in FILES else _A_TIME
    made: dict[int, int] = {}
    for first in range(0, len(rows), at_a_time):
        some = rows[first : first + at_a_time]
        kept = [{"id": row["id"]} if keep_ids else {} for row in some]
        values = [
            {**start, **own, **_referring(name, row, refers, ids), **finish(name, row, ids)}
            for own, row in zip(kept, some, strict=True)
        ]
        new_ids = work.session.execute(given, values).scalars().all()
        made.update(zip((row["id"] for row in some), new_ids, strict=True))
    return made


def _referring(name: str, row: Row, refers: Mapping[str, str], ids: Ids) -> dict[str, Any]:
    """The row without its id, its references those of this fleet."""
    later = LATER.get(name, ())
    found = {}
    for column, value in row.items():
        if column == "id":
            continue
        known = column in refers and value is not None
        found[column] = None if column in later else ids[refers[column]][value] if known else value
    return found


def _refer_later(work: Work, name: str, column: str, rows: Sequence[Row], ids: Ids) -> None:
    table, target = table_of(name), references(name)[column]
    told = [
        {"of": ids[name][row["id"]], "refers": ids[target][row[column]]}
        for row in rows
        if row[column] is not None
    ]
    if told:
        change = table.update().where(table.c.id == bindparam("of")).values({column: bindparam("refers")})
        work.session.connection().execute(change, told)


def take_chain(
    work: Work, chain: SentChain, ids: Ids, aircraft_id: int, *, file_sha256: str, taken_at: datetime
) -> int:
    """Write what one earlier keeper signed; the id of the received chain."""
    values = {
        "aircraft_id": aircraft_id,
        "keeper": chain.keeper,
        "handed_on": chain.handed_on,
        "last_link": chain.last_link,
        "last_seal": chain.last_seal,
        "file_sha256": file_sha256,
        "taken_at": taken_at,
        "taken_by": work.by,
    }
    given = insert(ReceivedChainRow).returning(ReceivedChainRow.id)
    chain_id = int(work.session.execute(given, values).scalar_one())
    rows = [_record(each, chain_id, aircraft_id, ids) for each in chain.links]
    for first in range(0, len(rows), _A_TIME):
        work.session.execute(insert(ReceivedRecordRow), rows[first : first + _A_TIME])
    return chain_id


def _record(sent: SentLink, chain_id: int, aircraft_id: int, ids: Ids) -> dict[str, Any]:
    link, sealed = sent.link, sent.link.sealed

    def here(table: str, row_id: int | None) -> int | None:
        return None if row_id is None else ids.get(table, {}).get(row_id)

    return {
        "chain_id": chain_id,
        "aircraft_id": aircraft_id,
        "package_id": here("work_package", sent.package_id),
        "row_id": here(sealed.subject_table, sent.row_id),
        "link": sealed.link,
        "kind": sealed.kind,
        "subject_table": sealed.subject_table,
        "subject_id": sealed.subject_id,
        "signed_aircraft_id": sealed.aircraft_id,
        "signed_package_id": sealed.package_id,
        "signed_key_id": sealed.key_id,
        "signed_person_id": sealed.person_id,
        "content": link.content,
        "digest": sealed.digest,
        "act": sealed.act,
        "signature": sealed.signature,
        "public_key": sealed.public_key,
        "person": link.person,
        "meaning": sealed.meaning,
        "work_on": sealed.work_on,
        "signed_at": sealed.signed_at,
        "previous_seal": sealed.previous_seal,
        "seal": link.seal,
        "corrects_link": sealed.corrects_id,
    }


def go_on(
    work: Work, name: str, row: Row, ids: Ids, columns: Sequence[str], here_id: int, aircraft_id: int
) -> None:
    """Write the end that a row of this fleet has in the hand-over, with its line in the trail."""
    refers = references(name)
    wants = {
        column: ids[refers[column]].get(row[column])
        if column in refers and row[column] is not None
        else row[column]
        for column in columns
    }
    was = values_of(work, name, here_id)
    said = f"{name.replace('_', ' ')}, as it came back with its airplane"
    saw = {column: was[column] for column in columns}
    change(work, name, here_id, saw, wants, aircraft_id=aircraft_id, said=said)


def names_taken(work: Work, table: str, column: str, wanted: Sequence[str]) -> set[str]:
    """Which of these names the fleet gives to something else already."""
    of = table_of(table).c[column]
    found: set[str] = set()
    for first in range(0, len(wanted), _A_TIME):
        found |= set(work.session.scalars(select(of).where(of.in_(wanted[first : first + _A_TIME]))))
    return found
