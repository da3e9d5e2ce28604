"""What a week costs a visit, part by part, in words."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from annual_planner.planning.shop_weeks.visits import ShopWeek, Visit, WeeksAsked
from annual_planner.trade.said import said_date

MONTHS = 12


@dataclass(frozen=True, slots=True)
class WeekPrice:
    """What a visit costs in one week, and why; `open`: it can be there at all."""

    cost: Decimal
    why: tuple[str, ...]
    open: bool = True


def week_price(asked: WeeksAsked, visit: Visit, week: ShopWeek) -> WeekPrice:
    """The price of one visit in one week, its share of a crowded week left out."""
    shut = _shut(visit, week)
    if shut:
        return WeekPrice(Decimal(0), (shut,), open=False)
    parts = [_early(visit, week), _late(asked, visit, week), _off_wish(asked, visit, week)]
    told = [part for part in parts if part is not None]
    return WeekPrice(sum((cost for cost, _ in told), Decimal(0)), tuple(said for _, said in told))


def _shut(visit: Visit, week: ShopWeek) -> str:
    """Why it can't be in this week; empty when it can."""
    if not week.open_days:
        return f"the shop is closed all week{week.why_closed}"
    if visit.pinned_on is not None:
        return "" if visit.pinned_on == week.monday else f"pinned to the week of {said_date(visit.pinned_on)}"
    if week.last_on < visit.earliest_on:
        return f"before {said_date(visit.earliest_on)} too much of its life would be given up"
    if any(days.meet(week.open_days[0], week.open_days[-1]) for days in visit.blocked):
        return "its owner can't spare it then"
    return ""


def _early(visit: Visit, week: ShopWeek) -> tuple[Decimal, str] | None:
    months = months_given_up(visit, week.open_days[0])
    if not months:
        return None
    return visit.worth * months / MONTHS, f"gives up {months} of {MONTHS} months"


def months_given_up(visit: Visit, day: date) -> int:
    """Months of the annual's life given up on a day: one done in the month it is due gives up none."""
    return max(_months(visit.due_on) - _months(day), 0)


def _late(asked: WeeksAsked, visit: Visit, week: ShopWeek) -> tuple[Decimal, str] | None:
    days = (week.open_days[0] - visit.latest_on).days
    if days <= 0:
        return None
    weeks = -(-days // 7)
    return (
        asked.prices.late_week * weeks,
        f"begins {days} day{'s' * (days > 1)} after its latest day, {said_date(visit.latest_on)}",
    )


def _off_wish(asked: WeeksAsked, visit: Visit, week: ShopWeek) -> tuple[Decimal, str] | None:
    if not visit.wished or any(days.meet(week.open_days[0], week.open_days[-1]) for days in visit.wished):
        return None
    return visit.worth * asked.prices.off_wish, "not a week its owner wished for"


def _months(day: date) -> int:
    return day.year * MONTHS + day.month


def crowding(asked: WeeksAsked, week: ShopWeek, hours: float) -> float:
    """What a week costs for being full: each hour beyond its level share, and more beyond its crowded one."""
    prices, room = asked.prices, float(week.hours)
    full = max(hours - float(prices.level) * room, 0.0) * float(prices.full_hour)
    return full + max(hours - float(prices.crowded) * room, 0.0) * float(prices.crowded_hour)
