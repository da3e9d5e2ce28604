"""Frozen rows for readers: what lists and pages show. No mapped object leaves its session."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from annual_planner.store.fleet_line import FleetLine as FleetLine
from annual_planner.trade.card_states import OPEN

PAST_ADVICE = "Past a recommendation, which by itself is not unlawful."
"""Begins the note of a requirement that is only advised, once it is past."""


@dataclass(frozen=True, slots=True)
class DueLine:
    """One requirement of one airplane with its kept due state."""

    requirement_id: int
    aircraft_id: int
    registration: str
    title: str
    key: str
    citation: str
    source: str
    force: str
    interval: str
    counts_on: str
    """'airframe', 'engine 1', 'propeller 1' …"""
    last_on: date | None
    last_hours: Decimal | None
    due_on: date | None
    due_hours: Decimal | None
    hours_left: Decimal | None
    state: str
    first_limit: str
    forecast_on: date | None
    early_on: date | None
    late_on: date | None
    comes_first_on: date | None
    note: str

    @property
    def standing(self) -> str:
        """Its state in a word; what is past a recommendation says so, though it holds no airplane up."""
        return "past advice" if self.note.startswith(PAST_ADVICE) else self.state


@dataclass(frozen=True, slots=True)
class AssemblyLine:
    """A fitted or once fitted assembly, with its hours now."""

    assembly_id: int
    kind: str
    position: int
    maker: str
    model: str
    serial: str
    fitted_on: date
    removed_on: date | None
    hours_now: Decimal | None
    hours_since_overhaul: Decimal | None
    type_key: str = ""
    """Key of an engine type of the library; empty for what has none."""
    why_removed: str = ""
    """As it was given; empty while it is fitted, and where none was given."""


@dataclass(frozen=True, slots=True)
class ReadingLine:
    """One meter reading."""

    reading_id: int
    meter_id: int
    meter: str
    read_on: date
    meter_hours: Decimal
    hours: Decimal
    landings: int | None
    note: str
    version: int


@dataclass(frozen=True, slots=True)
class ComplianceLine:
    """One doing of a requirement."""

    compliance_id: int
    requirement_id: int
    title: str
    done_on: date
    done_hours: Decimal | None
    method: str
    entry: str
    done_by: str
    version: int


@dataclass(frozen=True, slots=True)
class DiscrepancyLine:
    """One defect."""

    discrepancy_id: int
    aircraft_id: int
    found_on: date
    zone: str
    text: str
    airworthy: bool | None
    disposition: str
    closed_on: date | None
    hours_estimate: Decimal | None


@dataclass(frozen=True, slots=True)
class AircraftSheet:
    """One airplane's particulars."""

    aircraft_id: int
    registration: str
    maker: str
    model: str
    serial: str
    year_built: int | None
    category: str
    uses: tuple[str, ...]
    features: tuple[str, ...]
    counts: dict[str, int]
    owner_id: int | None
    owner: str
    base: str
    stated_hours_per_month: Decimal | None
    hours_now: Decimal | None
    landings_now: int | None
    read_on: date | None
    hours_per_month: Decimal | None
    state: str
    notes: str
    version: int


@dataclass(frozen=True, slots=True)
class PackageLine:
    """One work package in a list."""

    package_id: int
    number: str
    aircraft_id: int
    registration: str
    title: str
    start_on: date
    state: str
    cards: int
    hours_likely: Decimal


@dataclass(frozen=True, slots=True)
class ItemLine:
    """One requirement weighed for a visit."""

    item_id: int
    package_id: int
    due: DueLine
    proposed_now: bool
    do_now: bool
    reason: str
    given_up_hours: Decimal | None
    given_up_days: int | None
    version: int


@dataclass(frozen=True, slots=True)
class CardLine:
    """One work card of a package. `content` holds the template as used, see planning.card_content."""

    card_id: int
    package_id: int
    number: int
    key: str
    title: str
    zone: str
    phase: str
    kind: str
    hours_low: Decimal
    hours_likely: Decimal
    hours_high: Decimal
    content: dict[str, object]
    origin: str
    included: bool
    doer: str
    signer: str
    entry: str
    assigned_person_id: int | None
    assigned_name: str
    requirement_id: int | None
    discrepancy_id: int | None
    note: str
    version: int
    state: str = OPEN
    """One of trade.card_states."""
    state_why: str = ""
    done_by_id: int | None = None
    done_on: date | None = None


@dataclass(frozen=True, slots=True)
class PersonLine:
    """A person with a short text of what they hold."""

    person_id: int
    name: str
    roles: tuple[str, ...]
    holds: str
    contact: str
    cost_per_hour: Decimal | None
    """What an hour of theirs costs, in the shop's own money; None where the shop hasn't said."""
    version: int
