"""The sheets of one engine as a PDF: plug box, rotation, compression, history; same input, same bytes."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import BinaryIO

from annual_planner.paper.engine_sheets.compression_sheet import compression_sheet
from annual_planner.paper.engine_sheets.heads import Cautions, shipped_cautions
from annual_planner.paper.engine_sheets.history_sheet import history_sheet
from annual_planner.paper.engine_sheets.rotation_sheet import rotation_sheet
from annual_planner.paper.engine_sheets.tray_sheet import tray_sheet
from annual_planner.paper.flow import Section
from annual_planner.paper.look import sheet_of
from annual_planner.paper.running import Running
from annual_planner.paper.said import said_day
from annual_planner.paper.writing import About, write_document
from annual_planner.planning.engine_view import EngineView
from annual_planner.trade.refused import Refused

SHEETS = ("tray", "rotation", "compression", "history")
"""The sheets there are, in the order they are printed."""


def engine_pdf(
    view: EngineView,
    target: Path | BinaryIO,
    *,
    page_size: str = "letter",
    sheets: Sequence[str] = SHEETS,
) -> int:
    """Write sheets of one engine and give the number of pages.

    `page_size` is 'letter' or 'a4', `sheets` some of `SHEETS`, else Refused; Refused too when the path can't
    be written. A file already there stays as it is until the last page is drawn.
    """
    sheet = sheet_of(page_size)
    title = f"{view.registration} engine {view.position} {view.engine_type.title}"
    running = Running(view.registration, "", said_day(view.today), view.demo, view.engine_title)
    about = About(title, "Plugs and cylinders; advises, never approves")
    parts = engine_sections(view, sheet.frame_width, sheets=sheets)
    return write_document(sheet, parts, running, about, target)


def engine_sections(
    view: EngineView, width: float, *, sheets: Sequence[str] = SHEETS, cautions: Cautions | None = None
) -> tuple[Section, ...]:
    """Lay out sheets of one engine, in the usual order. Refused for a sheet that isn't there, or none."""
    unknown = [name for name in sheets if name not in SHEETS]
    if unknown or not sheets:
        raise Refused(
            f"There is no engine sheet '{unknown[0]}'." if unknown else "No engine sheet was asked for.",
            f"Choose among {', '.join(SHEETS)}.",
        )
    warned = {**shipped_cautions(), **(cautions or {})}
    made = {
        "tray": lambda: tray_sheet(view, width, warned),
        "rotation": lambda: rotation_sheet(view, width, warned),
        "compression": lambda: compression_sheet(view, width, warned),
        "history": lambda: history_sheet(view, width),
    }
    return tuple(made[name]() for name in SHEETS if name in sheets)
