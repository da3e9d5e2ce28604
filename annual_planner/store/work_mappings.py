"""Tables of the work: packages, the requirements weighed for them, their cards, and discrepancies."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from typing import Any

from sqlalchemy import ForeignKey, Index
from sqlalchemy.orm import Mapped, mapped_column

from annual_planner.store.mappings import NEVER_USED_TWICE, Base
from annual_planner.trade.card_states import OPEN
from annual_planner.trade.package_states import PLANNING


class PackageRow(Base):
    """Everything planned for one visit."""

    __tablename__ = "work_package"
    id: Mapped[int] = mapped_column(primary_key=True)
    aircraft_id: Mapped[int] = mapped_column(ForeignKey("aircraft.id"), index=True)
    number: Mapped[str] = mapped_column(unique=True)
    title: Mapped[str]
    start_on: Mapped[date]
    horizon_on: Mapped[date]
    """Everything due up to this day was looked at: when the next annual would end."""
    state: Mapped[str] = mapped_column(default=PLANNING, index=True)
    """One of trade.package_states."""
    hours_at_start: Mapped[Decimal | None]
    promised_on: Mapped[date | None]
    """The day the owner was promised the airplane."""
    closed_on: Mapped[date | None]
    result: Mapped[str] = mapped_column(default="", server_default="")
    """'approved' or 'not approved' once it is closed."""
    version: Mapped[int] = mapped_column()
    __mapper_args__ = {"version_id_col": version}


class PackageItemRow(Base):
    """One requirement weighed for a visit: what was proposed, why, and what the person decided."""

    __tablename__ = "package_item"
    id: Mapped[int] = mapped_column(primary_key=True)
    package_id: Mapped[int] = mapped_column(ForeignKey("work_package.id"), index=True)
    requirement_id: Mapped[int] = mapped_column(ForeignKey("requirement.id"))
    proposed_now: Mapped[bool]
    do_now: Mapped[bool]
    reason: Mapped[str]
    given_up_hours: Mapped[Decimal | None]
    given_up_days: Mapped[int | None]
    version: Mapped[int] = mapped_column()
    __mapper_args__ = {"version_id_col": version}


class CardRow(Base):
    """One piece of work on a package. `content` is the card template as used (tools, parts, steps …)."""

    __tablename__ = "work_card"
    id: Mapped[int] = mapped_column(primary_key=True)
    package_id: Mapped[int] = mapped_column(ForeignKey("work_package.id"), index=True)
    number: Mapped[int]
    key: Mapped[str]
    title: Mapped[str]
    zone: Mapped[str]
    phase: Mapped[str]
    kind: Mapped[str]
    hours_low: Mapped[Decimal]
    hours_likely: Mapped[Decimal]
    hours_high: Mapped[Decimal]
    content: Mapped[dict[str, Any]]
    origin: Mapped[str]
    """'annual', 'due', 'discrepancy', 'own'."""
    included: Mapped[bool] = mapped_column(default=True)
    doer: Mapped[str]
    """'owner', 'helper', 'mechanic', 'inspector', 'repair station'."""
    signer: Mapped[str]
    entry: Mapped[str] = mapped_column(default="")
    assigned_person_id: Mapped[int | None] = mapped_column(ForeignKey("person.id"))
    requirement_id: Mapped[int | None] = mapped_column(ForeignKey("requirement.id"))
    discrepancy_id: Mapped[int | None] = mapped_column(ForeignKey("discrepancy.id"))
    note: Mapped[str] = mapped_column(default="")
    state: Mapped[str] = mapped_column(default=OPEN, server_default=OPEN)
    """One of trade.card_states."""
    state_why: Mapped[str] = mapped_column(default="", server_default="")
    """Why it is not applicable, carried over, or was begun before its predecessors."""
    done_by_id: Mapped[int | None] = mapped_column(ForeignKey("person.id"))
    done_on: Mapped[date | None]
    version: Mapped[int] = mapped_column()
    __mapper_args__ = {"version_id_col": version}


class DiscrepancyRow(Base):
    """A defect found on an airplane."""

    __tablename__ = "discrepancy"
    id: Mapped[int] = mapped_column(primary_key=True)
    aircraft_id: Mapped[int] = mapped_column(ForeignKey("aircraft.id"), index=True)
    found_on: Mapped[date]
    zone: Mapped[str]
    text: Mapped[str]
    airworthy: Mapped[bool | None]
    disposition: Mapped[str] = mapped_column(default="")
    """'correct now', 'defer', 'watch', 'owner declined', or empty while undecided."""
    closed_on: Mapped[date | None]
    hours_estimate: Mapped[Decimal | None]
    state: Mapped[str] = mapped_column(default="found", server_default="found")
    """'found', 'judged', 'decided', 'in work', 'corrected', 'signed': the last step of its life."""
    package_id: Mapped[int | None] = mapped_column(ForeignKey("work_package.id"), index=True)
    card_id: Mapped[int | None] = mapped_column(ForeignKey("work_card.id", use_alter=True), index=True)
    """The card on which it was found."""
    assembly_id: Mapped[int | None] = mapped_column(ForeignKey("assembly.id"))
    cylinder: Mapped[int | None]
    how_found: Mapped[str] = mapped_column(default="", server_default="")
    risk: Mapped[str] = mapped_column(default="", server_default="")
    """'stops the airplane', 'gets worse', 'nuisance', or empty while nobody said."""
    waits_for: Mapped[str] = mapped_column(default="", server_default="")
    """'owner', 'parts', 'outside shop', 'mechanic', or empty."""
    waits_since: Mapped[date | None]
    parts: Mapped[str] = mapped_column(default="", server_default="")
    cost_estimate: Mapped[Decimal | None]
    owner_answer: Mapped[str] = mapped_column(default="", server_default="")
    owner_answered_on: Mapped[date | None]
    owner_answered_how: Mapped[str] = mapped_column(default="", server_default="")
    deferred_until: Mapped[date | None]
    placard: Mapped[str] = mapped_column(default="", server_default="")
    version: Mapped[int] = mapped_column()
    __mapper_args__ = {"version_id_col": version}
    __table_args__ = (
        Index("ix_discrepancy_closed_found", "closed_on", "found_on", "id"),
        Index("ix_discrepancy_found_on", "found_on"),
        NEVER_USED_TWICE,
    )
