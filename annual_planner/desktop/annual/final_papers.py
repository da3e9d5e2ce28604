"""The papers of a closed package: the whole package, and its entries with who signed them."""

from __future__ import annotations

from datetime import date, datetime
from io import BytesIO
from typing import TYPE_CHECKING

from annual_planner.records.filing import FilePaper

if TYPE_CHECKING:
    from annual_planner.library.shelf import Library
    from annual_planner.store.session import Fleet


def final_papers(
    fleet: Fleet, package_id: int, library: Library, today: date, at: datetime
) -> tuple[FilePaper, ...]:
    """Draw both papers; nothing is filed yet. Takes a second or two: call it from a job."""
    from annual_planner.paper.entries import print_entries
    from annual_planner.paper.package import package_pdf
    from annual_planner.planning.entries_read import read_entries
    from annual_planner.planning.reading import read_package

    with fleet.reading() as work:
        view = read_package(work, package_id, library, today)
        read = read_entries(work, today, package_id=package_id)
    number, aircraft = view.package.number, view.aircraft
    package, records = BytesIO(), BytesIO()
    pages = package_pdf(view, package)
    entry_pages = print_entries(read, records, paper="letter")
    plane = aircraft.aircraft_id
    return (
        FilePaper(f"Package {number}", package.getvalue(), pages, at, plane, package_id),
        FilePaper(f"Entries of package {number}", records.getvalue(), entry_pages, at, plane, package_id),
    )
