"""Readers of the records: entries of the fleet, and papers as they were filed."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any

from sqlalchemy import Select, case, func, select

from annual_planner.store.mappings import AircraftRow, AssemblyRow, InstallationRow
from annual_planner.store.record_mappings import FiledPaperRow, LogEntryRow
from annual_planner.store.searching import has_words, ids_of, in_order
from annual_planner.store.session import Work
from annual_planner.store.sorting import Then
from annual_planner.store.work_mappings import PackageRow
from annual_planner.trade.refused import Refused

MOST = 5000
"""Lines of a list; older ones are found by choosing an airplane."""


@dataclass(frozen=True, slots=True)
class EntryLine:
    """An entry in a list of the records."""

    entry_id: int
    aircraft_id: int
    registration: str
    book: str
    """'airframe', 'engine 1', 'propeller 2' …"""
    kind: str
    work_on: date
    approved: bool | None
    state: str
    text: str
    package: str
    corrects_id: int | None
    correction_why: str
    package_id: int | None


@dataclass(frozen=True, slots=True)
class PaperLine:
    """A filed paper in a list, without its pages."""

    paper_id: int
    aircraft_id: int | None
    registration: str
    package: str
    title: str
    made_at: datetime
    made_by: str
    pages: int
    sha256: str
    last_seal: str


_POSITION = (
    select(func.max(InstallationRow.position))
    .where(
        InstallationRow.assembly_id == LogEntryRow.assembly_id,
        InstallationRow.aircraft_id == LogEntryRow.aircraft_id,
    )
    .correlate(LogEntryRow)
    .scalar_subquery()
)
ENTRY_ORDERS: dict[str, tuple[Any, ...]] = {
    "work_on": (LogEntryRow.work_on,),
    "registration": (AircraftRow.registration,),
    "book": (func.coalesce(AssemblyRow.kind, "airframe"), _POSITION),
    "kind": (LogEntryRow.kind,),
    "result": (case((LogEntryRow.approved.is_(None), 0), (LogEntryRow.approved.is_(True), 1), else_=2),),
    "state": (LogEntryRow.state,),
    "package": (PackageRow.number,),
}
"""What a list of entries can be sorted by."""


def entry_ids(
    work: Work,
    *,
    aircraft_id: int | None = None,
    owner_id: int | None = None,
    search: str = "",
    state: str = "",
    order: str = "work_on",
    descending: bool = True,
    then: Then | None = None,
) -> list[int]:
    """Ids of entries, the newest work first: of the fleet, one airplane, or an owner's airplanes. One query.

    `search`: in airplane, book, kind, state, text and package. Refused for an order that there isn't.
    """
    query = _of_whom(_joined(select(LogEntryRow.id)), LogEntryRow.aircraft_id, aircraft_id, owner_id)
    if state:
        query = query.where(LogEntryRow.state == state)
    if search.strip():
        words = (AircraftRow.registration, AssemblyRow.kind, LogEntryRow.kind, LogEntryRow.state)
        query = query.where(has_words(search, (*words, LogEntryRow.text, PackageRow.number)))
    return ids_of(work, query.order_by(*in_order(ENTRY_ORDERS, order, descending, _NEWEST, then)))


_NEWEST = (LogEntryRow.work_on.desc(), LogEntryRow.id.desc())


def entries_of(
    work: Work, *, package_id: int | None = None, entry_ids: Sequence[int] = ()
) -> tuple[EntryLine, ...]:
    """Drafts and signed entries of a package, else the entries of these ids, oldest first. One query."""
    query = _entries().order_by(LogEntryRow.id)
    if package_id is None:
        query = query.where(LogEntryRow.id.in_(entry_ids))
    else:
        query = query.where(LogEntryRow.package_id == package_id, LogEntryRow.state.in_(("draft", "signed")))
    return _entry_lines(work, query)


def _entries() -> Select[Any]:
    return _joined(
        select(LogEntryRow, AircraftRow.registration, AssemblyRow.kind, _POSITION, PackageRow.number)
    )


def _joined(query: Select[Any]) -> Select[Any]:
    return (
        query.select_from(LogEntryRow)
        .join(AircraftRow, AircraftRow.id == LogEntryRow.aircraft_id)
        .outerjoin(AssemblyRow, AssemblyRow.id == LogEntryRow.assembly_id)
        .outerjoin(PackageRow, PackageRow.id == LogEntryRow.package_id)
    )


def _entry_lines(work: Work, query: Select[Any]) -> tuple[EntryLine, ...]:
    return tuple(
        EntryLine(
            entry_id=row.id,
            aircraft_id=row.aircraft_id,
            registration=registration,
            book=f"{kind} {place or 1}" if kind else "airframe",
            kind=row.kind,
            work_on=row.work_on,
            approved=row.approved,
            state=row.state,
            text=row.text,
            package=number or "",
            corrects_id=row.corrects_id,
            correction_why=row.correction_why,
            package_id=row.package_id,
        )
        for row, registration, kind, place, number in work.session.execute(query)
    )


def paper_lines(
    work: Work, *, aircraft_id: int | None = None, owner_id: int | None = None
) -> tuple[PaperLine, ...]:
    """Filed papers, the newest first; their pages stay in the fleet. One query."""
    query: Any = (  # the exact kind of so many columns says nothing
        select(
            FiledPaperRow.id,
            FiledPaperRow.aircraft_id,
            func.coalesce(AircraftRow.registration, ""),
            func.coalesce(PackageRow.number, ""),
            FiledPaperRow.title,
            FiledPaperRow.made_at,
            FiledPaperRow.made_by,
            FiledPaperRow.pages,
            FiledPaperRow.sha256,
            FiledPaperRow.last_seal,
        )
        .outerjoin(AircraftRow, AircraftRow.id == FiledPaperRow.aircraft_id)
        .outerjoin(PackageRow, PackageRow.id == FiledPaperRow.package_id)
        .order_by(FiledPaperRow.id.desc())
    )
    query = _of_whom(query, FiledPaperRow.aircraft_id, aircraft_id, owner_id)
    return tuple(PaperLine(*row) for row in work.session.execute(query.limit(MOST)))


def _of_whom(query: Select[Any], column: Any, aircraft_id: int | None, owner_id: int | None) -> Select[Any]:
    if aircraft_id is not None:
        query = query.where(column == aircraft_id)
    if owner_id is not None:
        query = query.where(AircraftRow.owner_id == owner_id)
    return query


def paper_pdf(work: Work, paper_id: int) -> bytes:
    """A filed paper byte for byte. Refused when it is gone."""
    pdf = work.session.scalar(select(FiledPaperRow.pdf).where(FiledPaperRow.id == paper_id))
    if pdf is None:
        raise Refused("That paper is no longer in the records.", "Look at the list again.")
    return bytes(pdf)
