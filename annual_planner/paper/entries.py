"""Entries on paper, one box each, with who signed it and the newest seal; lines for ink beside."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from io import BytesIO
from pathlib import Path
from typing import BinaryIO

from annual_planner.paper.faces import load_faces
from annual_planner.paper.flow import Flow, Group, Section
from annual_planner.paper.look import SHEETS, sheet_of
from annual_planner.paper.running import Running
from annual_planner.paper.said import said_day
from annual_planner.paper.target import write_whole
from annual_planner.paper.text import gap, heading, paragraph, subheading
from annual_planner.paper.writing import About, draw_pages
from annual_planner.planning.entries_read import EntriesRead
from annual_planner.trade.refused import Refused

TITLE = "Entries"
INK = "Signature, kind and number of certificate, in ink: " + "." * 60
UNSIGNED = "Not signed with a key; sign in ink."
NO_CLAIM = (
    "No authority has accepted these electronic signatures, and the program claims no approval for them; "
    "signing in ink is always right."
)


@dataclass(frozen=True, slots=True)
class PrintedEntry:
    """One entry as it is printed: its book, its text, and who signed it in words (none: not signed)."""

    book: str
    text: str
    signed: tuple[str, ...] = ()


def printed_entries(read: EntriesRead) -> tuple[PrintedEntry, ...]:
    """Entries as they were read, for printing."""
    return tuple(PrintedEntry(each.line.book, each.line.text, each.signed) for each in read.entries)


def print_entries(read: EntriesRead, target: Path | BinaryIO, *, paper: str, first_label: int = 1) -> int:
    """Write entries on 'letter', 'a4' or the label sheet of that key; give the number of pages.

    Refused for a paper that isn't known, and where labels can't take them.
    """
    from annual_planner.library.label_sheets import load_label_sheets
    from annual_planner.paper.entry_labels import labels_pdf

    sheets = {} if paper in SHEETS else load_label_sheets()
    if paper in SHEETS:
        return entries_pdf(
            printed_entries(read), target, registration=read.registration, package=read.package,
            today=read.today, last_seal=read.last_seal, page_size=paper, demo=read.demo,
        )  # fmt: skip
    if paper not in sheets:
        raise Refused(
            f"There is no paper and no label sheet '{paper}'.",
            f"Choose one of {', '.join([*SHEETS, *sheets])}.",
        )
    return labels_pdf(
        printed_entries(read), target, sheets[paper], registration=read.registration,
        last_seal=read.last_seal, first_label=first_label, demo=read.demo,
    )  # fmt: skip


def entries_pdf(
    entries: Sequence[PrintedEntry],
    target: Path | BinaryIO,
    *,
    registration: str,
    package: str,
    today: date,
    last_seal: str,
    page_size: str = "letter",
    demo: bool = False,
) -> int:
    """Write the entries and give the number of pages; `last_seal` is printed as the outside witness.

    The same input gives the same bytes. Refused for another size than 'letter' or 'a4', or a path that can't
    be written.
    """
    sheet = sheet_of(page_size)
    load_faces()
    flow = Flow(sheet.frame_height)
    flow.add(_section(entries, sheet.frame_width, last_seal))
    pages = flow.finish()
    drawn = BytesIO()
    running = Running(registration, package, said_day(today), demo, TITLE)
    about = About(f"{TITLE}, {registration}", "Maintenance-record entries; advises, never approves")
    draw_pages(sheet, pages, flow.first_page, running, about, drawn)
    if isinstance(target, Path):
        write_whole(target, drawn.getvalue())
    else:
        target.write(drawn.getvalue())
    return len(pages)


def _section(entries: Sequence[PrintedEntry], width: float, last_seal: str) -> Section:
    groups = [Group((heading(TITLE, width, note=f"{len(entries)} entries"), paragraph(NO_CLAIM, width)))]
    for entry in entries:
        text = [paragraph(line, width) for line in entry.text.splitlines() if line.strip()]
        signed = [paragraph(each, width) for each in entry.signed or (UNSIGNED,)]
        book = subheading(entry.book.capitalize(), width)
        groups.append(Group((gap(10), book, *text, *signed, paragraph(INK, width))))
    if last_seal:
        groups.append(Group((gap(10), paragraph(f"Newest seal of the fleet: {last_seal}", width))))
    return Section(TITLE, tuple(groups))
