"""Frozen rows for readers of what is done on cards."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal


@dataclass(frozen=True, slots=True)
class CardPlace:
    """Where a card belongs: its airplane, package, place and the assembly it is about."""

    card_id: int
    number: int
    package_id: int
    package: str
    package_state: str
    aircraft_id: int
    zone: str
    included: bool
    state: str
    assembly_id: int | None


@dataclass(frozen=True, slots=True)
class StretchLine:
    """A stretch of time one person worked on one card; `stopped_at` None while it runs."""

    stretch_id: int
    card_id: int
    card_number: int
    card_title: str
    person_id: int
    name: str
    started_at: datetime
    stopped_at: datetime | None
    version: int

    def hours(self, at: datetime | None = None) -> Decimal:
        """Hours from start to stop, to a hundredth; one still running counts until `at`, or nothing."""
        end = self.stopped_at or at
        if end is None or end <= self.started_at:
            return Decimal(0)
        seconds = Decimal(int((end - self.started_at).total_seconds()))
        return (seconds / 3600).quantize(Decimal("0.01"))


@dataclass(frozen=True, slots=True)
class ResultLine:
    """One measurement as it was found."""

    card_id: int
    measurement: str
    value: float | None
    typed: str
    unit: str
    within: bool | None
    read_at: datetime
    name: str
    version: int


@dataclass(frozen=True, slots=True)
class NoteLine:
    """Words written on a card."""

    note_id: int
    card_id: int
    written_at: datetime
    name: str
    text: str
    version: int


@dataclass(frozen=True, slots=True)
class PartLine:
    """A part used on a card or for a discrepancy."""

    part_id: int
    card_id: int | None
    discrepancy_id: int | None
    name: str
    quantity: Decimal
    unit: str
    serial: str
    cost: Decimal | None
    version: int


@dataclass(frozen=True, slots=True)
class PhotographLine:
    """A photograph with its small picture; the whole one is read apart."""

    photograph_id: int
    card_id: int | None
    discrepancy_id: int | None
    taken_at: datetime
    caption: str
    width_px: int
    height_px: int
    thumbnail: bytes
    version: int


@dataclass(frozen=True, slots=True)
class RaisedLine:
    """A discrepancy that was found on a card."""

    discrepancy_id: int
    found_on: date
    text: str
    airworthy: bool | None
    state: str
    disposition: str


@dataclass(frozen=True, slots=True)
class DoingLine:
    """How far one card of a package is."""

    card_id: int
    number: int
    title: str
    zone: str
    phase: str
    state: str
    people: tuple[str, ...]
    """Who is on it now."""
    hours_used: Decimal
    """Hours of finished stretches."""
    hours_likely: Decimal
    results: int
    out_of_limits: int
    open_discrepancies: int
