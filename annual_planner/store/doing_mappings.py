"""The fleet's tables for what is done on a card and for what became of a discrepancy."""

from __future__ import annotations

from datetime import date, datetime
from decimal import Decimal
from typing import Any

from sqlalchemy import ForeignKey, LargeBinary, UniqueConstraint
from sqlalchemy.orm import Mapped, mapped_column

from annual_planner.store.mappings import NEVER_USED_TWICE, Base
from annual_planner.store.work_mappings import CardRow, DiscrepancyRow


class WorkedTimeRow(Base):
    """A stretch of time one person worked on one card."""

    __tablename__ = "worked_time"
    id: Mapped[int] = mapped_column(primary_key=True)
    card_id: Mapped[int] = mapped_column(ForeignKey(CardRow.id), index=True)
    person_id: Mapped[int] = mapped_column(ForeignKey("person.id"), index=True)
    started_at: Mapped[datetime]
    stopped_at: Mapped[datetime | None]
    version: Mapped[int] = mapped_column()
    __mapper_args__ = {"version_id_col": version}


class CardResultRow(Base):
    """One measurement of a card as it was found."""

    __tablename__ = "card_result"
    id: Mapped[int] = mapped_column(primary_key=True)
    card_id: Mapped[int] = mapped_column(ForeignKey(CardRow.id))
    measurement: Mapped[str]
    """The measurement's title, as the card has it."""
    value: Mapped[float | None]
    text: Mapped[str] = mapped_column(default="")
    unit: Mapped[str] = mapped_column(default="")
    within: Mapped[bool | None]
    """Whether it is within the card's limits; empty where the card has none."""
    read_at: Mapped[datetime]
    person_id: Mapped[int | None] = mapped_column(ForeignKey("person.id"))
    version: Mapped[int] = mapped_column()
    __mapper_args__ = {"version_id_col": version}
    __table_args__ = (UniqueConstraint("card_id", "measurement"), NEVER_USED_TWICE)


class CardNoteRow(Base):
    """Words written on a card while it was worked."""

    __tablename__ = "card_note"
    id: Mapped[int] = mapped_column(primary_key=True)
    card_id: Mapped[int] = mapped_column(ForeignKey(CardRow.id), index=True)
    written_at: Mapped[datetime]
    person_id: Mapped[int | None] = mapped_column(ForeignKey("person.id"))
    text: Mapped[str]
    version: Mapped[int] = mapped_column()
    __mapper_args__ = {"version_id_col": version}


class PhotographRow(Base):
    """A photograph, decoded and written anew by the program before it was taken in."""

    __tablename__ = "photograph"
    id: Mapped[int] = mapped_column(primary_key=True)
    aircraft_id: Mapped[int] = mapped_column(ForeignKey("aircraft.id"), index=True)
    card_id: Mapped[int | None] = mapped_column(ForeignKey(CardRow.id), index=True)
    discrepancy_id: Mapped[int | None] = mapped_column(ForeignKey(DiscrepancyRow.id), index=True)
    taken_at: Mapped[datetime]
    caption: Mapped[str] = mapped_column(default="")
    width_px: Mapped[int]
    height_px: Mapped[int]
    sha256: Mapped[str]
    jpeg: Mapped[bytes] = mapped_column(LargeBinary, deferred=True)
    thumbnail: Mapped[bytes] = mapped_column(LargeBinary)
    version: Mapped[int] = mapped_column()
    __mapper_args__ = {"version_id_col": version}


class PartUsedRow(Base):
    """A part or consumable used on a card or for a discrepancy."""

    __tablename__ = "part_used"
    id: Mapped[int] = mapped_column(primary_key=True)
    card_id: Mapped[int | None] = mapped_column(ForeignKey(CardRow.id), index=True)
    discrepancy_id: Mapped[int | None] = mapped_column(ForeignKey(DiscrepancyRow.id), index=True)
    name: Mapped[str]
    quantity: Mapped[Decimal]
    unit: Mapped[str] = mapped_column(default="")
    serial: Mapped[str] = mapped_column(default="")
    cost: Mapped[Decimal | None]
    version: Mapped[int] = mapped_column()
    __mapper_args__ = {"version_id_col": version}


class DiscrepancyStepRow(Base):
    """One step in the life of a discrepancy: what became of it, when, and by whom. Never erased."""

    __tablename__ = "discrepancy_step"
    id: Mapped[int] = mapped_column(primary_key=True)
    discrepancy_id: Mapped[int] = mapped_column(ForeignKey(DiscrepancyRow.id), index=True)
    step: Mapped[str]
    """'found', 'judged', 'decided', 'in work', 'corrected', 'inspected', 'reopened', 'answered'."""
    on: Mapped[date]
    written_at: Mapped[datetime]
    person_id: Mapped[int | None] = mapped_column(ForeignKey("person.id"))
    said: Mapped[str] = mapped_column(default="")
    facts: Mapped[dict[str, Any]]
    """What was settled by this step: airworthy, disposition, deferred until, placard, working …"""


class KeptViewRow(Base):
    """A filter, grouping and order of a list that a person keeps under a name."""

    __tablename__ = "kept_view"
    id: Mapped[int] = mapped_column(primary_key=True)
    person: Mapped[str]
    place: Mapped[str]
    name: Mapped[str]
    settings: Mapped[dict[str, Any]]
    version: Mapped[int] = mapped_column()
    __mapper_args__ = {"version_id_col": version}
    __table_args__ = (UniqueConstraint("person", "place", "name"), NEVER_USED_TWICE)
