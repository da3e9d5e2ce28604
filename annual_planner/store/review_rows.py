"""Frozen rows for the review of discrepancies across the fleet."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal
from typing import Any

from annual_planner.store.doing_rows import PartLine, PhotographLine


@dataclass(frozen=True, slots=True)
class Filter:
    """Which discrepancies are asked for. `airworthy`: '', 'yes', 'no', 'not judged'. Empty asks for all."""

    open_only: bool = True
    aircraft_id: int | None = None
    owner_id: int | None = None
    package_id: int | None = None
    state: str = ""
    risk: str = ""
    waits_for: str = ""
    """'nobody' asks for those that wait for nobody."""
    disposition: str = ""
    airworthy: str = ""
    found_until: date | None = None
    search: str = ""


@dataclass(frozen=True, slots=True)
class ReviewLine:
    """One discrepancy in the review."""

    discrepancy_id: int
    aircraft_id: int
    registration: str
    model: str
    owner: str
    zone: str
    text: str
    found_on: date
    state: str
    airworthy: bool | None
    risk: str
    disposition: str
    waits_for: str
    waits_since: date | None
    hours_estimate: Decimal | None
    cost_estimate: Decimal | None
    parts: str
    deferred_until: date | None
    closed_on: date | None
    package_id: int | None
    package: str
    promised_on: date | None
    card_id: int | None
    cylinder: int | None
    how_found: str
    owner_answer: str
    owner_answered_on: date | None
    owner_answered_how: str
    placard: str
    assembly_id: int | None
    version: int

    def age_days(self, today: date) -> int:
        """Days since it was found, until today or until it was closed."""
        return ((self.closed_on or today) - self.found_on).days


@dataclass(frozen=True, slots=True)
class StepLine:
    """One step in the life of a discrepancy."""

    step: str
    on: date
    written_at: datetime
    person_id: int | None
    name: str
    said: str
    facts: dict[str, Any]


@dataclass(frozen=True, slots=True)
class DiscrepancySheet:
    """One discrepancy with its whole life."""

    line: ReviewLine
    steps: tuple[StepLine, ...]
    parts: tuple[PartLine, ...]
    photographs: tuple[PhotographLine, ...]


@dataclass(frozen=True, slots=True)
class GroupLine:
    """One group of the review with its sums."""

    value: str
    count: int
    hours: Decimal
    cost: Decimal
    oldest_on: date


@dataclass(frozen=True, slots=True)
class FlowMonth:
    """What was opened and closed in one month, and how many were open at its end."""

    first_day: date
    opened: int
    closed: int
    open_at_end: int


@dataclass(frozen=True, slots=True)
class AgeBand:
    """How many open ones are of this age."""

    title: str
    count: int


@dataclass(frozen=True, slots=True)
class BlockedPromise:
    """A day promised to an owner that open discrepancies of the package stand in the way of."""

    package_id: int
    package: str
    registration: str
    promised_on: date
    open_count: int
    waiting: tuple[str, ...]
    """Who or what is waited for, each once."""
    hours: Decimal
    discrepancy_ids: tuple[int, ...]
