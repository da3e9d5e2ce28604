"""Reading the files that come with the program."""

from __future__ import annotations

from pathlib import Path

import resources

FOLDER = Path(resources.__path__[0])
"""They lie beside the program as files: Qt reads some of them by itself."""


def resource_bytes(*parts: str) -> bytes | None:
    """Content of a bundled file, or None when there is none of that name."""
    found = FOLDER.joinpath(*parts)
    return found.read_bytes() if found.is_file() else None


def resource_text(*parts: str) -> str:
    """Text of a bundled file; empty when there is none of that name."""
    data = resource_bytes(*parts)
    return "" if data is None else data.decode("utf-8")


def resource_path(*parts: str) -> str:
    """Where a bundled file lies, for Qt."""
    return FOLDER.joinpath(*parts).as_posix()
