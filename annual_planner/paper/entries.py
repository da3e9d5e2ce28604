"""Entries on paper, one box each, with who signed it and the newest seal; lines for ink beside."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from pathlib import Path
from typing import BinaryIO

from annual_planner.library.label_sheets import PAPERS, load_label_sheets
from annual_planner.paper.entry_labels import labels_pdf
from annual_planner.paper.flow import Group, Section
from annual_planner.paper.look import sheet_of
from annual_planner.paper.printed_entry import UNSIGNED, PrintedEntry, printed_entries
from annual_planner.paper.running import Running
from annual_planner.paper.said import said_day
from annual_planner.paper.signing import open_blanks
from annual_planner.paper.text import gap, heading, paragraph, paragraphs, stacked, subheading
from annual_planner.paper.writing import About, write_document
from annual_planner.planning.entries_read import EntriesRead
from annual_planner.trade.refused import Refused

TITLE = "Entries"
INK = (("Signature, in ink", 1.8), ("kind and number of certificate", 1.4), ("date", 0.7))
KEPT = 2
"""Lines of an entry that stay with its signature."""
LIST = "List for the owner"
LIST_SAYS = (
    "Discrepancies and unairworthy items found in this inspection (14 CFR 43.11(b)). Until they are put "
    "right and approved by a person entitled to it, the airplane is not returned to service; it is flown "
    "only with a special flight permit."
)
HANDED = (("Given to the owner or operator on", 1.0), ("by", 1.8))
NO_CLAIM = (
    "No authority has accepted these electronic signatures, and the program claims no approval for them; "
    "signing in ink is always right."
)


def print_entries(read: EntriesRead, target: Path | BinaryIO, *, paper: str, first_label: int = 1) -> int:
    """Write entries on 'letter', 'a4' or the label sheet of that key; give the number of pages.

    Refused for a paper that isn't known, and where labels can't take them.
    """
    sheets = {} if paper in PAPERS else load_label_sheets()
    if paper in PAPERS:
        return entries_pdf(
            printed_entries(read), target, registration=read.registration, package=read.package,
            today=read.today, last_seal=read.last_seal, page_size=paper, demo=read.demo,
            owner_list=read.owner_list,
        )  # fmt: skip
    if paper not in sheets:
        raise Refused(
            f"There is no paper and no label sheet '{paper}'.",
            f"Choose one of {', '.join([*PAPERS, *sheets])}.",
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
    owner_list: Sequence[str] = (),
) -> int:
    """Write the entries and give the number of pages; `last_seal` is printed as the outside witness.

    `owner_list`: what is unairworthy; it follows on a sheet of its own, to be signed, dated and handed over.
    The same input gives the same bytes. Refused for another size than 'letter' or 'a4', or a path that can't
    be written.
    """
    sheet = sheet_of(page_size)
    parts = [_section(entries, sheet.frame_width, last_seal)]
    if owner_list:
        parts.append(_list_section(owner_list, registration, today, sheet.frame_width))
    running = Running(
        registration, package, said_day(today), demo, engine="" if package else TITLE, stands_as="records"
    )
    about = About(f"{TITLE}, {registration}", "Maintenance-record entries; advises, never approves")
    return write_document(sheet, parts, running, about, target)


def _list_section(owner_list: Sequence[str], registration: str, today: date, width: float) -> Section:
    """The list an owner is given when an inspection doesn't approve, to be signed and dated."""
    head = heading(LIST, width, note=f"{registration}, as they stand on {said_day(today)}")
    lines = [Group((gap(4), paragraph(line, width))) for line in owner_list]
    says = Group((gap(14), paragraph(LIST_SAYS, width)))
    signing = Group((gap(10), open_blanks(INK, width, owed=True), gap(10), open_blanks(HANDED, width)))
    return Section(LIST, (Group((head,)), *lines, says, signing), own_sheet=True)


def _section(entries: Sequence[PrintedEntry], width: float, last_seal: str) -> Section:
    many = "one entry" if len(entries) == 1 else f"{len(entries)} entries"
    groups = [Group((heading(TITLE, width, note=many), paragraph(NO_CLAIM, width)))]
    groups += [_entry(entry, width) for entry in entries]
    if last_seal:
        groups.append(Group((gap(10), paragraph(f"Newest seal of the fleet: {last_seal}", width))))
    return Section(TITLE, tuple(groups))


def _entry(entry: PrintedEntry, width: float) -> Group:
    """One entry; its last words and its signature stay on one sheet."""
    text = [part for line in entry.text.splitlines() if line.strip() for part in paragraphs(line, width)]
    signed = [paragraph(each, width) for each in entry.signed or (UNSIGNED,)]
    ink = open_blanks(INK, width, owed=not entry.signed)
    book = entry.book.capitalize()
    last = stacked(*text[-KEPT:], *signed, gap(4), ink)
    return Group(
        (stacked(gap(10), subheading(book, width), *text[:-KEPT][:1]), *text[1:-KEPT], last),
        continued=subheading(f"{book}, continued", width),
    )
