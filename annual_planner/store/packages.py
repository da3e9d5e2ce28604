"""Work packages with their items and cards: rows in and out, in a fixed number of queries."""

from __future__ import annotations

from dataclasses import dataclass, fields
from datetime import date
from decimal import Decimal
from difflib import get_close_matches
from typing import Any, TypeVar

from sqlalchemy import Select, func, inspect, select
from sqlalchemy.exc import IntegrityError

from annual_planner.store.mappings import AircraftRow, Base, PersonRow
from annual_planner.store.rows import CardLine, DiscrepancyLine, DueLine, ItemLine, PackageLine
from annual_planner.store.session import Work
from annual_planner.store.weighable import item_dues
from annual_planner.store.work_mappings import CardRow, DiscrepancyRow, PackageItemRow, PackageRow
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


@dataclass(frozen=True, slots=True)
class StoredPackage:
    """A package that was taken away: the columns of its own row, of its items and of its cards."""

    package: dict[str, Any]
    items: tuple[dict[str, Any], ...]
    cards: tuple[dict[str, Any], ...]


@dataclass(frozen=True, slots=True)
class NewPackage:
    """A package to be written down."""

    aircraft_id: int
    title: str
    start_on: date
    horizon_on: date
    hours_at_start: Decimal | None


@dataclass(frozen=True, slots=True)
class NewItem:
    """A weighed requirement to be written down."""

    requirement_id: int
    proposed_now: bool
    do_now: bool
    reason: str
    given_up_hours: Decimal | None
    given_up_days: int | None


@dataclass(frozen=True, slots=True)
class NewCard:
    """A card to be written down; the fields are those of the row."""

    number: int
    key: str
    title: str
    zone: str
    phase: str
    kind: str
    hours_low: Decimal
    hours_likely: Decimal
    hours_high: Decimal
    content: dict[str, Any]
    origin: str
    included: bool
    doer: str
    signer: str
    entry: str
    assigned_person_id: int | None = None
    requirement_id: int | None = None
    discrepancy_id: int | None = None
    note: str = ""


def package_line(work: Work, package_id: int) -> PackageLine:
    """Read one package with the number and hours of its included cards. Refused when there is none."""
    row = work.session.execute(_package_lines().where(PackageRow.id == package_id)).one_or_none()
    if row is None:
        raise _gone("package")
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


def package_dates(work: Work, package_id: int) -> PackageDates:
    """Read one package's own row. Refused when there is none."""
    query = select(PackageRow, AircraftRow.registration).join(
        AircraftRow, AircraftRow.id == PackageRow.aircraft_id
    )
    row = work.session.execute(query.where(PackageRow.id == package_id)).one_or_none()
    if row is None:
        raise _gone("package")
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
    row = _row(work, PackageItemRow, item_id, "requirement of the package")
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
        raise _gone("card")
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
        .where(PackageRow.aircraft_id == aircraft_id, PackageRow.state != "closed")
        .order_by(PackageRow.start_on.desc(), PackageRow.id.desc())
        .limit(1)
    )
    return work.session.scalar(query)


def add_package(work: Work, package: NewPackage) -> int:
    """Write a package down under the next number of its airplane and year; its id."""
    registration = work.session.scalar(
        select(AircraftRow.registration).where(AircraftRow.id == package.aircraft_id)
    )
    if registration is None:
        raise _gone("airplane")
    row = PackageRow(
        aircraft_id=package.aircraft_id,
        number=_next_number(work, registration, package.start_on.year),
        title=package.title,
        start_on=package.start_on,
        horizon_on=package.horizon_on,
        hours_at_start=package.hours_at_start,
        state="planning",
    )
    work.session.add(row)
    work.session.flush()
    return row.id


def _next_number(work: Work, registration: str, year: int) -> str:
    begins = f"{registration}-{year}-"
    used = work.session.scalars(select(PackageRow.number).where(PackageRow.number.startswith(begins))).all()
    counts = [int(number.removeprefix(begins)) for number in used if number.removeprefix(begins).isdecimal()]
    return f"{begins}{max(counts, default=0) + 1}"


def add_items(work: Work, package_id: int, items: list[NewItem]) -> list[int]:
    """Write weighed requirements down; their ids in the same order."""
    return _add(work, [PackageItemRow(package_id=package_id, **_values(item)) for item in items])


def add_cards(work: Work, package_id: int, cards: list[NewCard]) -> list[int]:
    """Write cards down; their ids in the same order."""
    return _add(work, [CardRow(package_id=package_id, **_values(card)) for card in cards])


def _add(work: Work, rows: list[Any]) -> list[int]:
    work.session.add_all(rows)
    work.session.flush()
    return [row.id for row in rows]


def _values(new: NewItem | NewCard) -> dict[str, Any]:
    return {each.name: getattr(new, each.name) for each in fields(new)}


def include_cards(work: Work, states: dict[int, bool]) -> None:
    """Take cards into the package or leave them out, by their ids: one query to read them."""
    for row in work.session.scalars(select(CardRow).where(CardRow.id.in_(states))):
        row.included = states[row.id]
    work.session.flush()


def take_out_package(work: Work, package_id: int) -> StoredPackage:
    """Take a package away with its items and cards; what it was, for putting it back."""
    package = _row(work, PackageRow, package_id, "package")
    items = work.session.scalars(select(PackageItemRow).where(PackageItemRow.package_id == package_id)).all()
    cards = work.session.scalars(select(CardRow).where(CardRow.package_id == package_id)).all()
    stored = StoredPackage(
        _kept(package), tuple(_kept(item) for item in items), tuple(_kept(card) for card in cards)
    )
    for row in (*cards, *items):
        work.session.delete(row)
    work.session.flush()
    work.session.delete(package)
    work.session.flush()
    return stored


def _kept(row: Base) -> dict[str, Any]:
    names = (column.key for column in inspect(type(row)).column_attrs)
    return {name: getattr(row, name) for name in names if name != "version"}


def put_back_package(work: Work, stored: StoredPackage) -> None:
    """Write a package's rows again under their old ids. Refused when something they name is gone."""
    try:
        work.session.add(PackageRow(**stored.package))
        work.session.flush()
        work.session.add_all([PackageItemRow(**item) for item in stored.items])
        work.session.add_all([CardRow(**card) for card in stored.cards])
        work.session.flush()
    except IntegrityError as fault:
        raise Refused(
            "The package can't come back: something it names is gone, or its number is taken.",
            "Plan a new package.",
        ) from fault


def _row(work: Work, mapped: type[R], row_id: int, word: str) -> R:
    row = work.session.get(mapped, row_id)
    if row is None:
        raise _gone(word)
    return row


def _gone(word: str) -> Refused:
    return Refused(
        said=f"That {word} is no longer there.", remedy="Open the page again to see what is there now."
    )
