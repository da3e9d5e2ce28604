"""What the commands share in doing their work: the fleet, the library, the day to count from, the papers."""

from __future__ import annotations

import sys
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

from annual_planner.commands.options import COMMAND_LINE, counted
from annual_planner.trade.refused import Refused

if TYPE_CHECKING:
    import argparse

    from annual_planner.library.shelf import Library
    from annual_planner.planning.package_view import PackageView
    from annual_planner.store.session import Fleet, Work


def opened(where: str, *, read_only: bool = False) -> Fleet:
    """Open a fleet by its file or address."""
    from annual_planner.store.opening import open_fleet

    return open_fleet(where, read_only=read_only)


def shop_library(shop_folder: Path | None = None) -> Library:
    """Load the library, with the shop's own folder where there is one."""
    from annual_planner.library.shelf import load_library

    return load_library(shop_folder)


def counted_from(fleet: Fleet, asked: date | None) -> date:
    """The day to count from: what was asked for, else the fleet's own fixed day (the demo), else today."""
    if asked:
        return asked
    with fleet.reading() as work:
        return fleet_today(work)


def fleet_today(work: Work) -> date:
    """The fleet's fixed today where it has one, as the demo does; else the calendar's."""
    from annual_planner.store.fleet_reads import fleet_fact

    fixed = fleet_fact(work, "today")
    return date.fromisoformat(fixed) if fixed else date.today()  # noqa: DTZ011 - the local day is meant


def planned(
    fleet: Fleet,
    registration: str,
    start: date,
    today: date,
    shop_folder: Path | None = None,
    *,
    say: bool = False,
) -> PackageView:
    """The airplane's package for this start: the open one with that start if there is one, else a new one.

    `say`: tell beside the answer that a new one was written, and which others of the airplane are open.
    """
    from annual_planner.planning.packages import BuildPackage
    from annual_planner.planning.reading import read_package
    from annual_planner.records.apply import apply
    from annual_planner.store.fleet_reads import find_aircraft, packages

    library = shop_library(shop_folder)
    with fleet.reading() as work:
        aircraft_id = find_aircraft(work, registration)
        open_ones = packages(work, aircraft_id=aircraft_id)
    package_id = next((line.package_id for line in open_ones if line.start_on == start), None)
    made = package_id is None
    if package_id is None:
        edit = BuildPackage(aircraft_id, start, "Annual inspection", library)
        package_id = apply(fleet, edit, COMMAND_LINE, today).made_id
        assert package_id is not None, "BuildPackage gives the id of the package it made"
    with fleet.reading() as work:
        view = read_package(work, package_id, library, today)
    if made and say:
        others = ", ".join(f"{line.number} from {line.start_on}" for line in open_ones)
        tell(f"new in the fleet: {view.package.number}" + (f"; open already: {others}" if others else ""))
    return view


def check_paper(asked: argparse.Namespace, **only_on_paper: object) -> None:
    """Refuse a place for the PDF before anything is done, and words about paper where none is asked for."""
    if asked.pdf:
        check_pdf(asked.pdf)
        asked.paper = asked.paper or "letter"
        return
    for name, given in {"paper": asked.paper, **only_on_paper}.items():
        if given:
            option = f"--{name.replace('_', '-')}"
            raise Refused(f"{option} goes with --pdf.", f"Add --pdf OUT.pdf, or leave {option} away.")


def check_pdf(pdf: Path, *, other_than: Path | None = None) -> None:
    """Refuse a place for the PDF before anything is written elsewhere."""
    from annual_planner.paper.target import check_target

    check_target(pdf)
    if other_than is not None and pdf.resolve() == other_than.resolve():
        raise Refused(f"{pdf} can't be fleet file and PDF at once.", "Give them two names.")


def write_pdf(view: PackageView, pdf: Path, page_size: str, *, engine_sheets: bool = True) -> int:
    """Write a package on paper; gives how many pages it has."""
    from annual_planner.paper.package import package_pdf

    return package_pdf(view, pdf, page_size=page_size, engine_sheets=engine_sheets)


def paper_said(what: str, pdf: Path, pages: int) -> str:
    """Where a paper is, and how long."""
    return f"{what}: {pdf} ({counted(pages, 'page')})"


def tell(line: str) -> None:
    """Say what was written beside the answer, where it doesn't get into the answer."""
    print(line, file=sys.stderr)


def give(content: bytes, out: Path | None, what: str) -> None:
    """Write it to a new file, or show it; what is there is not written over: it may be a fleet."""
    if out is None:
        print(content.decode(), end="")
        return
    _write_new(content, out)
    tell(f"{what}: {out}")


def _write_new(content: bytes, out: Path) -> None:
    """Whole or not at all."""
    try:
        file = out.open("xb")
    except FileExistsError:
        raise Refused(f"{out} is there already; it is not written over.", "Choose another name.") from None
    except OSError as fault:
        remedy = "Make the folder first, or choose another place."
        raise Refused(f"{out} can't be written: {fault.strerror}.", remedy) from fault
    try:
        with file:
            file.write(content)
    except OSError as fault:
        out.unlink(missing_ok=True)
        remedy = "Make room there, or choose another place."
        raise Refused(f"{out} can't be written: {fault.strerror}.", remedy) from fault
