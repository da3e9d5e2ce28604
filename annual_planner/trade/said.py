"""Dates, hours and amounts as people read them."""

from __future__ import annotations

from functools import lru_cache
from typing import TYPE_CHECKING

if TYPE_CHECKING:  # lists say dates before anything is worked out: neither is needed for that
    from datetime import date
    from decimal import Decimal


@lru_cache(maxsize=8_192)
def said_date(day: date) -> str:
    """A date as people read it.

    >>> from datetime import date
    >>> said_date(date(2026, 5, 3))
    '3 May 2026'
    """
    return f"{day.day} {day:%b %Y}"


def said_hours(hours: Decimal) -> str:
    """Hours as people read them, without an exponent.

    >>> from decimal import Decimal
    >>> said_hours(Decimal("1E+3"))
    '1000 h'
    """
    return f"{hours:f} h"


def said_amount(amount: Decimal) -> str:
    """An amount of the shop's own money, to the hundredth.

    >>> from decimal import Decimal
    >>> said_amount(Decimal("1187.5"))
    '1,187.50'
    """
    return f"{amount:,.2f}"
