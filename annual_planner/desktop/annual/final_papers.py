"""The papers of a closed package: the whole package, and its entries with who signed them."""

from __future__ import annotations

from datetime import date, datetime
from io import BytesIO
from typing import TYPE_CHECKING

from annual_planner.records.filing import FilePaper
from annual_planner.records.standing import signatures_on
from annual_planner.store.closing_reads import closing_entries
from annual_planner.store.signed_reads import last_link
from annual_planner.trade.seals import seal_text

if TYPE_CHECKING:
    from annual_planner.library.shelf import Library
    from annual_planner.store.session import Fleet


def final_papers(
    fleet: Fleet, package_id: int, library: Library, today: date, at: datetime
) -> tuple[FilePaper, ...]:
    """Draw both papers; nothing is filed yet. Takes a second or two: call it from a job."""
    from annual_planner.paper.entries import PrintedEntry, entries_pdf
    from annual_planner.paper.package import package_pdf
    from annual_planner.planning.packages import read_package

    with fleet.reading() as work:
        view = read_package(work, package_id, library, today)
        entries = closing_entries(work, package_id)
        signed = signatures_on(work, "log_entry", [entry.entry_id for entry in entries])
        last = last_link(work)
    printed = [
        PrintedEntry(each.book, each.text, tuple(one.says for one in signed.get(each.entry_id, ())))
        for each in entries
    ]
    number, aircraft = view.package.number, view.aircraft
    package, records = BytesIO(), BytesIO()
    pages = package_pdf(view, package)
    entry_pages = entries_pdf(
        printed, records, registration=aircraft.registration, package=number, today=today,
        last_seal=seal_text(last.seal) if last.link else "", demo=view.demo,
    )  # fmt: skip
    plane = aircraft.aircraft_id
    return (
        FilePaper(f"Package {number}", package.getvalue(), pages, at, plane, package_id),
        FilePaper(f"Entries of package {number}", records.getvalue(), entry_pages, at, plane, package_id),
    )
