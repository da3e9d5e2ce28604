"""What a plan's hours cost, and what an hour earlier is worth to this shop, weighed in each search."""

from __future__ import annotations

from decimal import Decimal, InvalidOperation
from typing import TYPE_CHECKING

from annual_planner.desktop.desk import Desk
from annual_planner.desktop.fields import TextField
from annual_planner.desktop.form import Form, Values
from annual_planner.desktop.typed import read_decimal
from annual_planner.planning.crew.aims import weighing_cost
from annual_planner.trade.refused import Refused

if TYPE_CHECKING:
    from annual_planner.desktop.annual.timeline.tab import Timeline

KEPT = "layout/hour_worth"
SAYS = (
    "With a worth, a plan that takes cheaper hands is preferred where it finishes little later. What an hour"
    " of each person costs stands in the set-up of the shop, else by their kind in layout.toml. Empty: cost"
    " is left out."
)


def hour_worth(desk: Desk) -> Decimal | None:
    """What a finish an hour earlier is worth, in the shop's own money; None: cost is left out."""
    try:
        worth = Decimal(str(desk.settings.value(KEPT, "") or "0"))
    except InvalidOperation:
        return None
    return worth if worth > 0 else None


def show_cost(tab: Timeline) -> None:
    """Show what the hours of the plan cost, person by person."""
    from annual_planner.planning.plan_costs import cost_of_plan

    if tab.seen is not None and tab.seen.asked is not None and tab.plan is not None:
        tab.page.wants_working.emit(cost_of_plan(tab.seen.asked, tab.plan.laid).working)


def ask_hour_worth(tab: Timeline) -> None:
    """Ask what an hour earlier is worth, then lay the work out again by it."""
    page, desk = tab.page, tab.desk

    def done(values: Values) -> None:
        worth = values["worth"]
        try:
            weighing_cost(worth)
        except Refused as refused:
            form.failed(refused)
            return
        desk.settings.setValue(KEPT, "" if worth is None else f"{worth:f}")
        page.close_form()
        tab.replanning.lay_out_anew()

    form = Form("Weigh cost of hours", "Lay out by it", done, page.close_form, says=SAYS)
    field = form.add(TextField("worth", "An hour earlier is worth", read_decimal, letters=10))
    kept = hour_worth(desk)
    field.put("" if kept is None else f"{kept:f}")
    page.open_form(form)
