"""Keeps the compiled form of the Python sources that PySide6 carries inside its libraries.

Python keeps what it compiled of a module beside the module. PySide6's own sources lie packed in its
libraries, out of Python's reach, and are compiled anew at each start: a tenth of the time to the first
window. While PySide6 is being imported, what is compiled there is looked up in a file beside this program's
own compiled modules. Each is kept together with the source that it was made from: another source is compiled.
"""

from __future__ import annotations

import builtins
import marshal
import os
import sys
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from importlib.util import MAGIC_NUMBER, cache_from_source
from pathlib import Path
from types import CodeType
from typing import Any

Kept = dict[str, tuple[bytes, CodeType]]
"""By the name of a source: its text, and what was compiled from it."""


@contextmanager
def compiled_once(path: Path | None = None) -> Iterator[None]:
    """Meanwhile, compile only what the file at `path` (None: the usual one) doesn't hold yet."""
    path = path or kept_at()
    stand_in = _Compile(_read(path))
    builtins.compile = stand_in
    try:
        yield
    finally:
        builtins.compile = stand_in.own
        if stand_in.new and not sys.dont_write_bytecode:
            _write(path, stand_in.kept)


def kept_at() -> Path:
    """Where it is kept: where Python would keep a compiled module of this name and folder."""
    return Path(cache_from_source(str(Path(__file__).with_name("qt_sources.py"))))


class _Compile:
    """Stands in for Python's `compile`."""

    def __init__(self, kept: Kept) -> None:
        self.own: Any = builtins.compile
        self.kept = kept
        self.new = False

    def __call__(self, source: Any, filename: Any, mode: str, *more: Any, **named: Any) -> Any:
        if more or named or mode != "exec" or not isinstance(source, bytes):
            return self.own(source, filename, mode, *more, **named)  # Python's import, and others
        text, code = self.kept.get(filename, (b"", None))
        if code is None or text != source:
            code = self.own(source, filename, mode)
            self.kept[filename] = source, code
            self.new = True
        return code


def _read(path: Path) -> Kept:
    try:
        whole = path.read_bytes()
        kept = marshal.loads(whole[len(MAGIC_NUMBER) :]) if whole.startswith(MAGIC_NUMBER) else None
    except (OSError, EOFError, ValueError, TypeError):
        return {}
    return kept if isinstance(kept, dict) else {}


def _write(path: Path, kept: Kept) -> None:
    """Write it whole or not at all; where it can't be written, the next start compiles again."""
    building = path.with_name(f"{path.name}.{os.getpid()}")
    with suppress(OSError):
        path.parent.mkdir(parents=True, exist_ok=True)
        building.write_bytes(MAGIC_NUMBER + marshal.dumps(kept))
        building.replace(path)
