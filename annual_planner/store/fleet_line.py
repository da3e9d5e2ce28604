"""A line of the fleet list, in a room of its own: it is shown before the rest of the store is loaded."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from decimal import Decimal


@dataclass(frozen=True, slots=True)
class FleetLine:
    """One airplane in the fleet list."""

    aircraft_id: int
    registration: str
    maker: str
    model: str
    owner: str
    owner_id: int | None
    base: str
    state: str
    first_title: str
    comes_first_on: date | None
    annual_due_on: date | None
    hours_now: Decimal | None
    read_on: date | None
    hours_per_month: Decimal | None
    overdue: int
    due_soon: int
    open_package_id: int | None
