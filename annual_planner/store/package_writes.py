"""Writing packages down with their items and cards, and taking them out and back."""

from __future__ import annotations

from dataclasses import dataclass, fields
from datetime import date
from decimal import Decimal
from typing import Any

from sqlalchemy import inspect, select
from sqlalchemy.exc import IntegrityError

from annual_planner.store.mappings import AircraftRow, Base
from annual_planner.store.packages import gone, held_row
from annual_planner.store.session import Work
from annual_planner.store.work_mappings import CardRow, PackageItemRow, PackageRow
from annual_planner.trade.package_states import PLANNING
from annual_planner.trade.refused import Refused


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


def add_package(work: Work, package: NewPackage) -> int:
    """Write a package down under the next number of its airplane and year; its id.

    Raises Gone without its airplane.
    """
    registration = work.session.scalar(
        select(AircraftRow.registration).where(AircraftRow.id == package.aircraft_id)
    )
    if registration is None:
        raise gone("airplane")
    row = PackageRow(
        aircraft_id=package.aircraft_id,
        number=_next_number(work, registration, package.start_on.year),
        title=package.title,
        start_on=package.start_on,
        horizon_on=package.horizon_on,
        hours_at_start=package.hours_at_start,
        state=PLANNING,
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
    package = held_row(work, PackageRow, package_id, "package")
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
