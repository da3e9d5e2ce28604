"""Reading a hand-over file: its values, once all of it is as it must be; else Refused with one clear line."""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

from pydantic import ValidationError

from annual_planner.exchange.hand_over.archive import Archive, cant_take
from annual_planner.exchange.hand_over.form import Chain, ClosingStatement, Records, SignedRecord
from annual_planner.exchange.hand_over.jpeg import jpeg_size_px
from annual_planner.exchange.hand_over.layout import (
    FORMAT,
    MANIFEST,
    READS,
    RECORDS,
    SCHEMA,
    STATEMENT,
    file_name,
)
from annual_planner.exchange.hand_over.plain_json import check_json, read_json
from annual_planner.exchange.hand_over.values import AS_VALUES
from annual_planner.records.closing_statement import parts_digest
from annual_planner.records.picture_process import PictureReader
from annual_planner.records.pictures import LONGEST_SIDE_PX, Picture
from annual_planner.store.hand_over_rows import FILES, HandedOver, SentChain, SentLink, SentStatement
from annual_planner.store.record_rows import Link
from annual_planner.trade.refused import Refused
from annual_planner.trade.seals import Sealed

_READS = " and ".join(str(each) for each in READS)
Reads = Callable[[bytes], Picture]
"""Decodes a picture; raises Refused for what is none."""


@dataclass(frozen=True, slots=True)
class HandOverFile:
    """A file whose every part was checked: its records, its SHA-256, and a way to its pictures and papers."""

    records: HandedOver
    sha256: str
    _archive: Archive
    _thumbnails: Mapping[str, bytes]

    def bytes_of(self, table: str, sha256: str) -> bytes:
        """A picture or a paper, checked again. Raises Refused when the file changed meanwhile."""
        return _by_digest(self._archive, file_name(table, sha256), sha256)

    def thumbnail_of(self, sha256: str) -> bytes:
        """A photograph made small, by the SHA-256 of its JPEG."""
        return self._thumbnails[sha256]


@contextmanager
def opened_hand_over(source: Path | bytes, read: Reads | None = None) -> Iterator[HandOverFile]:
    """A hand-over file, checked but for its signatures, open for as long as its pictures are asked for.

    Photographs are decoded in a process of their own, or by `read`. Raises Refused for anything that is
    damaged, hostile, or of another form or version.
    """
    with Archive(source) as archive:
        version, parts = _check_manifest(archive)
        form = _form(archive, version)
        statement = _statement(archive, parts) if STATEMENT in parts else None
        tables = vars(form.tables)  # rows by name, each as its values
        _check_references(tables)
        with PictureReader() as pictures:
            thumbnails = _check_files(archive, tables, read or pictures.read)
        records = HandedOver(tables, tuple(_chain(chain) for chain in form.chains), statement)
        yield HandOverFile(records, archive.sha256(), archive, thumbnails)


def _check_manifest(archive: Archive) -> tuple[int, dict[str, str]]:
    """Every part is listed with its length and digest, and nothing else is there.

    The version of the file, and the SHA-256 of every part by its name.
    """
    told = read_json(MANIFEST, archive.read(MANIFEST))
    if not isinstance(told, dict) or told.get("format") != FORMAT:
        raise cant_take("its manifest is none of a hand-over file")
    version = told.get("version")
    if type(version) is not int or version not in READS:
        raise cant_take(f"it is of version {version!s:.20}, this program reads {_READS}")
    parts = told.get("parts")
    if not isinstance(parts, dict) or set(parts) != archive.names - {MANIFEST}:
        raise cant_take("its manifest lists other parts than are in it")
    if not {RECORDS, SCHEMA} <= set(parts) or (STATEMENT in parts) != (version > 1):
        raise cant_take(
            "its records, the schema of them or its closing statement are missing, or one too many"
        )
    for name, listed in sorted(parts.items()):
        content = archive.read(name)
        if listed != {"bytes": len(content), "sha256": hashlib.sha256(content).hexdigest()}:
            raise cant_take(f"{name} is not what the manifest says: it was changed or damaged")
    return version, {name: listed["sha256"] for name, listed in parts.items()}


def _statement(archive: Archive, parts: Mapping[str, str]) -> SentStatement:
    """The closing statement with what it must be about: every other part."""
    content = archive.read(STATEMENT)
    check_json(STATEMENT, content)
    try:
        told = ClosingStatement.model_validate_json(content)
    except ValidationError as fault:
        raise cant_take("its closing statement is of another form or version") from fault
    others = {name: sha256 for name, sha256 in parts.items() if name != STATEMENT}
    found = SentStatement(told.content.encode(), len(others), parts_digest(others))
    if told.signature is None:
        return found
    return replace(
        found,
        act=told.signature.act.encode(),
        signature=bytes.fromhex(told.signature.signature),
        public_key=bytes.fromhex(told.signature.public_key),
    )


