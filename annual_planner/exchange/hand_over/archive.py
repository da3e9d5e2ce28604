"""Unpacking a hand-over file from outside: only its known parts, within limits counted while reading.

Nothing is written to the disk, and no name from the file is ever used as a path.
"""

from __future__ import annotations

import hashlib
import io
import os
import stat
import struct
import zipfile
import zlib
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import IO, Self

from annual_planner.exchange.hand_over.layout import MOST_BYTES, MOST_PARTS, MOST_RATIO, most_bytes
from annual_planner.trade.refused import Refused

_END = struct.Struct("<4s4H2LH")
_END_MARK, _END64_MARK = b"PK\x05\x06", b"PK\x06\x07"
_LOCATOR64_BYTES = 20
_ENTRY_BYTES = 46
_LONGEST_NAME = 200
_PACKINGS = (zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED)
_ENCRYPTED, _STRONG, _PATCHED = 0x1, 0x40, 0x20
_PIECE = 1 << 16
_DAMAGED = (
    zipfile.BadZipFile, zlib.error, EOFError, struct.error, NotImplementedError, RuntimeError, ValueError,
    OverflowError, UnicodeError, KeyError,
)  # fmt: skip
_REMEDY = "Nothing was recorded. Ask the keeper who handed over for the file again."


def cant_take(said: str) -> Refused:
    """The one line for a file that can't be taken in."""
    plain = "".join(letter if letter.isprintable() else "?" for letter in said)
    return Refused(f"This hand-over file can't be taken in: {plain}.", _REMEDY)


class Archive:
    """An opened hand-over file. Raises Refused, with one line, for whatever is not as it must be."""

    def __init__(self, source: Path | bytes) -> None:
        self._file: IO[bytes] = io.BytesIO(source) if isinstance(source, bytes) else _opened(source)
        try:
            self.bytes = self._file.seek(0, os.SEEK_END)
            _check_end(self._file, self.bytes)
            with _said():
                self._zip = zipfile.ZipFile(self._file)
            self._parts = self._checked()
        except BaseException:
            self._file.close()
            raise

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_: object) -> None:
        self._zip.close()
        self._file.close()

    @property
    def names(self) -> frozenset[str]:
        """What parts there are."""
        return frozenset(self._parts)

    def sha256(self) -> str:
        """SHA-256 of the whole file, hexadecimal."""
        self._file.seek(0)
        found = hashlib.sha256()
        while piece := self._file.read(_PIECE):
            found.update(piece)
        return found.hexdigest()

    def read(self, name: str) -> bytes:
        """One part unpacked; what its header says of its length is not believed.

        Refused where it is missing, or unpacks to more than a part may be.
        """
        info = self._parts.get(name)
        if info is None:
            raise cant_take(f"{name} is missing in it")
        most = min(most_bytes(name), max(info.compress_size, 1) * MOST_RATIO)
        found = bytearray()
        with _said(name), self._zip.open(info) as part:
            while piece := part.read(_PIECE):
                found += piece
                if len(found) > most:
                    raise cant_take(f"{name} unpacks to more than may be")
        return bytes(found)

    def _checked(self) -> dict[str, zipfile.ZipInfo]:
        infos = self._zip.infolist()
        if len(infos) > MOST_PARTS:
            raise cant_take(f"it has {len(infos)} parts, at most {MOST_PARTS} may be")
        parts: dict[str, zipfile.ZipInfo] = {}
        for info in infos:
            _check_part(info)
            if info.filename in parts:
                raise cant_take(f"{info.filename} stands twice in it")
            parts[info.filename] = info
        if sum(info.compress_size for info in infos) > self.bytes:
            raise cant_take("its parts lie over each other")
        if sum(info.file_size for info in infos) > MOST_BYTES:
            raise cant_take("it unpacks to more than may be")
        return parts


def _opened(source: Path) -> IO[bytes]:
    try:
        return source.open("rb")
    except OSError as fault:
        said = f"{source} can't be read: {fault.strerror or fault}."
        raise Refused(said, "Choose another file.") from fault


def _check_end(file: IO[bytes], size: int) -> None:
    """A zip of ours ends with its end record, with no remark, and begins with its first part."""
    if size > MOST_BYTES:
        raise cant_take(f"it has {size // 1_000_000} MB, at most {MOST_BYTES // 1_000_000} may be")
    if size < _END.size:
        raise cant_take("it is no zip file, or cut off")
    file.seek(max(0, size - _END.size - _LOCATOR64_BYTES))
    tail = file.read()
    mark, disk, other, here, count, length, start, remark = _END.unpack(tail[-_END.size :])
    if mark != _END_MARK or remark:
        raise cant_take("it is no zip file, or cut off")
    if tail.startswith(_END64_MARK) or disk or other or here != count:
        raise cant_take("it is a zip of a kind that hand-over files are not")
    if start + length + _END.size != size or length > count * (_ENTRY_BYTES + _LONGEST_NAME):
        raise cant_take("its table of contents is not where it must be")
    if count > MOST_PARTS:
        raise cant_take(f"it has {count} parts, at most {MOST_PARTS} may be")


def _check_part(info: zipfile.ZipInfo) -> None:
    name, kind = info.orig_filename, stat.S_IFMT(info.external_attr >> 16)
    if name != info.filename or not most_bytes(name):
        raise cant_take(f"it holds a part with the name '{name:.80}', which no part has")
    if kind not in (0, stat.S_IFREG) or info.is_dir():
        raise cant_take(f"{name} is no plain file")
    if info.flag_bits & (_ENCRYPTED | _STRONG | _PATCHED):
        raise cant_take(f"{name} is encrypted")
    if info.compress_type not in _PACKINGS:
        raise cant_take(f"{name} is packed in a way that hand-over files are not")
    if info.file_size > most_bytes(name):
        raise cant_take(f"{name} unpacks to more than may be")
    if info.file_size > max(info.compress_size, 1) * MOST_RATIO:
        raise cant_take(f"{name} is packed too tightly to be true")


@contextmanager
def _said(name: str = "") -> Iterator[None]:
    """Turn the complaints of the unpacking library into one line."""
    try:
        yield
    except Refused:
        raise
    except _DAMAGED as fault:
        raise cant_take(f"{name or 'it'} is damaged ({fault!s:.80})") from fault
