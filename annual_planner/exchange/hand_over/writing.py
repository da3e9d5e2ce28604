"""Writing a hand-over file: the same records give the same bytes."""

from __future__ import annotations

import hashlib
import json
import zipfile
from collections.abc import Callable, Iterator, Mapping
from contextlib import closing
from typing import IO, Any

from annual_planner.exchange.hand_over.form import Records, shipped_schema
from annual_planner.exchange.hand_over.layout import (
    FORMAT,
    MANIFEST,
    MOST_BYTES,
    MOST_PARTS,
    READ_ME,
    RECORDS,
    SCHEMA,
    STATEMENT,
    VERSION,
    file_name,
    most_bytes,
)
from annual_planner.records.chain import signed_name
from annual_planner.store.hand_over_rows import FILES, HandedOver, SentChain, SentLink, SentStatement
from annual_planner.trade.refused import Refused

_FIRST_TIME = (1980, 1, 1, 0, 0, 0)
"""The time of every part: a zip has no earlier one, and the true one would make equal records unequal."""
_PLAIN_FILE = 0o100644 << 16
_READ_ME = """\
All records of one airplane, for its next keeper.

records.json         everything that was written down; records.schema.json describes it
papers/              papers as they were filed (PDF), named by their SHA-256
photographs/         photographs (JPEG), named by their SHA-256
statement.json       how much all of it is, and to whom it was handed; signed where the keeper signed it
manifest.json        length and SHA-256 of each of these files

Everything can be read without any program of the keeper before. The signed records stand in records.json
under "chains": "content" is what was shown and signed, "signature" is an Ed25519 signature over "act" that is
checked with "public_key". They are signatures of the keeper before. What is not signed is as that keeper
wrote it down.
"""


def write_hand_over(
    target: IO[bytes],
    records: HandedOver,
    bytes_of: Callable[[str, int], bytes],
    close: Callable[[Mapping[str, str]], SentStatement],
) -> dict[str, int]:
    """Write it; `bytes_of` gives the picture or the pages of a row by table and id. Parts and bytes written.

    `close` makes the closing statement over the SHA-256 of every part by its name.

    Raises Refused for more than a reader takes, and for bytes that no longer match their digest.
    """
    with closing(_Parts(target)) as parts:
        parts.add(RECORDS, records_json(records), packed=True)
        parts.add(SCHEMA, shipped_schema(), packed=True)
        parts.add(READ_ME, _READ_ME.encode(), packed=True)
        for name, table, row_id in sorted(_files(records)):
            content = bytes_of(table, row_id)
            if hashlib.sha256(content).hexdigest() not in name:
                raise Refused(
                    f"Row {row_id} of {table} no longer matches its SHA-256.",
                    "Have the whole fleet checked first.",
                )
            parts.add(name, content)
        parts.add(STATEMENT, _statement(close(parts.digests())), packed=True)
        return parts.finish()


def _statement(statement: SentStatement) -> bytes:
    signature = {
        "act": statement.act.decode(),
        "signature": statement.signature.hex(),
        "public_key": statement.public_key.hex(),
    }
    told = {
        "format": f"{FORMAT} statement",
        "version": 1,
        "content": statement.content.decode(),
        "signature": signature if statement.signature else None,
    }
    return f"{json.dumps(told, indent=1, ensure_ascii=False)}\n".encode()


def _files(records: HandedOver) -> Iterator[tuple[str, str, int]]:
    """The name of each file with a row that has its bytes; the same bytes stand there once."""
    seen: set[str] = set()
    for table in FILES:
        for row in records.tables[table]:
            name = file_name(table, row["sha256"])
            if name not in seen:
                seen.add(name)
                yield name, table, row["id"]


def records_json(records: HandedOver) -> bytes:
    """The records as `records.json` holds them. Raises Refused for what the form doesn't take."""
    from pydantic import ValidationError

    values = {
        "format": FORMAT,
        "version": VERSION,
        "tables": records.tables,
        "chains": [_chain(chain) for chain in records.chains],
    }
    try:
        form = Records.model_validate(values)
    except ValidationError as fault:
        first = fault.errors()[0]
        where = " ".join(str(each) for each in first["loc"])
        raise Refused(
            f"The records can't be handed over as they stand: {where}: {first['msg']}.",
            "Correct that record, then hand the airplane over again.",
        ) from fault
    return f"{json.dumps(form.model_dump(mode='json'), indent=1, ensure_ascii=False)}\n".encode()


def _chain(chain: SentChain) -> Mapping[str, Any]:
    return {
        "keeper": chain.keeper,
        "handed_on": chain.handed_on,
        "last_link": chain.last_link,
        "last_seal": chain.last_seal,
        "records": [_record(each) for each in chain.links],
    }


def _record(sent: SentLink) -> Mapping[str, Any]:
    link, sealed = sent.link, sent.link.sealed
    return {
        "link": sealed.link,
        "previous_seal": sealed.previous_seal,
        "seal": link.seal,
        "kind": sealed.kind,
        "subject_table": sealed.subject_table,
        "subject_id": sealed.subject_id,
        "aircraft_id": sealed.aircraft_id,
        "package_id": sealed.package_id,
        "content": link.content.decode("utf-8", "replace"),
        "digest": sealed.digest,
        "act": sealed.act.decode("utf-8", "replace"),
        "signature": sealed.signature.hex(),
        "public_key": sealed.public_key.hex(),
        "key_id": sealed.key_id,
        "person_id": sealed.person_id,
        "person": signed_name(link) or link.person,
        "meaning": sealed.meaning,
        "work_on": sealed.work_on,
        "signed_at": sealed.signed_at,
        "corrects_link": sealed.corrects_id,
        "row_id": sent.row_id,
        "package_row_id": sent.package_id,
    }


class _Parts:
    """The zip as it grows, with the manifest that ends it."""

    def __init__(self, target: IO[bytes]) -> None:
        self._zip = zipfile.ZipFile(target, "w", allowZip64=False)
        self._listed: dict[str, dict[str, object]] = {}
        self._bytes = 0

    def add(self, name: str, content: bytes, *, packed: bool = False) -> None:
        """Add one part. Refused where the file would hold more than a reader takes."""
        self._bytes += len(content)
        if len(content) > most_bytes(name) or self._bytes > MOST_BYTES or len(self._listed) > MOST_PARTS - 2:
            raise Refused(
                f"The airplane has more records than a hand-over file takes: {name}.",
                "Hand the oldest papers and photographs over by themselves.",
            )
        self._listed[name] = {"bytes": len(content), "sha256": hashlib.sha256(content).hexdigest()}
        self._write(name, content, packed=packed)

    def digests(self) -> dict[str, str]:
        """The SHA-256 of every part so far, by its name."""
        return {name: str(told["sha256"]) for name, told in self._listed.items()}

    def finish(self) -> dict[str, int]:
        """Write the manifest."""
        told = {"format": FORMAT, "version": VERSION, "parts": dict(sorted(self._listed.items()))}
        self._write(MANIFEST, f"{json.dumps(told, indent=1)}\n".encode(), packed=True)
        return {"parts": len(self._listed) + 1, "bytes": self._bytes}

    def close(self) -> None:
        """Write the end, or let go of what was begun."""
        self._zip.close()

    def _write(self, name: str, content: bytes, *, packed: bool) -> None:
        info = zipfile.ZipInfo(name, _FIRST_TIME)
        info.create_system, info.external_attr = 3, _PLAIN_FILE
        info.compress_type = zipfile.ZIP_DEFLATED if packed else zipfile.ZIP_STORED
        self._zip.writestr(info, content, compresslevel=9)
