"""The fleet's tables for signed records that came with an airplane from an earlier keeper.

They are no part of this fleet's own chain: they stay readable, and are checked with the keys that came along.
"""

from __future__ import annotations

from datetime import date, datetime

from sqlalchemy import ForeignKey, LargeBinary, UniqueConstraint
from sqlalchemy.orm import Mapped, mapped_column

from annual_planner.store.mappings import NEVER_USED_TWICE, Base
from annual_planner.store.work_mappings import PackageRow


class ReceivedChainRow(Base):
    """What one earlier keeper handed over: from whom, when, and where their chain stood. Never changed."""

    __tablename__ = "received_chain"
    id: Mapped[int] = mapped_column(primary_key=True)
    aircraft_id: Mapped[int] = mapped_column(ForeignKey("aircraft.id"), index=True)
    keeper: Mapped[str]
    """The name of the fleet that handed over, as it said itself."""
    handed_on: Mapped[date]
    last_link: Mapped[int]
    """How many links that fleet's chain had; only those of this airplane came along."""
    last_seal: Mapped[str]
    file_sha256: Mapped[str]
    """SHA-256 of the file that was taken in, hexadecimal."""
    taken_at: Mapped[datetime]
    taken_by: Mapped[str]


class ReceivedRecordRow(Base):
    """A signed record of an earlier keeper, with all that its seal takes in. Never changed."""

    __tablename__ = "received_record"
    id: Mapped[int] = mapped_column(primary_key=True)
    chain_id: Mapped[int] = mapped_column(ForeignKey("received_chain.id"))
    aircraft_id: Mapped[int] = mapped_column(ForeignKey("aircraft.id"), index=True)
    package_id: Mapped[int | None] = mapped_column(ForeignKey(PackageRow.id), index=True)
    row_id: Mapped[int | None]
    """The row of this fleet that it is about, in the table `subject_table`; empty where none came along."""
    link: Mapped[int]
    kind: Mapped[str]
    subject_table: Mapped[str]
    subject_id: Mapped[int]
    """This and the other numbers of `signed_*` are those of the fleet that signed: the seal takes them in."""
    signed_aircraft_id: Mapped[int | None]
    signed_package_id: Mapped[int | None]
    signed_key_id: Mapped[int]
    signed_person_id: Mapped[int]
    content: Mapped[bytes] = mapped_column(LargeBinary)
    digest: Mapped[str]
    act: Mapped[bytes] = mapped_column(LargeBinary)
    signature: Mapped[bytes] = mapped_column(LargeBinary)
    public_key: Mapped[bytes] = mapped_column(LargeBinary)
    person: Mapped[str]
    """The signer's name as it was signed."""
    meaning: Mapped[str]
    work_on: Mapped[date | None]
    signed_at: Mapped[datetime]
    previous_seal: Mapped[str]
    seal: Mapped[str]
    corrects_link: Mapped[int | None]
    __table_args__ = (UniqueConstraint("chain_id", "link"), NEVER_USED_TWICE)
