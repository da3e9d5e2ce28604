"""Where a package's PDF may be written."""

from __future__ import annotations

from pathlib import Path

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


def _check(target: Path) -> None:
    if target.is_dir():
        raise Refused(f"{target} is a folder, not a PDF file.", "Name a file in it.")
    if not target.parent.is_dir():
        raise Refused(f"There is no folder {target.parent}.", "Make the folder first.")
    if target.exists() and not _is_pdf(target):
        raise Refused(f"{target} is there and is no PDF; it is not written over.", "Choose another name.")


def _is_pdf(target: Path) -> bool:
    if not target.is_file():
        return False
    with target.open("rb") as file:
        return file.read(len(_PDF)) == _PDF
