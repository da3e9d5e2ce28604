"""Frozen rows for readers of keys and of signed records. No mapped object leaves its session."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime

from annual_planner.trade.seals import Sealed


@dataclass(frozen=True, slots=True)
class KeyLine:
    """A person's key without its wrapped half."""

    key_id: int
    person_id: int
    person: str
    public_key: bytes
    made_at: datetime
    closed_at: datetime | None
    closed_why: str
    failed_tries: int
    waits_until: datetime | None


@dataclass(frozen=True, slots=True)
class WrappedKey:
    """What is needed to unlock a key with its passphrase."""

    key_id: int
    person_id: int
    public_key: bytes
    wrapped_key: bytes
    salt: bytes
    wrapping: Mapping[str, object]


@dataclass(frozen=True, slots=True)
class SignedLine:
    """One signed record in a list."""

    record_id: int
    """Its number in the chain, too."""
    kind: str
    subject_table: str
    subject_id: int
    aircraft_id: int | None
    registration: str
    package_id: int | None
    person_id: int
    person: str
    """The name as the person has it now; the name that was signed stands in the content."""
    meaning: str
    work_on: date | None
    signed_at: datetime
    seal: str
    corrects_id: int | None
    corrected_by_id: int | None
    """The signed record that took its place, if one did."""


@dataclass(frozen=True, slots=True)
class Link:
    """One signed record with all that its checking needs."""

    record_id: int
    content: bytes
    sealed: Sealed
    seal: str
    key_person_id: int
    person: str
    registration: str


@dataclass(frozen=True, slots=True)
class UnreadableLink:
    """A signed record that holds what can't be read, such as a day that is none."""

    record_id: int
    why: str


@dataclass(frozen=True, slots=True)
class LastLink:
    """The newest link of the chain; link 0 before the first."""

    link: int
    seal: str
    signed_at: datetime | None
