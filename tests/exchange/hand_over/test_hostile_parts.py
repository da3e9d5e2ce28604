"""A part that is missing, changed or no such thing is refused in one clear line; nothing is recorded."""

from __future__ import annotations

import io
import tracemalloc
from collections.abc import Callable
from hashlib import sha256
from pathlib import Path
from typing import Any

import pytest

from annual_planner.store.session import Fleet
from tests.exchange.hand_over.handed import refused
from tests.exchange.hand_over.repacked import (
    MANIFEST,
    RECORDS,
    listed,
    packed,
    parts_of,
    with_part,
    with_raw_records,
    with_records,
)

Make = Callable[[bytes], bytes]


def deep(good: bytes) -> bytes:
    return with_raw_records(good, lambda records: b"[" * 100_000 + b"]" * 100_000)


def names(count: int) -> bytes:
    return b"".join(b'"n%d": 0, ' % number for number in range(count))


def shallow_but_too_deep(good: bytes) -> bytes:
    nest = "[" * 60 + "]" * 60
    return with_raw_records(
        good, lambda records: records.replace(b'"content": {', f'"content": {{"x": {nest},'.encode(), 1)
    )


def other_photograph(content: bytes) -> Make:
    def make(good: bytes) -> bytes:
        old = next(name for name in parts_of(good) if name.startswith("photographs/"))
        name_now = sha256(content).hexdigest()
        kept = {name: part for name, part in parts_of(good).items() if name != old}

        def change(told: dict[str, Any]) -> None:
            told["tables"]["photograph"][0]["sha256"] = name_now

        return with_records(listed({**kept, f"photographs/{name_now}.jpg": content}), change)

    return make


def jpeg(width: int, height: int) -> bytes:
    from PIL import Image

    target = io.BytesIO()
    Image.new("L", (width, height)).save(target, "JPEG", quality=10)
    return target.getvalue()


def paper(content: bytes) -> Make:
    return lambda good: packed(
        {name: content if name.startswith("papers/") else part for name, part in parts_of(good).items()}
    )


