"""Laying sections out on sheets and writing them as a PDF: the same bytes for the same sections."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from io import BytesIO
from pathlib import Path
from typing import TYPE_CHECKING, BinaryIO

from annual_planner.paper.faces import REGULAR, load_faces
from annual_planner.paper.flow import Flow, Page, Section
from annual_planner.paper.look import Sheet, print_shades
from annual_planner.paper.pen import Pen
from annual_planner.paper.running import Running, draw_running, program_version
from annual_planner.paper.target import give

if TYPE_CHECKING:
    from reportlab.pdfgen.canvas import Canvas

Progress = Callable[[int, int], object]
"""Told (pages drawn, pages in all); it may raise to stop the work."""


@dataclass(frozen=True, slots=True)
class About:
    """What the document says of itself. `open_mark`: the bookmark whose own bookmarks are shown at once."""

    title: str
    subject: str
    open_mark: str = ""


def write_document(
    sheet: Sheet,
    sections: Iterable[Section],
    running: Running,
    about: About,
    target: Path | BinaryIO,
    *,
    progress: Progress | None = None,
) -> int:
    """Write the sections one after the other and give the number of pages.

    A file already there stays as it is until the last page is drawn. Refused when the path can't be written.
    """
    flow = Flow(sheet.frame_height)
    for section in sections:
        flow.add(section)
    pages = flow.finish()
    drawn = BytesIO()
    _draw_pages(sheet, pages, flow.first_page, running, about, drawn, progress)
    give(target, drawn.getvalue())
    return len(pages)


def _draw_pages(
    sheet: Sheet,
    pages: list[Page],
    first_page: Mapping[str, int],
    running: Running,
    about: About,
    drawn: BinaryIO,
    progress: Progress | None,
) -> None:
    """Draw every page with its head and foot."""
    canvas = new_canvas(sheet, about, drawn)
    pen = Pen(canvas, sheet, print_shades(), pages=len(pages), page_of=dict(first_page))
    for number, page in enumerate(pages, 1):
        _draw_page(pen, running, page, number, about.open_mark)
        canvas.showPage()
        if progress is not None:
            progress(number, len(pages))
    canvas.save()


def new_canvas(sheet: Sheet, about: About, drawn: BinaryIO) -> Canvas:
    """Open a document that comes out the same for the same drawing."""
    from reportlab import rl_config
    from reportlab.pdfgen.canvas import Canvas

    load_faces()
    rl_config.useA85 = 0  # bytes as they are: a fifth smaller, and no time spent on turning them into letters
    canvas = Canvas(
        drawn,
        pagesize=(sheet.width, sheet.height),
        invariant=1,
        initialFontName=REGULAR,  # else a face that is not embedded is named on every page
        pageCompression=1,
        lang="en-US",
    )
    canvas.setViewerPreference("PrintScaling", "None")  # else viewers shrink labels and boxes to tick
    canvas.setViewerPreference("DisplayDocTitle", "true")
    canvas.setTitle(about.title)
    canvas.setSubject(about.subject)
    canvas.setAuthor("Annual Planner")
    canvas.setCreator(f"Annual Planner {program_version()}")
    return canvas


def _draw_page(pen: Pen, running: Running, page: Page, number: int, open_mark: str) -> None:
    sheet = pen.sheet
    draw_running(pen, running, page.title, number, pen.pages)
    for used, block in page.placed:
        block.draw(pen, sheet.side, sheet.frame_top - used)
    for level, text, used in page.marks:
        key = f"{number}:{text}"
        pen.canvas.bookmarkHorizontal(key, 0, sheet.frame_top - used + 10)
        pen.canvas.addOutlineEntry(text, key, level=level, closed=level == 0 and text != open_mark)
