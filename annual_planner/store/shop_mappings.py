"""The fleet's tables for the shop's hours, people and rooms, and for how work is laid out on them."""

from __future__ import annotations

from datetime import date, datetime
from decimal import Decimal
from typing import Any

from sqlalchemy import ForeignKey, Index
from sqlalchemy.orm import Mapped, mapped_column

from annual_planner.store.mappings import NEVER_USED_TWICE, Base
from annual_planner.store.work_mappings import CardRow, PackageRow


class OpenHoursRow(Base):
    """A stretch of a weekday when the shop is open, or a person works; minutes after midnight."""

    __tablename__ = "open_hours"
    id: Mapped[int] = mapped_column(primary_key=True)
    person_id: Mapped[int | None] = mapped_column(ForeignKey("person.id"), index=True)
    """Empty = the shop itself."""
    weekday: Mapped[int]
    """0 = Monday."""
    from_minute: Mapped[int]
    to_minute: Mapped[int]
    version: Mapped[int] = mapped_column()
    __mapper_args__ = {"version_id_col": version}


class DaysOffRow(Base):
    """Days when a person is away, or the shop is closed."""

    __tablename__ = "days_off"
    id: Mapped[int] = mapped_column(primary_key=True)
    person_id: Mapped[int | None] = mapped_column(ForeignKey("person.id"), index=True)
    first_on: Mapped[date]
    last_on: Mapped[date]
    why: Mapped[str] = mapped_column(default="")
    version: Mapped[int] = mapped_column()
    __mapper_args__ = {"version_id_col": version}


class ShopThingRow(Base):
    """A bay, or equipment that cards share, with how many there are; or how many people a zone holds."""

    __tablename__ = "shop_thing"
    id: Mapped[int] = mapped_column(primary_key=True)
    kind: Mapped[str]
    """'bay', 'equipment' or 'room'."""
    name: Mapped[str] = mapped_column(unique=True)
    count: Mapped[int] = mapped_column(default=1)
    version: Mapped[int] = mapped_column()
    __mapper_args__ = {"version_id_col": version}


class PublicHolidaysRow(Base):
    """The country, and the part of it, whose public holidays the shop keeps: one row (id 1) or none."""

    __tablename__ = "public_holidays"
    id: Mapped[int] = mapped_column(primary_key=True)
    country: Mapped[str]
    """ISO 3166-1 alpha-2; empty = the shop keeps no public holidays."""
    subdivision: Mapped[str] = mapped_column(default="")
    version: Mapped[int] = mapped_column()
    __mapper_args__ = {"version_id_col": version}


class PartArrivalRow(Base):
    """A part that a package waits for."""

    __tablename__ = "part_arrival"
    id: Mapped[int] = mapped_column(primary_key=True)
    package_id: Mapped[int] = mapped_column(ForeignKey(PackageRow.id), index=True)
    card_id: Mapped[int | None] = mapped_column(ForeignKey(CardRow.id))
    name: Mapped[str]
    arrives_on: Mapped[date | None]
    arrived_on: Mapped[date | None]
    version: Mapped[int] = mapped_column()
    __mapper_args__ = {"version_id_col": version}


class CardPinRow(Base):
    """A card that a person put on a time, or on a person, by hand."""

    __tablename__ = "card_pin"
    id: Mapped[int] = mapped_column(primary_key=True)
    card_id: Mapped[int] = mapped_column(ForeignKey(CardRow.id), unique=True)
    starts_at: Mapped[datetime | None]
    person_id: Mapped[int | None] = mapped_column(ForeignKey("person.id"))
    version: Mapped[int] = mapped_column()
    __mapper_args__ = {"version_id_col": version}


class LaidOutRow(Base):
    """How the cards of a package were laid out on people and days; the newest one stands."""

    __tablename__ = "laid_out"
    id: Mapped[int] = mapped_column(primary_key=True)
    package_id: Mapped[int] = mapped_column(ForeignKey(PackageRow.id), index=True)
    made_at: Mapped[datetime]
    made_by: Mapped[str]
    finish_at: Mapped[datetime | None]
    likely_on: Mapped[date | None]
    """The day by which it is finished in half of all cases."""
    promise_on: Mapped[date | None]
    """The day by which it is finished in eight of ten cases."""
    proven: Mapped[bool] = mapped_column(default=False)
    bars: Mapped[dict[str, Any]]
    """Every card's start, end and people, and what was told with them."""
    version: Mapped[int] = mapped_column()
    __mapper_args__ = {"version_id_col": version}


class PlannedVisitRow(Base):
    """An airplane's annual in one of the shop's weeks."""

    __tablename__ = "planned_visit"
    id: Mapped[int] = mapped_column(primary_key=True)
    aircraft_id: Mapped[int] = mapped_column(ForeignKey("aircraft.id"), index=True)
    week_on: Mapped[date]
    """Monday of the week it begins in."""
    bay: Mapped[str] = mapped_column(default="")
    weeks: Mapped[int] = mapped_column(default=1)
    hours: Mapped[Decimal | None]
    pinned: Mapped[bool] = mapped_column(default=False)
    note: Mapped[str] = mapped_column(default="")
    version: Mapped[int] = mapped_column()
    __mapper_args__ = {"version_id_col": version}
    __table_args__ = (Index("ix_planned_visit_week", "week_on"), NEVER_USED_TWICE)


class OwnerWishRow(Base):
    """Weeks an owner wishes for, or can't spare the airplane."""

    __tablename__ = "owner_wish"
    id: Mapped[int] = mapped_column(primary_key=True)
    aircraft_id: Mapped[int] = mapped_column(ForeignKey("aircraft.id"), index=True)
    first_on: Mapped[date]
    last_on: Mapped[date]
    blocked: Mapped[bool] = mapped_column(default=False)
    why: Mapped[str] = mapped_column(default="")
    version: Mapped[int] = mapped_column()
    __mapper_args__ = {"version_id_col": version}
