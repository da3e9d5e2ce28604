"""Which goals count when work is laid out, and how cost is weighed against time; plain values, no solver."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from annual_planner.planning.crew.open_time import STEP_MIN
from annual_planner.trade.refused import Refused


@dataclass(frozen=True, slots=True)
class Aims:
    """Which goals count. Finish always does; promised dates always come first.

    `cost_weight`: steps of finish that one unit of money is worth; 0 leaves cost out.
    `moved_weight`: steps of finish that one moved job is worth, when an old plan is kept to.
    """

    few_changes: bool = True
    little_waiting: bool = True
    cost_weight: Decimal = Decimal(0)
    moved_weight: int = 1


def weighing_cost(hour_worth: Decimal | None) -> Aims:
    """Weigh cost of hours: a finish an hour earlier is worth so much money; None: cost is left out.

    Refused for a worth that is not above 0.
    """
    if hour_worth is None:
        return Aims()
    if hour_worth <= 0:
        raise Refused("An hour earlier must be worth more than 0.", "Leave it empty to leave cost out.")
    return Aims(cost_weight=Decimal(60 // STEP_MIN) / hour_worth)
