"""Readers of work packages, their items and their cards, in a fixed number of queries."""

from __future__ import annotations

from dataclasses import dataclass, fields
from datetime import date
from decimal import Decimal
from difflib import get_close_matches
from typing import Any, TypeVar

from sqlalchemy import Select, func, select

from annual_planner.store.mappings import AircraftRow, Base, PersonRow
from annual_planner.store.refusals import Gone
from annual_planner.store.rows import CardLine, DiscrepancyLine, DueLine, ItemLine, PackageLine
from annual_planner.store.session import Work
from annual_planner.store.weighable import item_dues
from annual_planner.store.work_mappings import CardRow, DiscrepancyRow, PackageItemRow, PackageRow
from annual_planner.trade.package_states import CLOSED
from annual_planner.trade.refused import Refused

R = TypeVar("R", bound=Base)


@dataclass(frozen=True, slots=True)
class PackageDates:
    """What only the package's own row says: when it starts, how far it looks, the hours expected then."""

    package_id: int
    aircraft_id: int
    registration: str
    number: str
    title: str
    state: str
    start_on: date
    horizon_on: date
    hours_at_start: Decimal | None
    promised_on: date | None
    version: int


def package_line(work: Work, package_id: int) -> PackageLine:
    """Read one package with the number and hours of its included cards. Refused when there is none."""
    row = work.session.execute(_package_lines().where(PackageRow.id == package_id)).one_or_none()
    if row is None:
        raise gone("package")
    package, registration, cards, hours = row
    return PackageLine(
        package_id=package.id,
        number=package.number,
        aircraft_id=package.aircraft_id,
        registration=registration,
        title=package.title,
        start_on=package.start_on,
        state=package.state,
        cards=cards,
        hours_likely=hours if hours is not None else Decimal(0),
    )


def _package_lines() -> Select[*tuple[Any, ...]]:
    included = select(CardRow).where(CardRow.package_id == PackageRow.id, CardRow.included)
    counted = included.with_only_columns(func.count(CardRow.id)).scalar_subquery()
    hours = included.with_only_columns(func.sum(CardRow.hours_likely)).scalar_subquery()
    return select(PackageRow, AircraftRow.registration, counted, hours).join(
        AircraftRow, AircraftRow.id == PackageRow.aircraft_id
    )


def package_dates(work: Work, package_id: int, *, lock: bool = False) -> PackageDates:
    """Read one package's own row; `lock`: keep it from other writers until this work ends. Raises Gone."""
    query = select(PackageRow, AircraftRow.registration).join(
        AircraftRow, AircraftRow.id == PackageRow.aircraft_id
    )
    if lock:
        query = query.with_for_update(of=PackageRow).execution_options(populate_existing=True)
    row = work.session.execute(query.where(PackageRow.id == package_id)).one_or_none()
    if row is None:
        raise gone("package")
    package, registration = row
    return PackageDates(
        package_id=package.id,
        aircraft_id=package.aircraft_id,
        registration=registration,
        number=package.number,
        title=package.title,
        state=package.state,
        start_on=package.start_on,
        horizon_on=package.horizon_on,
        hours_at_start=package.hours_at_start,
        promised_on=package.promised_on,
        version=package.version,
    )


def find_package(work: Work, number: str) -> int:
    """Find a package by its number, in either case. Refused, with those that come near, where none has it."""
    numbers = work.session.execute(select(PackageRow.number, PackageRow.id))
    known: dict[str, int] = {row.number: row.id for row in numbers}
    wanted = number.strip().upper()
    found = next((each for each in known if each.upper() == wanted), None)
    if found is not None:
        return known[found]
    near = get_close_matches(wanted, known, n=3, cutoff=0.5) or sorted(known)[-3:]
    remedy = f"Packages: {', '.join(near)}." if near else "Plan one first."
    raise Refused(f"There is no package {number}.", remedy)


def package_numbered(work: Work, number: str) -> int | None:
    """The package with exactly this number, in either case; None when there is none."""
    return work.session.scalar(select(PackageRow.id).where(func.upper(PackageRow.number) == number.upper()))


