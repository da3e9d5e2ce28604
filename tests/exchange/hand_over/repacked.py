"""Making other files of a good hand-over file: its parts changed, with or without a manifest that fits."""

from __future__ import annotations

import hashlib
import io
import json
import zipfile
from collections.abc import Callable, Mapping
from typing import Any

from annual_planner.trade.canonical import canonical_bytes
from annual_planner.trade.seals import FIRST, digest_of

RECORDS, MANIFEST, STATEMENT = "records.json", "manifest.json", "statement.json"
LARGEST_STATED = 2_000_000
"""Larger records are refused before anybody asks what was stated of them."""


def parts_of(good: bytes) -> dict[str, bytes]:
    with zipfile.ZipFile(io.BytesIO(good)) as parts:
        return {name: parts.read(name) for name in parts.namelist()}


def packed(parts: Mapping[str, bytes], how: int = zipfile.ZIP_STORED) -> bytes:
    target = io.BytesIO()
    with zipfile.ZipFile(target, "w", how) as out:
        for name, content in parts.items():
            out.writestr(name, content)
    return target.getvalue()


def listed(parts: Mapping[str, bytes], *, stated: bool = True, **told: Any) -> bytes:
    """The parts packed with a manifest that fits them, and an unsigned closing statement that does."""
    others = {name: content for name, content in parts.items() if name != MANIFEST}
    if stated and STATEMENT in others:
        others[STATEMENT] = statement_of(others)
    digests = {
        name: {"bytes": len(content), "sha256": hashlib.sha256(content).hexdigest()}
        for name, content in others.items()
    }
    manifest = {"format": "annual-planner hand-over", "version": 2, "parts": digests, **told}
    return packed({**others, MANIFEST: json.dumps(manifest).encode()})


def statement_of(parts: Mapping[str, bytes]) -> bytes:
    """The unsigned closing statement that fits the parts; the old one where they are no records."""
    try:
        told, statement = json.loads(parts[RECORDS][:LARGEST_STATED]), json.loads(parts[STATEMENT])
        content = json.loads(statement["content"])
        chains = told["chains"]
        content["links"] = sum(len(chain["records"]) for chain in chains)
        content["chains"] = [_chain_stated(chain) for chain in chains]
        content["keeper"], content["handed on"] = chains[-1]["keeper"], chains[-1]["handed_on"]
        airplane = told["tables"]["aircraft"][0]
        content["airplane"] = {each: airplane[each] for each in ("registration", "maker", "model", "serial")}
        digests = {
            name: hashlib.sha256(part).hexdigest() for name, part in parts.items() if name != STATEMENT
        }
        content.update(parts=len(digests), parts_sha256=digest_of(canonical_bytes(digests)), signer=None)
        statement.update(content=canonical_bytes(content).decode(), signature=None)
    except (ValueError, LookupError, TypeError, AttributeError, RecursionError):
        return parts[STATEMENT]
    return json.dumps(statement).encode()


def _chain_stated(chain: Mapping[str, Any]) -> dict[str, Any]:
    seals = [each["seal"] for each in chain["records"]] or [FIRST]
    return {
        "keeper": chain["keeper"],
        "links": len(chain["records"]),
        "first_seal": seals[0],
        "last_seal": seals[-1],
        "whole_chain_links": chain["last_link"],
        "whole_chain_last_seal": chain["last_seal"],
    }


def with_part(good: bytes, name: str, content: bytes | None) -> bytes:
    """One part changed, added or, for None, left out; the manifest fits."""
    parts = {**parts_of(good), name: content}
    return listed({each: found for each, found in parts.items() if found is not None})


def with_records(good: bytes, change: Callable[[dict[str, Any]], None]) -> bytes:
    """The records changed; all digests of the file fit."""
    told = json.loads(parts_of(good)[RECORDS])
    change(told)
    return with_part(good, RECORDS, json.dumps(told).encode())


def with_raw_records(good: bytes, change: Callable[[bytes], bytes]) -> bytes:
    return with_part(good, RECORDS, change(parts_of(good)[RECORDS]))


def forge_content(record: dict[str, Any], old: str, new: str) -> None:
    """Other words into what was signed, with the content's digest made to fit."""
    record["content"] = record["content"].replace(old, new)
    record["digest"] = digest_of(record["content"].encode())


def forge_act(record: dict[str, Any], **told: Any) -> None:
    """Another act, with the record's columns made to fit."""
    act = {**json.loads(record["act"]), **told}
    record["act"] = canonical_bytes(act).decode()