PARTS: dict[str, tuple[Make, str]] = {
    "no manifest": (
        lambda good: packed({k: v for k, v in parts_of(good).items() if k != MANIFEST}),
        "manifest.json is missing",
    ),
    "a manifest of something else": (
        lambda good: listed(parts_of(good), format="other"),
        "none of a hand-over file",
    ),
    "a later version": (
        lambda good: listed(parts_of(good), version=3),
        "of version 3, this program reads 1 and 2",
    ),
    "a manifest that is a list": (
        lambda good: packed({**parts_of(good), MANIFEST: b"[]"}),
        "none of a hand-over file",
    ),
    "a paper changed": (paper(b"%PDF-1.7 another"), "not what the manifest says"),
    "a part left out": (
        lambda good: packed({k: v for k, v in parts_of(good).items() if "read" not in k}),
        "lists other parts",
    ),
    "no records": (lambda good: with_part(good, RECORDS, None), "are missing"),
    "no schema": (lambda good: with_part(good, "records.schema.json", None), "are missing"),
    "a stray paper": (
        lambda good: with_part(good, f"papers/{'0' * 64}.pdf", b"%PDF-"),
        "belongs to no record",
    ),
    "not UTF-8": (lambda good: with_part(good, RECORDS, b"\xff\xfe{}"), "can't be read"),
    "no JSON": (lambda good: with_part(good, RECORDS, b"{'a': 1}"), "can't be read"),
    "NaN": (
        lambda good: with_raw_records(good, lambda r: r.replace(b'"value": 0.1', b'"value": NaN')),
        "NaN is no number that can be kept",
    ),
    "too large a number": (
        lambda good: with_raw_records(good, lambda r: r.replace(b'"value": 0.1', b'"value": 1e999')),
        "no number that can be kept",
    ),
    "five thousand digits": (
        lambda good: with_raw_records(good, lambda r: r.replace(b'"value": 0.1', b'"value": ' + b"9" * 5000)),
        "can't be read",
    ),
    "a NUL in a text": (
        lambda good: with_raw_records(good, lambda r: r.replace(b"Brake drags", b"Brake\\u0000drags")),
        "holds a NUL",
    ),
    "half a character": (
        lambda good: with_raw_records(good, lambda r: r.replace(b"Brake drags", b"Brake\\ud800drags")),
        "can't be read",
    ),
    "a name twice": (
        lambda good: with_raw_records(
            good, lambda r: r.replace(b'"version": 2', b'"version": 2, "version": 2')
        ),
        "stands twice in one table",
    ),
    "many small values": (
        lambda good: with_raw_records(good, lambda r: b"[" + b"[]," * 9_000_000 + b"0]"),
        "more values than may be",
    ),
    "many small texts": (
        lambda good: with_raw_records(good, lambda r: b"[" + b'"abcdefghij",' * 2_000_000 + b"0]"),
        "more values than may be",
    ),
    "one long text": (
        lambda good: with_raw_records(good, lambda r: b'["' + "é".encode() + b"x" * 4_000_000 + b'"]'),
        "a text is longer than 4 MB",
    ),
    "the same name, written otherwise": (
        lambda good: with_raw_records(
            good, lambda r: r.replace(b'"version": 2', b'"version": 2, "versio\\u006e": 2')
        ),
        "stands twice in one table",
    ),
    "a text without an end": (lambda good: with_raw_records(good, lambda r: r[:-3] + b'"'), "can't be read"),
    "many wrong rows": (
        lambda good: with_raw_records(
            good, lambda r: r.replace(b'"meter": [', b'"meter": [' + b"0," * 700_000)
        ),
        "tables meter 0",
    ),
    "many wrong names": (
        lambda good: with_raw_records(good, lambda r: r.replace(b'"format"', names(19_000) + b'"format"')),
        "don't follow the schema",
    ),
    "too many names": (
        lambda good: with_raw_records(good, lambda r: r.replace(b'"format"', names(30_000) + b'"format"')),
        "a table has",
    ),
    "deep": (deep, "can't be read|nested"),
    "deeper than records are": (shallow_but_too_deep, "nested deeper than 40"),
    "a photograph that is none": (other_photograph(b"\xff\xd8\xff and no more"), "no JPEG"),
    "a photograph cut off": (other_photograph(jpeg(60, 40)[:-60]), "can't be read as a picture"),
    "a photograph that is a page": (other_photograph(b"<html>"), "no JPEG"),
    "a photograph of another size": (other_photograph(jpeg(61, 40)), "of another size"),
    "a picture bomb": (other_photograph(jpeg(12_000, 12_000)), "larger than any is kept"),
}


@pytest.mark.parametrize("name", PARTS)
def test_a_part_that_is_not_as_it_must_be_is_refused(name: str, good: bytes, empty: Fleet) -> None:
    make, said = PARTS[name]
    told = refused(empty, make(good))
    assert any(part in told for part in said.split("|")), told


HUGE = {
    "wide texts": b"[" + (b'"' + "😀".encode() + b"x" * 5_000 + b'",') * 5_000 + b"0]",
    "one wide text": b'["' + "😀".encode() + b"x" * 30_000_000 + b'"]',
}


@pytest.mark.parametrize("name", HUGE)
def test_what_is_made_to_fill_the_memory_is_refused_before_it_does(
    name: str, good: bytes, empty: Fleet, tmp_path: Path
) -> None:
    (tmp_path / "huge.zip").write_bytes(with_part(good, RECORDS, HUGE[name]))
    tracemalloc.start()
    refused(empty, tmp_path / "huge.zip")
    used = tracemalloc.get_traced_memory()[1]
    tracemalloc.stop()
    assert used < 150_000_000
