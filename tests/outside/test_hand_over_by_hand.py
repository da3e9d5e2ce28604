"""A hand-over file checked as its page in docs/ says, with a zip reader, SHA-256, Ed25519 and none of ours.

The canonical form is written here with the standard library's JSON writer (keys sorted, no white space,
UTF-8), which is what RFC 8785 asks for where keys are plain ASCII and numbers are whole.
"""

from __future__ import annotations

import hashlib
import json
import zipfile
from collections.abc import Iterator
from io import BytesIO
from pathlib import Path
from typing import Any

import pytest
from cryptography.exceptions import InvalidSignature
from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PublicKey

from tests.exchange.hand_over.handed import SIGNED, good_file

SEALED = (
    "link", "previous_seal", "kind", "subject_table", "subject_id", "aircraft_id", "package_id", "signature",
    "key_id", "person_id", "meaning", "work_on", "signed_at",
)  # fmt: skip


@pytest.fixture(scope="module")
def parts(tmp_path_factory: pytest.TempPathFactory) -> dict[str, bytes]:
    with zipfile.ZipFile(BytesIO(good_file(tmp_path_factory.mktemp("handed")))) as found:
        return {name: found.read(name) for name in found.namelist()}


def sha256(content: bytes) -> str:
    return hashlib.sha256(content).hexdigest()


def canonical(value: object) -> bytes:
    return json.dumps(value, sort_keys=True, separators=(",", ":"), ensure_ascii=False).encode()


def faults(records: list[dict[str, Any]]) -> Iterator[str]:
    before: dict[int, str] = {}
    for record in records:
        act = json.loads(record["act"])
        if (
            sha256(record["content"].encode()) != record["digest"]
            or act["content_sha256"] != record["digest"]
        ):
            yield "content"
        named = {
            "link": "link",
            "previous_seal": "previous_seal",
            "signed_at": "signed_at",
            "key": "public_key",
        }
        if any(act[name] != record[field] for name, field in named.items()):
            yield "act"
        try:
            key = Ed25519PublicKey.from_public_bytes(bytes.fromhex(record["public_key"]))
            key.verify(bytes.fromhex(record["signature"]), record["act"].encode())
        except InvalidSignature:
            yield "signature"
        if sha256(canonical(sealed(record))) != record["seal"]:
            yield "seal"
        if before.get(record["link"] - 1, record["previous_seal"]) != record["previous_seal"]:
            yield "order"
        before[record["link"]] = record["seal"]


def sealed(record: dict[str, Any]) -> dict[str, Any]:
    return {
        **{name: record[name] for name in SEALED},
        "algorithm": "annual-planner seal 1: SHA-256 over canonical JSON",
        "content_sha256": record["digest"],
        "act_sha256": sha256(record["act"].encode()),
        "key": record["public_key"],
        "corrects_id": record["corrects_link"],
    }


def test_every_part_is_what_the_manifest_says(parts: dict[str, bytes]) -> None:
    listed = json.loads(parts["manifest.json"])["parts"]
    others = {name: part for name, part in parts.items() if name != "manifest.json"}
    assert {name: (each["bytes"], each["sha256"]) for name, each in listed.items()} == {
        name: (len(part), sha256(part)) for name, part in others.items()
    }
    for name in (each for each in others if "/" in each):
        assert sha256(others[name]) == Path(name).stem


def test_every_signature_and_seal_is_good(parts: dict[str, bytes]) -> None:
    [chain] = json.loads(parts["records.json"])["chains"]
    assert len(chain["records"]) == SIGNED
    assert list(faults(chain["records"])) == []


@pytest.mark.parametrize(
    ("field", "value", "found"),
    [
        ("content", "{}", ["content"]),
        ("signature", "00" * 64, ["signature", "seal"]),
        ("meaning", "supervised", ["seal"]),
        ("signed_at", "2026-05-04T00:00:00.000000Z", ["act", "seal"]),
        ("seal", "0" * 64, ["seal", "order"]),
    ],
)
def test_what_was_changed_is_found(parts: dict[str, bytes], field: str, value: str, found: list[str]) -> None:
    [chain] = json.loads(parts["records.json"])["chains"]
    chain["records"][1][field] = value
    assert list(faults(chain["records"])) == found
