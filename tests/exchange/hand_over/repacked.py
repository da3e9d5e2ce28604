"""Making other files of a good hand-over file: its parts changed, with or without a manifest that fits."""

from __future__ import annotations

import hashlib
import io
import json
import zipfile
from collections.abc import Callable, Mapping
from typing import Any

from annual_planner.trade.canonical import canonical_bytes
from annual_planner.trade.seals import digest_of

RECORDS, MANIFEST = "records.json", "manifest.json"


def parts_of(good: bytes) -> dict[str, bytes]:
    with zipfile.ZipFile(io.BytesIO(good)) as parts:
        return {name: parts.read(name) for name in parts.namelist()}


def packed(parts: Mapping[str, bytes], how: int = zipfile.ZIP_STORED) -> bytes:
    target = io.BytesIO()
    with zipfile.ZipFile(target, "w", how) as out:
        for name, content in parts.items():
            out.writestr(name, content)
    return target.getvalue()


def listed(parts: Mapping[str, bytes], **told: Any) -> bytes:
    """The parts packed with a manifest that fits them."""
    others = {name: content for name, content in parts.items() if name != MANIFEST}
    digests = {
        name: {"bytes": len(content), "sha256": hashlib.sha256(content).hexdigest()}
        for name, content in others.items()
    }
    manifest = {"format": "annual-planner hand-over", "version": 1, "parts": digests, **told}
    return packed({**others, MANIFEST: json.dumps(manifest).encode()})


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
