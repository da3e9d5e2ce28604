"""How an airplane is flown, from its meter readings, and when an hour limit will be reached."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from decimal import Decimal


@dataclass(frozen=True, slots=True)
class Reading:
    """A meter read on a date. `offset_hours` is added to get the assembly's hours (a replaced meter has one)."""

    on: date
    meter_hours: Decimal
    offset_hours: Decimal = Decimal(0)

    @property
    def hours(self) -> Decimal:
        """Time in service at the reading."""
        return self.meter_hours + self.offset_hours


@dataclass(frozen=True, slots=True)
class Usage:
    """Hours flown in each whole month, oldest first, and their mean. `stated` when it is a person's figure."""

    hours_per_month: Decimal
    months: tuple[Decimal, ...] = ()
    stated: bool = False


@dataclass(frozen=True, slots=True)
class Forecast:
    """When a limit is reached: the middle of the estimate and its 10 % and 90 % bounds.

    None where it isn't reached within ten years.
    """

    on: date | None
    early_on: date | None
    late_on: date | None
