"""Who may do a piece of work, under whom, and who signs for it."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from enum import StrEnum

from annual_planner.trade.cards import WorkKind
from annual_planner.trade.working import Working


class CertificateKind(StrEnum):
    """Certificates and authorizations a person can hold."""

    MECHANIC = "mechanic"
    INSPECTION_AUTHORIZATION = "inspection authorization"
    REPAIRMAN = "repairman"
    PILOT = "pilot"
    REPAIR_STATION = "repair station"
    MANUFACTURER = "manufacturer"


@dataclass(frozen=True, slots=True)
class Certificate:
    """One certificate: number, ratings (mechanic: 'airframe', 'powerplant'; pilot: 'student', 'sport',
    'recreational', 'private', 'commercial', 'airline transport'; repair station: 'pitot-static',
    'transponder', 'airframe', 'powerplant', 'propeller', 'instrument'), and when it is valid."""

    kind: CertificateKind
    number: str
    ratings: frozenset[str] = frozenset()
    valid_from: date | None = None
    expires_on: date | None = None
    activity_met: bool = True
    """Inspection authorization: the first year's activity was met (65.93)."""
    base_moved_on: date | None = None
    base_notice_on: date | None = None
    months_worked_in_24: Decimal | None = None
    """Mechanic: months of work in the preceding 24; None when not recorded."""


@dataclass(frozen=True, slots=True)
class Person:
    """Someone who works on, owns or inspects airplanes."""

    name: str
    certificates: tuple[Certificate, ...] = ()


class Standing(StrEnum):
    """A person's relation to the airplane."""

    NONE = "none"
    OWNER = "owner"
    OPERATOR = "operator"


@dataclass(frozen=True, slots=True)
class Airplane:
    """What the rules ask about the airplane: airworthiness category and use."""

    category: str = "standard"
    """'standard', 'light-sport special', 'experimental', 'primary', …"""
    uses: frozenset[str] = frozenset()
    """'hire', 'instruction', 'ifr', 'part 135', …; empty = private, VFR."""


@dataclass(frozen=True, slots=True)
class WorkPiece:
    """A piece of work as the rules see it."""

    title: str
    kind: WorkKind
    subject: str = "airframe"
    """'airframe', 'engine', 'propeller', 'instrument', 'transponder', 'pitot-static', 'radio', 'records'."""
    preventive: tuple[str, ...] = ()
    """Items of Part 43 Appendix A(c), such as 'A(c)(23)'."""
    inspection: str = ""
    """'annual', '100-hour', 'progressive' when the work is part of a required inspection."""
    complex: bool = False
    major: bool = False


class MayDo(StrEnum):
    """May this person do the work?"""

    YES = "may do"
    SUPERVISED = "may do under supervision"
    NO = "may not"
    ASK = "needs a mechanic's judgement"


@dataclass(frozen=True, slots=True)
class Authority:
    """The answer for one person and one piece of work on one date."""

    may_do: MayDo
    may_sign: bool
    entry: str
    """Which entry is owed: '43.9', '43.11' or '' when none."""
    warnings: tuple[str, ...]
    working: Working
