"""The plan of the weeks in words."""

from __future__ import annotations

from annual_planner.desktop.weeks.seen import Shown
from annual_planner.planning.shop_weeks.kept import NO_PLACE, TOO_LATE
from annual_planner.planning.shop_weeks.visits import WeeksPlan
from annual_planner.trade.working import Worked


def moved_count(before: WeeksPlan, after: WeeksPlan) -> int:
    """How many visits have another week, or none any more."""
    was = {each.visit.key: each.week for each in before.placed}
    return sum(1 for each in after.placed if was.get(each.visit.key) != each.week)


def said_plan(shown: Shown, proposed: Worked[WeeksPlan] | None) -> str:
    """How many are placed, what life is given up, who is late, and how good the plan is."""
    count = len(shown.lines)
    there = sum(1 for line in shown.lines if line.standing != NO_PLACE)
    if not there:
        return ""
    parts = [f"{there} of {count} annuals have a place"]
    months = sum(line.months_up for line in shown.lines)
    many = "1 month" if months == 1 else f"{months} months"
    parts.append(f"{many} of life given up in all" if months else "no life given up")
    late = sum(1 for line in shown.lines if line.standing == TOO_LATE)
    if late:
        parts.append(f"{late} after their latest day")
    over = sum(1 for load in shown.lanes.loads if load.hours > load.room_hours + 0.05)
    if over:
        parts.append(f"{over} week{'s' * (over > 1)} over what may be planned")
    return "; ".join([*parts, _how_good(shown, proposed)]) + "."


def _how_good(shown: Shown, proposed: Worked[WeeksPlan] | None) -> str:
    if shown.put is None:
        return "as it was kept"
    cost = f"costs {shown.put.plan.cost:.0f} by the shop's prices"
    if proposed is None or proposed.value.gap is None:
        return cost
    if proposed.value.proven:
        return f"{cost}, proven best"
    return f"{cost}, at most {proposed.value.gap:.1%} above the best there is"
