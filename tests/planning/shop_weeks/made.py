"""Made-up shops with visits, for tests and for the benchmark."""

from __future__ import annotations

import random
from datetime import date, timedelta
from decimal import Decimal

from annual_planner.planning.shop_weeks.visits import Days, ShopWeek, Visit, WeeksAsked

FIRST = date(2026, 5, 4)


def weeks(count: int = 52, hours: int = 200, first: date = FIRST) -> tuple[ShopWeek, ...]:
    return tuple(
        ShopWeek(monday, tuple(monday + timedelta(days=n) for n in range(5)), Decimal(hours))
        for monday in (first + timedelta(weeks=n) for n in range(count))
    )


def visit(key: int, due_on: date, **given: object) -> Visit:
    values: dict[str, object] = {
        "key": key, "title": f"N0{key}", "bay_days": 3, "hours": Decimal(24),
        "earliest_on": due_on - timedelta(days=100), "latest_on": due_on, "due_on": due_on,
        "worth": Decimal(2400),
    }  # fmt: skip
    return Visit(**{**values, **given})  # type: ignore[arg-type]


def many(count: int, *, bays: int, seed: int, hours: int = 200, span: int = 52) -> WeeksAsked:
    """A shop for a year, its airplanes due at random, some with wishes, some blocked for a while."""
    rolled = random.Random(seed)
    visits = []
    for key in range(1, count + 1):
        due = FIRST + timedelta(days=rolled.randrange(10, span * 7))
        days = rolled.choice((1, 2, 2, 2, 3, 3, 4, 6))
        blocked = ()
        if rolled.random() < 0.2:
            start = due - timedelta(days=rolled.randrange(5, 60))
            blocked = (Days(start, start + timedelta(days=rolled.randrange(5, 25))),)
        wished = (Days(due - timedelta(days=45), due - timedelta(days=20)),) if rolled.random() < 0.3 else ()
        worth = Decimal(rolled.choice((1600, 2400, 3600, 5200)))
        visits.append(
            visit(
                key, due, bay_days=days, hours=Decimal(days * 8), blocked=blocked, wished=wished, worth=worth
            )
        )
    return WeeksAsked(weeks(hours=hours), tuple(visits), tuple(f"bay {n}" for n in range(1, bays + 1)))
