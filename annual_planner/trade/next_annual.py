"""Hours an airplane is expected to fly until the annual after the one in hand."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

from annual_planner.trade.answer import answer
from annual_planner.trade.periods import add_calendar_months
from annual_planner.trade.refused import Refused
from annual_planner.trade.said import said_date
from annual_planner.trade.working import Step, Worked

IN_HAND_DAYS = 90
"""An annual due within so many days counts as the one in hand. Common practice, no source."""

MONTH_DAYS = Decimal("30.4375")
"""Mean length of a month."""


def hours_to_next_annual(
    today: date, annual_due_on: date | None, hours_per_month: Decimal | None
) -> Worked[Decimal]:
    """Hours expected until the next annual; where one is in hand, until the one after it.

    Raises Refused where the annual's due day or the airplane's use isn't known, or it doesn't fly.
    Source of the length of an annual: 14 CFR 91.409(a); the rest is common practice, no source.
    """
    if annual_due_on is None:
        raise Refused("Nobody has written down when the annual is due.", "Record the last annual.")
    if hours_per_month is None or hours_per_month <= 0:
        raise Refused(
            "How much the airplane flies isn't known.", "Take meter readings, or state its hours a month."
        )
    next_on, steps = _next_annual(today, annual_due_on)
    days = (next_on - today).days
    hours = (hours_per_month * days / MONTH_DAYS).quantize(Decimal("0.1"))
    return answer(
        hours,
        "Hours to the next annual",
        f"{hours} h until {said_date(next_on)}",
        citation="14 CFR 91.409(a)",
        says="an annual is good to the end of the twelfth calendar month",
        inputs=[
            ("annual due", said_date(annual_due_on)),
            ("hours flown a month", f"{hours_per_month:f}", "h"),
        ],
        steps=[*steps, Step(f"{days} days / {MONTH_DAYS} × {hours_per_month:f} h", f"{hours} h")],
        assumptions=["It is flown on as it was, see the working of its usage."],
    )


def _next_annual(today: date, due_on: date) -> tuple[date, list[Step]]:
    if (due_on - today).days > IN_HAND_DAYS:
        return due_on, []
    after = add_calendar_months(max(today, due_on), 12)
    said = f"due within {IN_HAND_DAYS} days: it is the one in hand, so the one after it counts"
    return after, [Step(said, said_date(after))]
