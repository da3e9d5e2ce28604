"""When something is next due: hours, calendar months, plain months, days, cycles; whichever first or last."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from enum import StrEnum


class Logic(StrEnum):
    """Which of several limits governs."""

    FIRST = "first"
    LAST = "last"


class Force(StrEnum):
    """What stands behind a requirement."""

    RULE = "rule"
    DIRECTIVE = "directive"
    LIMITATION = "limitation"
    RECOMMENDED = "recommended"

    @property
    def binding(self) -> bool:
        """True where flying past it is unlawful."""
        return self is not Force.RECOMMENDED


@dataclass(frozen=True, slots=True)
class Interval:
    """How often something must be done. At most one of the calendar fields is given.

    Hours are time in service of the thing the requirement counts on; cycles its landings or starts.
    Raises ValueError for a negative or empty interval or for two calendar fields.
    """

    hours: Decimal | None = None
    cycles: int | None = None
    calendar_months: int | None = None
    months: int | None = None
    days: int | None = None
    logic: Logic = Logic.FIRST
    recurring: bool = True
    enroute_excess_hours: Decimal = Decimal(0)
    """Hours by which the limit may be passed while under way to the place of inspection."""


@dataclass(frozen=True, slots=True)
class Point:
    """A moment in an assembly's life: its date, hours and cycles, as far as known."""

    on: date | None = None
    hours: Decimal | None = None
    cycles: int | None = None


@dataclass(frozen=True, slots=True)
class DuePoint:
    """When something is next due; an empty point with `ended` set means never again."""

    on: date | None = None
    hours: Decimal | None = None
    cycles: int | None = None
    logic: Logic = Logic.FIRST
    ended: str = ""
    """Why nothing is due any more ('done once', 'terminated'), else empty."""


class DueState(StrEnum):
    """How a requirement stands now."""

    OVERDUE = "overdue"
    DUE_SOON = "due soon"
    OK = "in date"
    NEVER_DONE = "no record"
    ENDED = "ended"
