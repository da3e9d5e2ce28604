"""A value together with its working, put together in one call."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from decimal import Decimal
from functools import lru_cache
from typing import TypeVar

from annual_planner.trade.working import Input, Rule, Step, Worked, Working

T = TypeVar("T")


def answer(
    value: T,
    title: str,
    result: str,
    *,
    citation: str = "",
    says: str = "",
    inputs: Sequence[tuple[str, str] | tuple[str, str, str]] = (),
    steps: Sequence[Step] = (),
    assumptions: Sequence[str] = (),
    parts: Sequence[Working] = (),
) -> Worked[T]:
    """The value with a working made of plain parts; an input is its name, its value and perhaps a unit."""
    working = Working(
        title=title,
        result=result,
        inputs=tuple(Input(*item) for item in inputs),
        steps=tuple(steps),
        rules=(Rule(citation, says),) if citation else (),
        assumptions=tuple(assumptions),
        parts=tuple(parts),
    )
    return Worked(value, working)


@lru_cache(maxsize=8_192)
def said_date(day: date) -> str:
    """A date as people read it.

    >>> said_date(date(2026, 5, 3))
    '3 May 2026'
    """
    return f"{day.day} {day:%b %Y}"


def said_hours(hours: Decimal) -> str:
    """Hours as people read them, without an exponent.

    >>> said_hours(Decimal("1E+3"))
    '1000 h'
    """
    return f"{hours:f} h"


def said_amount(amount: Decimal) -> str:
    """An amount of the shop's own money, to the hundredth.

    >>> said_amount(Decimal("1187.5"))
    '1,187.50'
    """
    return f"{amount:,.2f}"
