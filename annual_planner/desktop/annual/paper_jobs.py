"""Work on paper that runs off the window's thread: making the PDF, saving it, printing it. No widget here."""

from __future__ import annotations

from io import BytesIO
from pathlib import Path
from threading import Lock
from typing import TYPE_CHECKING, Literal

from PySide6.QtCore import QRectF
from PySide6.QtGui import QImage, QPainter
from PySide6.QtPrintSupport import QPrinter

from annual_planner.desktop.annual.pages import as_image
from annual_planner.desktop.progress import Progress
from annual_planner.planning.package_view import PackageView
from annual_planner.trade.refused import Refused

if TYPE_CHECKING:
    from annual_planner.paper.preview import PagePart

PRINT_DOTS_PER_INCH = 300
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


def parts_of(pdf: bytes) -> tuple[PagePart, ...]:
    """Which parts it has, and where they begin."""
    from annual_planner.paper import preview

    with _one_at_a_time:
        return preview.parts_of(pdf)


def save_pdf(pdf: bytes, path: Path) -> Path:
    """Write a PDF, over an older one if need be and over nothing else. Raises Refused."""
    from annual_planner.paper.target import check_target, write_whole

    check_target(path)
    write_whole(path, pdf)
    return path


def print_pdf(pdf: bytes, printer: QPrinter, progress: Progress) -> int:
    """Print the pages that were asked for as they are seen; gives how many.

    Raises Cancelled, and Refused without a printer or where none of its pages were asked for.
    """
    asked = pages_asked(printer, pages_of(pdf))
    painter = QPainter()
    if not painter.begin(printer):
        raise Refused("The printer doesn't answer.", "Look at it, or save the PDF and print that.")
    painter.setRenderHint(QPainter.RenderHint.LosslessImageRendering)  # small type stays sharp
    try:
        scale = PRINT_DOTS_PER_INCH / POINTS_PER_INCH
        for done, number in enumerate(asked):
            progress(done, len(asked))
            if done:
                printer.newPage()
            picture = page_picture(pdf, number, scale)
            painter.drawImage(_on_sheet(printer, picture.width(), picture.height()), picture)
    finally:
        painter.end()
    return len(asked)


def pages_asked(printer: QPrinter, total: int) -> list[int]:
    """Which of so many pages a person asked for, from 0, in the order they are printed.

    Raises Refused where none of them is there.
    """
    asked = list(range(total))
    if printer.printRange() is QPrinter.PrintRange.PageRange and not printer.pageRanges().isEmpty():
        ranges = printer.pageRanges()
        asked = [number for number in asked if ranges.contains(number + 1)]
    if not asked:
        wanted = printer.pageRanges().toString()
        raise Refused(f"The paper has pages 1 to {total}; there is no page {wanted}.", "Ask for other pages.")
    backwards = printer.pageOrder() is QPrinter.PageOrder.LastPageFirst
    return asked[::-1] if backwards else asked


def _on_sheet(printer: QPrinter, width: int, height: int) -> QRectF:
    """Where a page goes on the printer's sheet: as large as fits, in its shape, in the middle."""
    room = printer.pageRect(QPrinter.Unit.DevicePixel)
    share = min(room.width() / width, room.height() / height)
    wide, high = width * share, height * share
    return QRectF((room.width() - wide) / 2, (room.height() - high) / 2, wide, high)