def _form(archive: Archive, version: int) -> Records:
    content = archive.read(RECORDS)
    check_json(RECORDS, content)
    try:
        found = Records.model_validate_json(content, context=AS_VALUES)
    except ValidationError as fault:
        raise _not_in_form(fault) from fault
    if found.version != version:
        raise cant_take(f"its records are of version {found.version}, its manifest of version {version}")
    return found


def _not_in_form(fault: ValidationError) -> Refused:
    """The first thing that is wrong, in words."""
    first = fault.errors(include_url=False, include_input=False)[0]  # the input may be all of the file
    where, said = " ".join(str(each) for each in first["loc"]), f"{first['msg']:.120}"
    if first["type"] == "json_invalid":
        return cant_take(f"{RECORDS} can't be read: {said}")
    if where in ("", "format", "version"):
        return cant_take(f"its records are of another form or version, this program reads {_READS}")
    return cant_take(f"its records don't follow the schema, {where:.120}: {said}")


def _check_references(tables: Mapping[str, list[dict[str, Any]]]) -> None:
    """Every id stands once, and what is referred to is in the file."""
    from annual_planner.store.hand_over_reads import references

    ids = {name: [row["id"] for row in rows] for name, rows in tables.items()}
    here = {name: set(each) for name, each in ids.items()}
    for name, each in ids.items():
        if len(here[name]) != len(each):
            raise cant_take(f"two rows of {name} have the same id")
    for name, rows in tables.items():
        for column, target in references(name).items():
            for row in rows:
                of = row.get(column)
                if of is not None and of not in here.get(target, ()):
                    raise cant_take(f"row {row['id']} of {name} refers to {target} {of}, which is not in it")


def _check_files(
    archive: Archive, tables: Mapping[str, list[dict[str, Any]]], read: Reads
) -> dict[str, bytes]:
    """Every picture and paper of a row is there and is one; nothing is there that no row names.

    Gives the photographs made small, by SHA-256.
    """
    thumbnails: dict[str, bytes] = {}
    named = {file_name(table, row["sha256"]): (table, row) for table in FILES for row in tables[table]}
    stray = sorted(name for name in archive.names if "/" in name and name not in named)
    if stray:
        raise cant_take(f"{stray[0]} belongs to no record")
    for name, (table, row) in sorted(named.items()):
        content = _by_digest(archive, name, row["sha256"])
        if table == "photograph":
            thumbnails[row["sha256"]] = _checked_picture(name, content, row, read).thumbnail
        elif not content.startswith(b"%PDF-"):
            raise cant_take(f"{name} is no PDF")
    return thumbnails


def _checked_picture(name: str, content: bytes, row: Mapping[str, Any], read: Reads) -> Picture:
    size = jpeg_size_px(content)
    if size is None:
        raise cant_take(f"{name} is no JPEG")
    if size != (row["width_px"], row["height_px"]) or max(size) > LONGEST_SIDE_PX:
        raise cant_take(f"{name} is of another size than its record says, or larger than any is kept")
    try:
        return read(content)
    except Refused as fault:
        raise cant_take(f"{name} can't be read as a picture") from fault


def _by_digest(archive: Archive, name: str, sha256: str) -> bytes:
    content = archive.read(name)
    if hashlib.sha256(content).hexdigest() != sha256:
        raise cant_take(f"{name} is not what its name says: it was changed or damaged")
    return content


def _chain(chain: Chain) -> SentChain:
    links = tuple(_sent(record) for record in chain.records)
    return SentChain(chain.keeper, chain.handed_on, chain.last_link, chain.last_seal, links)


def _sent(record: SignedRecord) -> SentLink:
    sealed = Sealed(
        link=record.link,
        previous_seal=record.previous_seal,
        kind=record.kind,
        subject_table=record.subject_table,
        subject_id=record.subject_id,
        aircraft_id=record.aircraft_id,
        package_id=record.package_id,
        digest=record.digest,
        act=record.act.encode(),
        signature=bytes.fromhex(record.signature),
        public_key=bytes.fromhex(record.public_key),
        key_id=record.key_id,
        person_id=record.person_id,
        meaning=record.meaning,
        work_on=record.work_on,
        signed_at=record.signed_at,
        corrects_id=record.corrects_link,
    )
    link = Link(
        record.link, record.content.encode(), sealed, record.seal, record.person_id, record.person, ""
    )
    return SentLink(link, record.row_id, record.package_row_id)
