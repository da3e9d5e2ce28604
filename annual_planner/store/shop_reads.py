"""Readers of the shop's hours, days off, bays and equipment, and of how work was laid out on them."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal
from typing import Any

from sqlalchemy import select

from annual_planner.store.session import Work
from annual_planner.store.shop_mappings import (
    CardPinRow,
    DaysOffRow,
    LaidOutRow,
    OpenHoursRow,
    OwnerWishRow,
    PartArrivalRow,
    PlannedVisitRow,
    PublicHolidaysRow,
    ShopThingRow,
)
from annual_planner.store.work_mappings import CardRow
from annual_planner.trade.shop_floor import HolidaysOf

ZONE = "zone "
"""Stands before a zone's key in the name of its room, so that equipment may be called the same."""


@dataclass(frozen=True, slots=True)
class OpenStretch:
    """A stretch of a weekday (0 = Monday), in minutes after midnight; `person_id` None for the shop."""

    person_id: int | None
    weekday: int
    from_minute: int
    to_minute: int


@dataclass(frozen=True, slots=True)
class DaysOff:
    """Days, both ends included, when a person is away or the shop (None) is closed."""

    days_off_id: int
    person_id: int | None
    first_on: date
    last_on: date
    why: str


@dataclass(frozen=True, slots=True)
class ShopThing:
    """A bay or a piece of shared equipment, and how many there are; or a zone and how many it holds."""

    thing_id: int
    kind: str
    name: str
    count: int
    version: int


@dataclass(frozen=True, slots=True)
class Shop:
    """Everything a plan of work is laid out on, apart from the people themselves."""

    open_hours: tuple[OpenStretch, ...]
    days_off: tuple[DaysOff, ...]
    things: tuple[ShopThing, ...]
    holidays_of: HolidaysOf
    """Whose public holidays it keeps: those of the United States where nobody chose."""

    @property
    def room_for(self) -> dict[str, int]:
        """How many people zones hold, by zone, where the shop has said so itself."""
        return {each.name.removeprefix(ZONE): each.count for each in self.things if each.kind == "room"}


@dataclass(frozen=True, slots=True)
class PartAwaited:
    """A part that a package, or one card of it, waits for."""

    part_id: int
    package_id: int
    card_id: int | None
    name: str
    arrives_on: date | None
    arrived_on: date | None
    version: int


@dataclass(frozen=True, slots=True)
class CardPin:
    """A card put on a time or a person by hand."""

    card_id: int
    starts_at: datetime | None
    person_id: int | None
    version: int


@dataclass(frozen=True, slots=True)
class LaidOutLine:
    """One laying out of a package's work."""

    package_id: int
    made_at: datetime
    made_by: str
    finish_at: datetime | None
    likely_on: date | None
    promise_on: date | None
    proven: bool
    bars: dict[str, Any]


@dataclass(frozen=True, slots=True)
class PlannedVisit:
    """An airplane's annual in one of the shop's weeks, which begin on a Monday."""

    visit_id: int
    aircraft_id: int
    week_on: date
    bay: str
    weeks: int
    hours: Decimal | None
    pinned: bool
    note: str
    version: int


@dataclass(frozen=True, slots=True)
class OwnerWish:
    """Days an owner wishes for, or (blocked) can't spare the airplane."""

    wish_id: int
    aircraft_id: int
    first_on: date
    last_on: date
    blocked: bool
    why: str
    version: int


def shop(work: Work) -> Shop:
    """The shop's hours, days off, bays and equipment, and whose public holidays it keeps."""
    hours = work.session.scalars(
        select(OpenHoursRow).order_by(OpenHoursRow.person_id, OpenHoursRow.weekday, OpenHoursRow.from_minute)
    )
    off = work.session.scalars(select(DaysOffRow).order_by(DaysOffRow.first_on, DaysOffRow.id))
    things = work.session.scalars(select(ShopThingRow).order_by(ShopThingRow.kind, ShopThingRow.name))
    return Shop(
        open_hours=tuple(OpenStretch(r.person_id, r.weekday, r.from_minute, r.to_minute) for r in hours),
        days_off=tuple(DaysOff(r.id, r.person_id, r.first_on, r.last_on, r.why) for r in off),
        things=tuple(ShopThing(r.id, r.kind, r.name, r.count, r.version) for r in things),
        holidays_of=_holidays_of(work),
    )


def _holidays_of(work: Work) -> HolidaysOf:
    row = work.session.scalar(select(PublicHolidaysRow))
    return HolidaysOf() if row is None else HolidaysOf(row.country, row.subdivision)


def parts_awaited(work: Work, package_id: int) -> tuple[PartAwaited, ...]:
    """The parts a package waits for, the latest last; those without a date at the end."""
    rows = work.session.scalars(select(PartArrivalRow).where(PartArrivalRow.package_id == package_id))
    lines = [
        PartAwaited(r.id, r.package_id, r.card_id, r.name, r.arrives_on, r.arrived_on, r.version)
        for r in rows
    ]
    return tuple(
        sorted(lines, key=lambda line: (line.arrives_on is None, line.arrives_on or date.min, line.name))
    )


def card_pins(work: Work, package_id: int) -> dict[int, CardPin]:
    """The pins of a package's cards, by card."""
    query = select(CardPinRow).join(CardRow, CardRow.id == CardPinRow.card_id)
    rows = work.session.scalars(query.where(CardRow.package_id == package_id))
    return {r.card_id: CardPin(r.card_id, r.starts_at, r.person_id, r.version) for r in rows}


def last_laid_out(work: Work, package_id: int) -> LaidOutLine | None:
    """How the package's work was last laid out; None when it never was."""
    query = select(LaidOutRow).where(LaidOutRow.package_id == package_id).order_by(LaidOutRow.id.desc())
    row = work.session.scalar(query.limit(1))
    if row is None:
        return None
    return LaidOutLine(
        package_id=row.package_id,
        made_at=row.made_at,
        made_by=row.made_by,
        finish_at=row.finish_at,
        likely_on=row.likely_on,
        promise_on=row.promise_on,
        proven=row.proven,
        bars=row.bars,
    )


def planned_visits(work: Work, first_on: date, last_on: date) -> tuple[PlannedVisit, ...]:
    """The visits that begin in these weeks, in order."""
    query = select(PlannedVisitRow).where(PlannedVisitRow.week_on.between(first_on, last_on))
    rows = work.session.scalars(query.order_by(PlannedVisitRow.week_on, PlannedVisitRow.id))
    return tuple(
        PlannedVisit(r.id, r.aircraft_id, r.week_on, r.bay, r.weeks, r.hours, r.pinned, r.note, r.version)
        for r in rows
    )


def owner_wishes(work: Work) -> tuple[OwnerWish, ...]:
    """What owners wish for and can't spare, by day."""
    rows = work.session.scalars(select(OwnerWishRow).order_by(OwnerWishRow.first_on, OwnerWishRow.id))
    return tuple(
        OwnerWish(r.id, r.aircraft_id, r.first_on, r.last_on, r.blocked, r.why, r.version) for r in rows
    )
