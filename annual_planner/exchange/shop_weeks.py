"""The shop's weeks as rows and as values for scripts."""

from __future__ import annotations

from annual_planner.exchange.tables import Cell
from annual_planner.planning.shop_weeks.prices import week_price
from annual_planner.planning.shop_weeks.visits import Placed, WeeksAsked, WeeksPlan

WEEKS_HEADINGS = ("week of", "airplane", "bay", "in", "out", "hours", "latest", "due", "why")


def week_rows(asked: WeeksAsked, plan: WeeksPlan) -> list[list[Cell]]:
    """One row for each visit by day; those without a week at the end."""
    return [
        [
            asked.weeks[each.week].monday if each.week is not None else None,
            each.visit.title,
            each.bay,
            each.first_on,
            each.last_on,
            each.visit.hours,
            each.visit.latest_on,
            each.visit.due_on,
            "; ".join(_why(asked, each)),
        ]
        for each in _in_order(plan)
    ]


def week_values(
    asked: WeeksAsked, plan: WeeksPlan, left_out: tuple[tuple[str, str], ...]
) -> dict[str, object]:
    """The plan as one object.

    Keys: price, bound, gap, proven, seconds, visits (aircraft, week_on, bay, first_on, last_on, hours,
    latest_on, due_on, pinned, why), left_out (aircraft, why). What isn't known is null.
    """
    return {
        "price": round(plan.cost, 2),
        "bound": None if plan.bound is None else round(plan.bound, 2),
        "gap": None if plan.gap is None else round(plan.gap, 4),
        "proven": plan.proven,
        "seconds": round(plan.seconds, 2),
        "visits": [
            {
                "aircraft": each.visit.title,
                "week_on": asked.weeks[each.week].monday if each.week is not None else None,
                "bay": each.bay,
                "first_on": each.first_on,
                "last_on": each.last_on,
                "hours": each.visit.hours,
                "latest_on": each.visit.latest_on,
                "due_on": each.visit.due_on,
                "pinned": each.visit.pinned_on is not None,
                "why": list(_why(asked, each)),
            }
            for each in _in_order(plan)
        ],
        "left_out": [{"aircraft": name, "why": why} for name, why in left_out],
    }


def _in_order(plan: WeeksPlan) -> list[Placed]:
    return sorted(
        plan.placed, key=lambda each: (each.week is None, each.week or 0, each.first_on or each.visit.due_on)
    )


def _why(asked: WeeksAsked, placed: Placed) -> tuple[str, ...]:
    if placed.week is None:
        return ("no week had room",)
    return week_price(asked, placed.visit, asked.weeks[placed.week]).why
