"""Columns of a list as data, and the words in which dates and hours are shown."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from typing import TYPE_CHECKING, Any, Generic, NamedTuple, TypeVar

from annual_planner.trade.said import said_date

if TYPE_CHECKING:
    from decimal import Decimal

R = TypeVar("R")


class Column(NamedTuple, Generic[R]):
    """One column: what it shows of a row, how it is sorted, aligned, spoken and signed."""

    key: str
    """Stable name, under which width and place are kept."""
    heading: str
    text: Callable[[R], str]
    sort: str = ""
    """Name of the order in the query; empty: can't be sorted by."""
    width: float = 12
    """In letters."""
    right: bool = False
    spoken: Callable[[R], str] | None = None
    """What a screen reader says where the text alone isn't plain."""
    sign: Callable[[R], str] | None = None
    """Word of standing ('overdue', 'in date' …) whose shape is drawn before the text."""
    tip: Callable[[R], str] | None = None
    by: Callable[[R], Any] | None = None
    """Value to sort by, for lists that are held in memory."""
    hidden: bool = False
    """Not shown until a person asks for it."""
    aside: int = 0
    """Where the room is short it steps aside, 1 before 2; 0: it stays."""


def day_text(day: date | None) -> str:
    """A date as people read it: 3 May 2026; nothing for no date."""
    return "" if day is None else said_date(day)


def hours_text(hours: Decimal | None) -> str:
    """Hours with one place after the point: 1234.5; nothing for none."""
    return "" if hours is None else f"{hours:.1f}"


def spoken_day(day: date | None) -> str:
    """A date for the ear."""
    return "no date" if day is None else f"{day.day} {day:%B %Y}"


def days_from(today: date, day: date | None) -> str:
    """How far a day is away, in the words people use."""
    if day is None:
        return ""
    days = (day - today).days
    if days == 0:
        return "today"
    far = f"{abs(days)} day" + ("" if abs(days) == 1 else "s")
    if abs(days) > 90:
        far = f"{round(abs(days) / 30.44)} months"
    return f"in {far}" if days > 0 else f"{far} ago"
