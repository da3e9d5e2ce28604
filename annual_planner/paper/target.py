"""Where a PDF may be written, and writing it: whole under its name, or not there at all."""

from __future__ import annotations

import errno
import os
from contextlib import suppress
from pathlib import Path
from typing import BinaryIO

from annual_planner.trade.refused import Refused

_PDF = b"%PDF"


def check_target(target: Path) -> None:
    """Let pass a new file in a folder that is there, and an older PDF, which is then written over.

    Raises Refused for a folder, a missing folder, and a file that is no PDF, such as a fleet.
    """
    try:
        _check(target)
    except OSError as fault:
        raise Refused(f"{target} can't be written: {fault.strerror}.", "Choose another name.") from fault


def give(target: Path | BinaryIO, pdf: bytes) -> None:
    """Write a finished document to a path, as `write_whole` does, or into a stream."""
    if isinstance(target, Path):
        write_whole(target, pdf)
    else:
        target.write(pdf)


def write_whole(target: Path, pdf: bytes) -> None:
    """Put a finished document in place in one step, so that no half of one is ever there.

    Raises Refused when the disk doesn't take it; what stood there then still does.
    """
    beside = target.with_name(f".{target.stem[:40]}.part")  # room for it however long the name
    try:
        beside.write_bytes(pdf)
        beside.replace(target)
    except OSError as fault:
        with suppress(OSError):  # where nothing can be written, nothing can be removed
            beside.unlink(missing_ok=True)
        remedy = "Choose a folder that is there and open to you, or close the document if it is open."
        if fault.errno == errno.ENOSPC:
            remedy = "Make room on that disk, or choose another one."
        raise Refused(
            f"The paper can't be written to {target}: {fault.strerror or fault}.", remedy
        ) from fault


def _check(target: Path) -> None:
    if target.is_dir():
        raise Refused(f"{target} is a folder, not a PDF file.", "Name a file in it.")
    if not target.parent.is_dir():
        raise Refused(f"There is no folder {target.parent}.", "Make the folder first.")
    if not os.access(target.parent, os.W_OK):
        raise Refused(f"Nothing may be written in {target.parent}.", "Choose a folder that is open to you.")
    if target.exists() and not _is_pdf(target):
        raise Refused(f"{target} is there and is no PDF; it is not written over.", "Choose another name.")


def _is_pdf(target: Path) -> bool:
    if not target.is_file():
        return False
    with target.open("rb") as file:
        return file.read(len(_PDF)) == _PDF
