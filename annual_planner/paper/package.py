"""The paper package of one visit as a PDF: cover to signatures, the same bytes for the same package."""

from __future__ import annotations

from collections.abc import Callable
from io import BytesIO
from pathlib import Path
from typing import TYPE_CHECKING, BinaryIO

from annual_planner.paper.cards import TITLE as CARDS
from annual_planner.paper.cards import work_cards
from annual_planner.paper.cover import cover
from annual_planner.paper.coverage import coverage
from annual_planner.paper.decided import decided
from annual_planner.paper.faces import REGULAR, load_faces
from annual_planner.paper.flow import Flow, Page, Section
from annual_planner.paper.found_sheets import found_sheets
from annual_planner.paper.look import Sheet, print_shades, sheet_of
from annual_planner.paper.next_due import next_due
from annual_planner.paper.owner_list import owner_list
from annual_planner.paper.pen import Pen
from annual_planner.paper.running import Running, draw_running, program_version
from annual_planner.paper.said import said_day
from annual_planner.paper.summary import summary
from annual_planner.paper.supplies import supplies
from annual_planner.paper.target import write_whole
from annual_planner.planning.package_view import PackageView

if TYPE_CHECKING:
    from reportlab.pdfgen.canvas import Canvas

Progress = Callable[[int, int], object]
"""Told (pages drawn, pages in all); it may raise to stop the work."""


def package_pdf(
    view: PackageView, target: Path | BinaryIO, *, page_size: str = "letter", progress: Progress | None = None
) -> int:
    """Write the whole paper package and give its number of pages.

    `page_size` is 'letter' or 'a4', else Refused; Refused too when the path can't be written. A file already
    there stays as it is until the last page is drawn, and is then replaced at once.
    """
    sheet = sheet_of(page_size)
    load_faces()
    flow = Flow(sheet.frame_height)
    for section in sections(view, sheet):
        flow.add(section)
    pages = flow.finish()
    drawn = BytesIO()
    _draw(view, sheet, pages, flow.first_page, drawn, progress)
    if isinstance(target, Path):
        write_whole(target, drawn.getvalue())
    else:
        target.write(drawn.getvalue())
    return len(pages)


def sections(view: PackageView, sheet: Sheet) -> tuple[Section, ...]:
    """Lay out every part of the paper in its order."""
    width = sheet.frame_width
    parts = (
        summary(view, width),
        decided(view, width),
        supplies(view, width),
        owner_list(view, width),
        work_cards(view, width),
        found_sheets(view, width, sheet.frame_height),
        coverage(view, width),
        next_due(view, width),
    )
    return (cover(view, width, [part.title for part in parts]), *parts)


def _draw(
    view: PackageView,
    sheet: Sheet,
    pages: list[Page],
    first_page: dict[str, int],
    drawn: BytesIO,
    progress: Progress | None,
) -> None:
    from reportlab import rl_config
    from reportlab.pdfgen.canvas import Canvas

    rl_config.useA85 = 0  # bytes as they are: a fifth smaller, and no time spent on turning them into letters
    canvas = Canvas(
        drawn,
        pagesize=(sheet.width, sheet.height),
        invariant=1,
        initialFontName=REGULAR,  # else a face that is not embedded is named on every page
        pageCompression=1,
    )
    _describe(canvas, view)
    pen = Pen(canvas, sheet, print_shades(), pages=len(pages), page_of=first_page)
    running = Running(view.aircraft.registration, view.package.number, said_day(view.today), view.demo)
    for number, page in enumerate(pages, 1):
        _draw_page(pen, running, page, number)
        canvas.showPage()
        if progress is not None:
            progress(number, len(pages))
    canvas.save()


def _describe(canvas: Canvas, view: PackageView) -> None:
    canvas.setTitle(f"{view.aircraft.registration} {view.package.title} ({view.package.number})")
    canvas.setSubject("Work package; advises, never approves")
    canvas.setAuthor("Annual Planner")
    canvas.setCreator(f"Annual Planner {program_version()}")


def _draw_page(pen: Pen, running: Running, page: Page, number: int) -> None:
    sheet = pen.sheet
    draw_running(pen, running, page.title, number, pen.pages)
    for used, block in page.placed:
        block.draw(pen, sheet.side, sheet.frame_top - used)
    for level, text, used in page.marks:
        key = f"{number}:{text}"
        pen.canvas.bookmarkHorizontal(key, 0, sheet.frame_top - used + 10)
        pen.canvas.addOutlineEntry(text, key, level=level, closed=level == 0 and text != CARDS)
