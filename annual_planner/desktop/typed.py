"""What people type into a field: days, hours and counts, read freely but never guessed at."""

from __future__ import annotations

import re
from datetime import date, datetime, time, timedelta
from decimal import Decimal

from annual_planner.trade.periods import end_of_month
from annual_planner.trade.refused import Refused
from annual_planner.trade.said import said_date

WAYS = "Type t for today, +7 or -7 for days, 3 Apr, 2026-04-03 or eom for the end of the month."
MONTHS = ("jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec")

_CLOCK = re.compile(r"([0-9]{1,2}):([0-9]{2})")
_SHIFT = re.compile(r"(?:t(?:oday)?\s*)?([+-])\s*([0-9]{1,5})")
_ISO = re.compile(r"([0-9]{4})-([0-9]{1,2})-([0-9]{1,2})")
_DAY_FIRST = re.compile(r"([0-9]{1,2})\.?\s*([a-z]{3,9})\.?,?\s*([0-9]{4})?")
_MONTH_FIRST = re.compile(r"([a-z]{3,9})\.?\s*([0-9]{1,2}),?\s*([0-9]{4})?")
_POINTS = re.compile(r"([0-9]{1,2})\.([0-9]{1,2})\.([0-9]{4})?")
_SLASHES = re.compile(r"([0-9]{1,2})/([0-9]{1,2})(?:/([0-9]{4}))?")


def read_day(text: str, today: date) -> date:
    """The day that was typed; one without a year is the nearest to today. Raises Refused.

    >>> read_day("+7", date(2026, 4, 30))
    datetime.date(2026, 5, 7)
    >>> read_day("3 Apr", date(2026, 4, 30))
    datetime.date(2026, 4, 3)
    """
    typed = " ".join(text.split()).casefold()
    if typed in {"t", "today"}:
        return today
    if typed == "eom":
        return end_of_month(today)
    shift = _SHIFT.fullmatch(typed)
    if shift:
        days = int(shift[2])
        return today + timedelta(days=days if shift[1] == "+" else -days)
    year, month, day = _parts(typed)
    try:
        return _nearest(month, day, today) if year is None else date(year, month, day)
    except ValueError:
        raise Refused(f"There is no day ‘{text.strip()}’ in the calendar.", WAYS) from None


def _parts(typed: str) -> tuple[int | None, int, int]:
    """Year (None where it wasn't typed), month and day. Raises Refused."""
    if found := _ISO.fullmatch(typed):
        return int(found[1]), int(found[2]), int(found[3])
    if found := _POINTS.fullmatch(typed):
        return _year(found[3]), int(found[2]), int(found[1])
    if found := _SLASHES.fullmatch(typed):
        return _year(found[3]), int(found[1]), int(found[2])
    if (found := _DAY_FIRST.fullmatch(typed)) and found[2][:3] in MONTHS:
        return _year(found[3]), MONTHS.index(found[2][:3]) + 1, int(found[1])
    if (found := _MONTH_FIRST.fullmatch(typed)) and found[1][:3] in MONTHS:
        return _year(found[3]), MONTHS.index(found[1][:3]) + 1, int(found[2])
    raise Refused(f"‘{typed}’ is no date." if typed else "The date is missing.", WAYS)


def _year(text: str | None) -> int | None:
    return int(text) if text else None


def _nearest(month: int, day: int, today: date) -> date:
    years = (today.year, today.year - 1, today.year + 1)
    days = [found for year in years if (found := _in_year(year, month, day)) is not None]
    if not days:
        raise ValueError
    return min(days, key=lambda each: abs((each - today).days))


def _in_year(year: int, month: int, day: int) -> date | None:
    try:
        return date(year, month, day)
    except ValueError:
        return None


def read_moment(text: str, today: date) -> datetime:
    """A day and a time of this computer's clock, such as '4 May 14:05'; the time alone is today's.

    Raises Refused.
    """
    day, _, clock = " ".join(text.split()).rpartition(" ")
    found = _CLOCK.fullmatch(clock)
    if found is None or int(found[1]) > 23 or int(found[2]) > 59:
        raise Refused(f"‘{text.strip()}’ is no moment.", "Type the day and the time, such as 4 May 14:05.")
    on = read_day(day, today) if day else today
    return datetime.combine(on, time(int(found[1]), int(found[2]))).astimezone()


def said_day(day: date) -> str:
    """A day with its weekday, as it is said back to who typed it: Mon 4 May 2026."""
    return f"{day:%a} {said_date(day)}"


def read_decimal(text: str, what: str = "hours") -> Decimal:
    """A number not below 0, with a point or a comma. Raises Refused, also where a comma could be either.

    >>> read_decimal("1234,5")
    Decimal('1234.5')
    """
    typed = text.strip().replace(" ", "").replace("\u00a0", "").removesuffix("h")
    if not typed:
        raise Refused(f"The {what} are missing.", "Type a number such as 1234.5.")
    if re.fullmatch(r"[0-9]{1,3}(,[0-9]{3})+\.[0-9]+", typed):
        typed = typed.replace(",", "")
    elif re.fullmatch(r"[0-9]{1,3},[0-9]{3}", typed):
        plain, point = typed.replace(",", ""), typed.replace(",", ".")
        raise Refused(f"‘{typed}’ can be read two ways.", f"Type {plain} or {point}.")
    elif typed.count(",") == 1 and "." not in typed:
        typed = typed.replace(",", ".")
    if not re.fullmatch(r"[0-9]+(\.[0-9]*)?|\.[0-9]+", typed):
        raise Refused(f"‘{text.strip()}’ is no number.", "Type a number such as 1234.5.")
    return Decimal(typed)


def read_signed(text: str, what: str) -> float:
    """A number that may be below 0, such as an elevation or a temperature. Raises Refused.

    >>> read_signed("-12,5", "elevation")
    -12.5
    """
    typed = text.strip()
    below = typed.startswith(("-", "\u2212"))
    number = float(read_decimal(typed[1:] if below else typed, what))
    return -number if below else number


def read_celsius(text: str) -> float:
    """A temperature in degrees Celsius; with an F behind it, in Fahrenheit. Raises Refused.

    >>> read_celsius("71"), read_celsius("160 F"), read_celsius("-5C")
    (71.0, 71.1, -5.0)
    """
    typed = text.strip().replace("°", "").replace(" ", "").upper()
    number = read_signed(typed.rstrip("CF"), "temperature")
    return round((number - 32) / 1.8, 1) if typed.endswith("F") else number


def read_count(text: str, what: str) -> int:
    """A whole number not below 0. Raises Refused."""
    typed = text.strip().replace(" ", "")
    if not (typed.isascii() and typed.isdecimal()):
        said = f"‘{text.strip()}’ is no whole number." if typed else f"The {what} are missing."
        raise Refused(said, "Type a whole number such as 12.")
    return int(typed)
