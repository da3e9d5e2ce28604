"""A package's PDF on the disk: whole under its name, or not there at all."""

from __future__ import annotations

import os
from io import BytesIO
from pathlib import Path

from annual_planner.paper.package import Progress, package_pdf
from annual_planner.planning.package_view import PackageView
from annual_planner.trade.refused import Refused

_PDF = b"%PDF"


def check_target(target: Path) -> None:
    """Say whether a PDF may be written there: a new file in a folder that is there, or over an older PDF.

    Raises Refused for a folder, a missing folder, and a file that is no PDF, such as a fleet.
    """
    try:
        _check(target)
    except OSError as fault:
        raise _not_written(target, fault) from fault


def save_package(
    view: PackageView, target: Path, *, page_size: str = "letter", progress: Progress | None = None
) -> int:
    """Write the package to `target` and give its number of pages; a PDF that stood there is replaced.

    Raises Refused as check_target does, and when the disk doesn't take it; what stood there then still does.
    """
    check_target(target)
    drawn = BytesIO()
    pages = package_pdf(view, drawn, page_size=page_size, progress=progress)
    try:
        _replace(target, drawn.getvalue())
    except OSError as fault:
        raise _not_written(target, fault) from fault
    return pages


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


def _replace(target: Path, content: bytes) -> None:
    part = target.with_name(f".{os.getpid()}-{target.name[:80]}.part")
    try:
        with part.open("xb") as file:
            file.write(content)
        part.replace(target)
    finally:
        part.unlink(missing_ok=True)


def _not_written(target: Path, fault: OSError) -> Refused:
    return Refused(f"{target} can't be written: {fault.strerror}.", "Check the folder and the disk.")
