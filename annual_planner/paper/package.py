"""The paper package of one visit as a PDF: cover to signatures, the same bytes for the same package."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import BinaryIO

from annual_planner.paper.cards import TITLE as CARDS
from annual_planner.paper.cards import work_cards
from annual_planner.paper.cover import cover
from annual_planner.paper.coverage import coverage
from annual_planner.paper.decided import decided
from annual_planner.paper.engine import engine_sections
from annual_planner.paper.flow import Section
from annual_planner.paper.found_sheets import found_sheets
from annual_planner.paper.look import Sheet, sheet_of
from annual_planner.paper.next_due import next_due
from annual_planner.paper.owner_list import TITLE as OWNER_LIST
from annual_planner.paper.owner_list import owner_list
from annual_planner.paper.running import Running
from annual_planner.paper.said import said_day
from annual_planner.paper.summary import summary
from annual_planner.paper.supplies import supplies
from annual_planner.paper.writing import About, Progress, write_document
from annual_planner.planning.package_view import PackageView

ADVISES = "advises, never approves"


def package_pdf(
    view: PackageView,
    target: Path | BinaryIO,
    *,
    page_size: str = "letter",
    progress: Progress | None = None,
    engine_sheets: bool = True,
) -> int:
    """Write the whole paper package and give its number of pages.

    `page_size` is 'letter' or 'a4', else Refused. `engine_sheets`: with the sheets for plugs and cylinders of
    engines whose type is known. Refused too when the path can't be written. A file already there stays as it
    is until the last page is drawn, and is then replaced at once.
    """
    sheet = sheet_of(page_size)
    running = Running(view.aircraft.registration, view.package.number, said_day(view.today), view.demo)
    parts = sections(view, sheet, engine_sheets=engine_sheets)
    return write_document(sheet, parts, running, _about(view), target, progress=progress)


def owner_list_pdf(
    view: PackageView,
    target: Path | BinaryIO,
    *,
    page_size: str = "letter",
    progress: Progress | None = None,
) -> int:
    """Write the owner's preparation list alone and give its number of pages. Refused as `package_pdf` is."""
    sheet = sheet_of(page_size)
    running = Running(view.aircraft.registration, view.package.number, said_day(view.today), view.demo)
    about = About(f"{OWNER_LIST}: {view.aircraft.registration} ({view.package.number})", ADVISES)
    return write_document(
        sheet, [owner_list(view, sheet.frame_width)], running, about, target, progress=progress
    )


def sections(view: PackageView, sheet: Sheet, *, engine_sheets: bool = True) -> tuple[Section, ...]:
    """Lay out every part of the paper in its order."""
    width = sheet.frame_width
    parts = (
        summary(view, width),
        decided(view, width),
        supplies(view, width),
        owner_list(view, width),
        work_cards(view, width),
        *(_engine_sheets(view, width) if engine_sheets else ()),
        found_sheets(view, width, sheet.frame_height),
        coverage(view, width),
        next_due(view, width),
    )
    return (cover(view, width, [part.title for part in parts]), *parts)


def _engine_sheets(view: PackageView, width: float) -> Iterator[Section]:
    cautions = {caution.key: caution for caution in view.cautions}
    for engine in view.engines:
        yield from engine_sections(engine, width, cautions=cautions)


def _about(view: PackageView) -> About:
    title = f"{view.aircraft.registration} {view.package.title} ({view.package.number})"
    return About(title, f"Work package; {ADVISES}", open_mark=CARDS)
