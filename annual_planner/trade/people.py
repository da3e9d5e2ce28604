"""The values that a question of authority is made of: people, certificates, airplanes, pieces of work."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from enum import StrEnum

from annual_planner.trade.cards import WorkKind


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
    """One certificate and when it is valid; several ratings may stand on one."""

    kind: CertificateKind
    number: str
    ratings: frozenset[str] = frozenset()
    """Mechanic: 'airframe', 'powerplant'. Pilot: 'student', 'sport', 'recreational', 'private', 'commercial',
    'airline transport'. Repairman: 'light-sport maintenance'. Repair station: 'airframe', 'powerplant',
    'propeller', 'instrument', 'radio', 'pitot-static', 'transponder'."""
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
    """Items of Part 43 Appendix A(c), such as 'A(c)(23)'; '43.3(k)' for a database update as told there."""
    inspection: str = ""
    """'annual', '100-hour', 'progressive' when the work is part of a required inspection."""
    complex: bool = False
    major: bool = False