def item_lines(work: Work, package_id: int) -> list[ItemLine]:
    """Read everything weighed for a package, what comes first first: two queries."""
    found = work.session.scalars(select(PackageItemRow).where(PackageItemRow.package_id == package_id)).all()
    dues = item_dues(work, tuple(row.requirement_id for row in found))
    rows = {row.requirement_id: row for row in found}
    return [_item_line(rows[need], dues[need].line) for need in dues]


def item_line(work: Work, item_id: int) -> ItemLine:
    """Read one weighed requirement. Refused when it is gone."""
    row = held_row(work, PackageItemRow, item_id, "requirement of the package")
    return _item_line(row, item_dues(work, (row.requirement_id,))[row.requirement_id].line)


def _item_line(row: PackageItemRow, due: DueLine) -> ItemLine:
    return ItemLine(
        item_id=row.id,
        package_id=row.package_id,
        due=due,
        proposed_now=row.proposed_now,
        do_now=row.do_now,
        reason=row.reason,
        given_up_hours=row.given_up_hours,
        given_up_days=row.given_up_days,
        version=row.version,
    )


def card_lines(work: Work, package_id: int) -> list[CardLine]:
    """Read every card of a package, left-out ones too, by number: one query."""
    query = _cards().where(CardRow.package_id == package_id).order_by(CardRow.number, CardRow.id)
    return [_card_line(row, name) for row, name in work.session.execute(query)]


def card_line(work: Work, card_id: int) -> CardLine:
    """Read one card. Refused when it is gone."""
    row = work.session.execute(_cards().where(CardRow.id == card_id)).one_or_none()
    if row is None:
        raise gone("card")
    return _card_line(row[0], row[1])


def _cards() -> Select[*tuple[Any, ...]]:
    return select(CardRow, PersonRow.name).outerjoin(PersonRow, PersonRow.id == CardRow.assigned_person_id)


def _card_line(row: CardRow, name: str | None) -> CardLine:
    same = {each.name: getattr(row, each.name) for each in fields(CardLine) if hasattr(row, each.name)}
    return CardLine(card_id=row.id, assigned_name=name or "", **same)


def discrepancies_of(work: Work, aircraft_id: int, on_cards: tuple[int, ...]) -> list[DiscrepancyLine]:
    """Read the airplane's open discrepancies and those (by id) that cards repair: one query."""
    query = (
        select(DiscrepancyRow)
        .where(DiscrepancyRow.aircraft_id == aircraft_id)
        .where(DiscrepancyRow.closed_on.is_(None) | DiscrepancyRow.id.in_(on_cards))
        .order_by(DiscrepancyRow.found_on, DiscrepancyRow.id)
    )
    return [_discrepancy_line(row) for row in work.session.scalars(query)]


def _discrepancy_line(row: DiscrepancyRow) -> DiscrepancyLine:
    same = {each.name: getattr(row, each.name) for each in fields(DiscrepancyLine) if hasattr(row, each.name)}
    return DiscrepancyLine(discrepancy_id=row.id, **same)


def newest_package(work: Work, aircraft_id: int) -> int | None:
    """Find the airplane's package that is not closed and starts last; None when it has none."""
    query = (
        select(PackageRow.id)
        .where(PackageRow.aircraft_id == aircraft_id, PackageRow.state != CLOSED)
        .order_by(PackageRow.start_on.desc(), PackageRow.id.desc())
        .limit(1)
    )
    return work.session.scalar(query)


def held_row(work: Work, mapped: type[R], row_id: int, word: str) -> R:
    """The row with this id; `word` says what it is. Raises Gone where somebody removed it."""
    row = work.session.get(mapped, row_id)
    if row is None:
        raise gone(word)
    return row


def gone(word: str) -> Gone:
    """What is told of a row that isn't there; `word` says what it was."""
    return Gone(f"That {word} is no longer there: somebody removed it.", "Look at the list again.")
