"""How hours and moments are kept, so that both databases hold and compare them alike."""

from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, datetime
from decimal import ROUND_HALF_UP, Decimal
from functools import lru_cache
from typing import Any

from sqlalchemy import DateTime, Integer
from sqlalchemy.engine import Dialect
from sqlalchemy.types import TypeDecorator

HUNDREDTHS = 100


class HoursColumn(TypeDecorator[Decimal]):
    """Decimal hours kept as whole hundredths, so that both databases store, sort and compare them exactly."""

    impl = Integer
    cache_ok = True

    def process_bind_param(self, value: Decimal | None, dialect: Dialect) -> int | None:
        """Turn hours into hundredths; a finer value is rounded half up."""
        if value is None:
            return None
        return int((Decimal(value) * HUNDREDTHS).to_integral_value(rounding=ROUND_HALF_UP))

    def process_result_value(self, value: int | None, dialect: Dialect) -> Decimal | None:
        """Turn hundredths into hours."""
        return _hours(value)

    def result_processor(self, dialect: Dialect, coltype: object) -> Callable[[Any], Decimal | None]:
        """Turn hundredths into hours without a step between: lists hold many of them."""
        return _hours


@lru_cache(maxsize=65_536)
def _hours(value: int | None) -> Decimal | None:
    return None if value is None else Decimal(value) / HUNDREDTHS


class MomentColumn(TypeDecorator[datetime]):
    """A moment in UTC; SQLite keeps no zone, so it is put back on reading."""

    impl = DateTime(timezone=True)
    cache_ok = True

    def process_bind_param(self, value: datetime | None, dialect: Dialect) -> datetime | None:
        """Turn a moment of any zone into UTC."""
        return None if value is None else value.astimezone(UTC)

    def process_result_value(self, value: datetime | None, dialect: Dialect) -> datetime | None:
        """Say that the moment read is in UTC."""
        if value is None:
            return None
        return value.replace(tzinfo=UTC) if value.tzinfo is None else value.astimezone(UTC)
