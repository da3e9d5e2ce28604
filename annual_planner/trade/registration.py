"""The registration certificate: when it expires."""

from __future__ import annotations

from datetime import date

from annual_planner.trade.answer import answer
from annual_planner.trade.periods import DuePoint, Interval, add_months, end_of_month
from annual_planner.trade.said import said_date
from annual_planner.trade.working import Step, Worked

KEY = "registration"
"""Key of the requirement."""
YEARS = 7
INTERVAL = Interval(calendar_months=12 * YEARS)
"""As it is written down; how it is counted is said below."""
RENEWAL_MONTHS = 6


def registration_due(issued_on: date) -> Worked[DuePoint]:
    """When a registration without a printed date is due for renewal, by the day of its issue."""
    worked = registration_expires(issued_on)
    return Worked(DuePoint(on=worked.value), worked.working)


def registration_expires(issued_on: date, *, printed_on: date | None = None) -> Worked[date]:
    """When a registration expires: seven years after the last day of the month it was issued in.

    A printed date governs. Issued in a February, the words give 28 Feb even in a leap year.
    Source: 14 CFR 47.40(a).
    """
    if printed_on is not None:
        steps = [Step("The printed date governs", said_date(printed_on))]
        return _expires(printed_on, steps, [])
    month_end = end_of_month(issued_on)
    expires = add_months(month_end, YEARS * 12)
    text = f"{said_date(month_end)}, the end of the month of issue, + {YEARS} years"
    steps = [Step(text, said_date(expires))]
    february = ["Read to the word; a printed 29 Feb would govern."] if issued_on.month == 2 else []
    return _expires(expires, steps, february)


def _expires(expires: date, steps: list[Step], assumptions: list[str]) -> Worked[date]:
    opens = add_months(expires, -RENEWAL_MONTHS)
    steps = [*steps, Step(f"{RENEWAL_MONTHS} months before it can be renewed", f"from {said_date(opens)}")]
    return answer(
        expires,
        "Registration",
        f"expires {said_date(expires)}",
        citation="14 CFR 47.40",
        steps=steps,
        assumptions=assumptions,
    )
