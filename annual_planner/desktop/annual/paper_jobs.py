"""Work on paper that runs off the window's thread: making the PDF, saving it, printing it. No widget here."""

from __future__ import annotations

from io import BytesIO
from pathlib import Path
from threading import Lock
from typing import Literal

from PySide6.QtCore import QRectF
from PySide6.QtGui import QImage, QPainter
from PySide6.QtPrintSupport import QPrinter

from annual_planner.desktop.annual.pages import as_image
from annual_planner.desktop.progress import Progress
from annual_planner.planning.package_view import PackageView
from annual_planner.trade.refused import Refused

PRINT_DOTS_PER_INCH = 200
POINTS_PER_INCH = 72
_one_at_a_time = Lock()
"""The library that draws PDF pages may be used by one thread at a time only."""


WhichPaper = Literal["package", "owner"]
"""The whole package, or the owner's preparation list alone."""


def make_pdf(view: PackageView, page_size: str, progress: Progress, which: WhichPaper = "package") -> bytes:
    """The paper of a package. Raises Cancelled when a person stops it."""
    from annual_planner.paper.package import owner_list_pdf, package_pdf

    made = BytesIO()
    progress.check()
    write = owner_list_pdf if which == "owner" else package_pdf
    write(view, made, page_size=page_size, progress=progress)
    return made.getvalue()


def page_picture(pdf: bytes, number: int, scale: float) -> QImage:
    """Page `number` (from 0) at `scale` pixels a point."""
    from annual_planner.paper.preview import page_images

    with _one_at_a_time:
        (page,) = page_images(pdf, scale, first=number, last=number + 1)
    return as_image(page)


def pages_of(pdf: bytes) -> int:
    """How many pages there are."""
    from annual_planner.paper.preview import page_count

    with _one_at_a_time:
        return page_count(pdf)


def save_pdf(pdf: bytes, path: Path) -> Path:
    """Write a PDF, over an older one if need be and over nothing else. Raises Refused."""
    from annual_planner.paper.target import check_target, write_whole

    check_target(path)
    write_whole(path, pdf)
    return path


def print_pdf(pdf: bytes, printer: QPrinter, progress: Progress) -> int:
    """Print every page as it is seen; gives how many. Raises Cancelled, and Refused without a printer."""
    total = pages_of(pdf)
    painter = QPainter()
    if not painter.begin(printer):
        raise Refused("The printer doesn't answer.", "Look at it, or save the PDF and print that.")
    try:
        scale = PRINT_DOTS_PER_INCH / POINTS_PER_INCH
        for number in range(total):
            progress(number, total)
            if number:
                printer.newPage()
            picture = page_picture(pdf, number, scale)
            painter.drawImage(_on_sheet(printer, picture.width(), picture.height()), picture)
    finally:
        painter.end()
    return total


def _on_sheet(printer: QPrinter, width: int, height: int) -> QRectF:
    """Where a page goes on the printer's sheet: as large as fits, in its shape."""
    room = printer.pageRect(QPrinter.Unit.DevicePixel)
    share = min(room.width() / width, room.height() / height)
    return QRectF(0, 0, width * share, height * share)
