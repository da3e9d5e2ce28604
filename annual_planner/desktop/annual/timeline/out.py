"""The plan as files: a calendar for each person, and the paper. No widget here."""

from __future__ import annotations

from datetime import date, datetime
from io import BytesIO
from pathlib import Path
from typing import TYPE_CHECKING, BinaryIO

from annual_planner.desktop.annual.timeline.seen import Plan, Seen
from annual_planner.planning.work_plan import work_places

if TYPE_CHECKING:
    from PySide6.QtPrintSupport import QPrinter

    from annual_planner.desktop.progress import Progress


def save_calendars(seen: Seen, plan: Plan, folder: Path, made_at: datetime) -> str:
    """Write a calendar file for each person; gives what is said of it."""
    from annual_planner.exchange.calendars import person_calendars

    title, stem = f"{seen.registration}, package {seen.number}", f"package-{seen.number}"
    calendars = person_calendars(work_places(plan.laid), seen.names, title, stem, made_at)
    for name, content in calendars.items():
        (folder / f"{seen.registration} {name}.ics").write_bytes(content)
    return f"{len(calendars)} calendar files are in {folder.name}."


def save_paper(seen: Seen, plan: Plan, path: Path, today: date, page_size: str) -> str:
    """Write the plan as a PDF; gives what is said of it. Refused when it can't be written there."""
    pages = draw_paper(seen, plan, path, today, page_size)
    return f"Saved as {path.name}: {pages} page{'' if pages == 1 else 's'}."


def print_paper(
    seen: Seen, plan: Plan, printer: QPrinter, today: date, page_size: str, progress: Progress
) -> str:
    """Print the plan; gives what is said of it. Refused without a printer, Cancelled when stopped."""
    from annual_planner.desktop.printer import printed

    def drawn() -> bytes:
        made = BytesIO()
        draw_paper(seen, plan, made, today, page_size)
        return made.getvalue()

    return printed(drawn, printer, progress)


def draw_paper(seen: Seen, plan: Plan, target: Path | BinaryIO, today: date, page_size: str) -> int:
    """Write the plan as a PDF; gives its number of pages."""
    from annual_planner.paper.work_plan import work_plan_pdf
    from annual_planner.planning.owner_days import owner_days

    owner, cards = seen.owner, seen.asked.cards.values() if seen.asked is not None else ()
    return work_plan_pdf(
        plan.bars,
        target,
        registration=seen.registration,
        number=seen.number,
        finish=plan.laid.said,
        today=today,
        page_size=page_size,
        demo=seen.demo,
        owner=owner.name if owner is not None else "",
        owner_days=owner_days(plan.laid, cards, owner, seen.library) if owner is not None else (),
    )
