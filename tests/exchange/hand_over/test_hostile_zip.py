"""A zip that is not as hand-over files are is refused with one clear line, and nothing of it is recorded."""

from __future__ import annotations

import io
import stat
import struct
import time
import tracemalloc
import zipfile
from collections.abc import Callable
from typing import Any

import pytest

from annual_planner.store.session import Fleet
from tests.exchange.hand_over.handed import refused
from tests.exchange.hand_over.repacked import (
    RECORDS,
    packed,
    parts_of,
    with_part,
)

Make = Callable[[bytes], bytes]
MB = 1_000_000


def raw(name: str, content: bytes = b"x", **given: Any) -> Make:
    """A good file with one more part, whose header says what is given."""

    def make(good: bytes) -> bytes:
        info = zipfile.ZipInfo("placeholder")
        info.filename = name
        for key, value in given.items():
            setattr(info, key, value)
        target = io.BytesIO(good)
        with zipfile.ZipFile(target, "a") as out, pytest.MonkeyPatch.context() as patch:
            patch.setattr("warnings.warn", lambda *_, **__: None)
            out.writestr(info, content)
        return target.getvalue()

    return make


def in_place(old: bytes, new: bytes) -> Make:
    """Bytes of the file put in place of others of the same length, everywhere."""

    def make(good: bytes) -> bytes:
        assert len(old) == len(new)
        assert old in good
        return good.replace(old, new)

    return make


def central(good: bytes, name: bytes) -> int:
    """Where a part's entry in the table of contents begins."""
    at = good.rindex(name)
    return good.rindex(b"PK\x01\x02", 0, at)


def header(name: bytes, offset: int, form: str, value: int) -> Make:
    """One field of a part's entry in the table of contents changed."""

    def make(good: bytes) -> bytes:
        found = bytearray(good)
        struct.pack_into(form, found, central(good, name) + offset, value)
        return bytes(found)

    return make


def flat_bomb(good: bytes) -> bytes:
    return packed({**parts_of(good), RECORDS: b" " * (31 * MB)}, zipfile.ZIP_DEFLATED)


def lying_bomb(good: bytes) -> bytes:
    """Its header says that it is small."""
    return header(RECORDS.encode(), 24, "<L", 1000)(flat_bomb(good))


def many_parts(good: bytes) -> bytes:
    target = io.BytesIO()
    with zipfile.ZipFile(target, "w") as out:
        for number in range(10_001):
            out.writestr(f"papers/{number:064x}.pdf", b"")
    return target.getvalue()


def overlapping(good: bytes) -> bytes:
    """Two parts whose headers lie on the same bytes."""
    offset = struct.unpack_from("<L", good, central(good, b"read-me.txt") + 42)[0]
    return header(b"records.schema.json", 42, "<L", offset)(good)


def nested(good: bytes) -> bytes:
    return with_part(good, "inner.zip", packed({"a": b"0" * MB}))


ZIPS: dict[str, tuple[Make, str]] = {
    "empty": (lambda good: b"", "no zip file"),
    "no zip": (lambda good: b"%PDF-1.7 and more of it than an end record has", "no zip file"),
    "cut off": (lambda good: good[:-30], "no zip file, or cut off"),
    "cut off in the middle": (lambda good: good[: len(good) // 2], "no zip file, or cut off"),
    "something before it": (lambda good: b"#!/bin/sh\n" + good, "not where it must be"),
    "something behind it": (lambda good: good + b"more", "no zip file"),
    "a remark": (lambda good: good[:-2] + b"\x04\x00more", "no zip file"),
    "many parts": (many_parts, "has 10001 parts"),
    "a flat bomb": (flat_bomb, "too tightly|unpacks to more"),
    "a bomb that lies": (lying_bomb, "damaged|unpacks to more|too tightly"),
    "a zip within": (nested, "'inner.zip', which no part has"),
    "parts over each other": (overlapping, "damaged|over each other"),
    "leads out": (raw("../../etc/passwd"), "no part has"),
    "absolute": (raw("/etc/passwd"), "no part has"),
    "drive letter": (raw("C:/x.pdf"), "no part has"),
    "backslashes": (raw("papers\\x.pdf"), "no part has"),
    "leads out of papers": (raw("papers/../" + "0" * 64 + ".pdf"), "no part has"),
    "a folder": (raw("papers/"), "no part has"),
    "another case": (raw("RECORDS.JSON"), "no part has"),
    "a device": (raw("papers/con"), "no part has"),
    "bidirectional marks": (raw("papers/\u202efdp.exe"), "no part has"),
    "twice": (raw(RECORDS, b"{}"), "stands twice"),
    "a link": (raw(f"papers/{'0' * 64}.pdf", external_attr=(stat.S_IFLNK | 0o777) << 16), "no plain file"),
    "a pipe": (raw(f"papers/{'0' * 64}.pdf", external_attr=(stat.S_IFIFO | 0o777) << 16), "no plain file"),
    "another packing": (raw(f"papers/{'0' * 64}.pdf", compress_type=zipfile.ZIP_LZMA), "packed in a way"),
    "a NUL in a name": (in_place(b"read-me.txt", b"read-m\0.txt"), "no part has"),
    "encrypted": (header(RECORDS.encode(), 8, "<H", 1), "encrypted"),
    "an unknown packing": (header(RECORDS.encode(), 10, "<H", 99), "packed in a way"),
    "another name inside": (header(RECORDS.encode(), 42, "<L", 1), "damaged"),
    "a broken check sum": (header(RECORDS.encode(), 16, "<L", 7), "records.json is damaged"),
    "several disks": (lambda good: good[:-18] + b"\x01\x00" + good[-16:], "of a kind"),
    "more contents than parts": (
        lambda good: good[:-14] + b"\x01\x00\x01\x00" + good[-10:],
        "contents|parts",
    ),
}


@pytest.mark.parametrize("name", ZIPS)
def test_a_zip_that_is_not_as_ours_is_refused(name: str, good: bytes, empty: Fleet) -> None:
    make, said = ZIPS[name]
    content = make(good)
    started = time.process_time()
    tracemalloc.start()
    told = refused(empty, content)
    used = tracemalloc.get_traced_memory()[1]
    tracemalloc.stop()
    assert any(part in told for part in said.split("|")), told
    assert used < 200 * MB
    assert time.process_time() - started < 10, "its own time: what else the machine does doesn't count"
