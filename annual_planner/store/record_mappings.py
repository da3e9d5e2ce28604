"""The fleet's tables for entries, signatures and filed papers."""

from __future__ import annotations

from datetime import date, datetime
from typing import Any

from sqlalchemy import ForeignKey, Index, LargeBinary
from sqlalchemy.orm import Mapped, mapped_column

from annual_planner.store.mappings import NEVER_USED_TWICE, Base
from annual_planner.store.work_mappings import CardRow, DiscrepancyRow, PackageRow


class PersonKeyRow(Base):
    """A person's own signing key; the private half is wrapped by their passphrase."""

    __tablename__ = "person_key"
    id: Mapped[int] = mapped_column(primary_key=True)
    person_id: Mapped[int] = mapped_column(ForeignKey("person.id"), index=True)
    public_key: Mapped[bytes] = mapped_column(LargeBinary)
    wrapped_key: Mapped[bytes] = mapped_column(LargeBinary)
    salt: Mapped[bytes] = mapped_column(LargeBinary)
    wrapping: Mapped[dict[str, Any]]
    """How the passphrase becomes the wrapping key: algorithm, time, memory, lanes, nonce."""
    made_at: Mapped[datetime]
    closed_at: Mapped[datetime | None]
    closed_why: Mapped[str] = mapped_column(default="")
    failed_tries: Mapped[int] = mapped_column(default=0)
    waits_until: Mapped[datetime | None]
    version: Mapped[int] = mapped_column()
    __mapper_args__ = {"version_id_col": version}


class LogEntryRow(Base):
    """The maintenance-record text for an airframe, an engine or a propeller."""

    __tablename__ = "log_entry"
    id: Mapped[int] = mapped_column(primary_key=True)
    aircraft_id: Mapped[int] = mapped_column(ForeignKey("aircraft.id"))
    assembly_id: Mapped[int | None] = mapped_column(ForeignKey("assembly.id"))
    package_id: Mapped[int | None] = mapped_column(ForeignKey(PackageRow.id), index=True)
    card_id: Mapped[int | None] = mapped_column(ForeignKey(CardRow.id))
    discrepancy_id: Mapped[int | None] = mapped_column(ForeignKey(DiscrepancyRow.id))
    kind: Mapped[str]
    """'maintenance', 'inspection', 'directive', 'preventive maintenance'."""
    work_on: Mapped[date]
    approved: Mapped[bool | None]
    text: Mapped[str]
    facts: Mapped[dict[str, Any]]
    """What the rule asks for, by name, from which the text was composed."""
    state: Mapped[str] = mapped_column(default="draft")
    """'draft', 'signed', 'superseded'."""
    corrects_id: Mapped[int | None] = mapped_column(ForeignKey("log_entry.id"))
    correction_why: Mapped[str] = mapped_column(default="")
    version: Mapped[int] = mapped_column()
    __mapper_args__ = {"version_id_col": version}
    __table_args__ = (Index("ix_log_entry_aircraft", "aircraft_id", "work_on"), NEVER_USED_TWICE)


class SignedRecordRow(Base):
    """Exact content that a person signed, with its seal, which takes in the one before. Never changed."""

    __tablename__ = "signed_record"
    id: Mapped[int] = mapped_column(primary_key=True)
    """Always the same as `link`."""
    link: Mapped[int] = mapped_column(unique=True)
    """1, 2, 3 … without a gap."""
    kind: Mapped[str]
    """'card', 'discrepancy', 'entry', 'package', 'key closed', 'hand-over' …"""
    subject_table: Mapped[str]
    subject_id: Mapped[int]
    aircraft_id: Mapped[int | None] = mapped_column(ForeignKey("aircraft.id"), index=True)
    package_id: Mapped[int | None] = mapped_column(ForeignKey(PackageRow.id), index=True)
    content: Mapped[bytes] = mapped_column(LargeBinary)
    """The canonical bytes that were shown, and signed."""
    digest: Mapped[str]
    """SHA-256 of the content, hexadecimal."""
    act: Mapped[bytes] = mapped_column(LargeBinary)
    """The canonical bytes under the signature: digest, link, seal before, moment with its zone, key."""
    signature: Mapped[bytes] = mapped_column(LargeBinary)
    key_id: Mapped[int] = mapped_column(ForeignKey("person_key.id"))
    person_id: Mapped[int] = mapped_column(ForeignKey("person.id"), index=True)
    meaning: Mapped[str]
    """'performed', 'inspected and airworthy', 'inspected, list given', 'supervised' …"""
    work_on: Mapped[date | None]
    signed_at: Mapped[datetime]
    previous_seal: Mapped[str]
    seal: Mapped[str] = mapped_column(unique=True)
    corrects_id: Mapped[int | None] = mapped_column(ForeignKey("signed_record.id"), index=True)
    __table_args__ = (Index("ix_signed_record_subject", "subject_table", "subject_id"), NEVER_USED_TWICE)


class FiledPaperRow(Base):
    """A paper as it was printed, kept byte for byte."""

    __tablename__ = "filed_paper"
    id: Mapped[int] = mapped_column(primary_key=True)
    aircraft_id: Mapped[int | None] = mapped_column(ForeignKey("aircraft.id"), index=True)
    package_id: Mapped[int | None] = mapped_column(ForeignKey(PackageRow.id), index=True)
    title: Mapped[str]
    made_at: Mapped[datetime]
    made_by: Mapped[str]
    pages: Mapped[int]
    sha256: Mapped[str]
    last_seal: Mapped[str] = mapped_column(default="")
    pdf: Mapped[bytes] = mapped_column(LargeBinary, deferred=True)
