"""The plugs of one engine together: which won't reach the next annual, and what it costs now or later."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal
from enum import StrEnum

from annual_planner.trade.refused import Refused
from annual_planner.trade.trends import Trend, Why, said_about
from annual_planner.trade.working import Input, Rule, Step, Worked, Working

CENT = Decimal("0.01")


class Reach(StrEnum):
    """How a plug stands to the next annual."""

    WORN = "at its limit now"
    SHORT = "won't reach the next annual"
    DOUBT = "may not reach the next annual"
    ENOUGH = "reaches the next annual"
    UNKNOWN = "can't be said"


@dataclass(frozen=True, slots=True)
class PlugStanding:
    """One plug of the set: its place, hours it has run, and where its wear is heading."""

    place: str
    run_hours: Decimal
    wear: Trend


@dataclass(frozen=True, slots=True)
class Prices:
    """Money in one currency for a plug and an hour of work; hours of work a visit of its own takes.

    `visit_hours`: for the visit as such; `hours_per_plug`: for each plug changed in it.
    """

    plug: Decimal
    work_hour: Decimal
    visit_hours: Decimal
    hours_per_plug: Decimal


@dataclass(frozen=True, slots=True)
class SetOutlook:
    """Places by how they stand; cost of the plugs short or in doubt: fitted now, or at a visit of their own.

    `given_up`: the share of those plugs' price still unused if they are changed now. Worn ones are changed
    now in any case and stand in neither sum.
    """

    places: dict[Reach, tuple[str, ...]]
    cost_now: Decimal
    cost_later: Decimal
    given_up: Decimal

    @property
    def now_is_cheaper(self) -> bool:
        """Whether plugs now and the life given up cost less than plugs later and the visit."""
        return self.cost_now + self.given_up < self.cost_later


def reach(plug: PlugStanding, hours_to_annual: Decimal) -> Reach:
    """How one plug stands to the next annual, so many hours away; nothing is said beyond the span seen."""
    outlook = plug.wear.outlook
    if plug.wear.why_not is Why.PAST:
        return Reach.WORN
    if outlook is None:
        return Reach.UNKNOWN
    seen = min(float(hours_to_annual), outlook.span_hours)
    if outlook.likely_hours <= seen:
        return Reach.SHORT
    if outlook.early_hours <= seen:
        return Reach.DOUBT
    return Reach.ENOUGH if float(hours_to_annual) <= outlook.span_hours else Reach.UNKNOWN


def set_outlook(
    plugs: Sequence[PlugStanding], hours_to_annual: Decimal, prices: Prices
) -> Worked[SetOutlook]:
    """Which plugs of an engine won't reach the next annual, and the cost of changing them now against later.

    Hours above 0 and money not below 0, else Refused. Common practice, no source.
    """
    if not hours_to_annual > 0:
        raise Refused("The next annual is no hours away.", "Give the hours expected until then, above 0.")
    if min(prices.plug, prices.work_hour, prices.visit_hours, prices.hours_per_plug) < 0:
        raise Refused("A price or time of work is below 0.", "Give 0 or more.")
    standing = [(plug, reach(plug, hours_to_annual)) for plug in plugs]
    places = {each: tuple(plug.place for plug, way in standing if way is each) for each in Reach}
    early = [plug for plug, way in standing if way in (Reach.SHORT, Reach.DOUBT)]
    now = prices.plug * len(early)
    work_hours = prices.visit_hours + prices.hours_per_plug * len(early) if early else Decimal(0)
    later = now + prices.work_hour * work_hours
    given_up = sum((prices.plug * _unused(plug) for plug in early), Decimal(0))
    value = SetOutlook(places, *(each.quantize(CENT, ROUND_HALF_UP) for each in (now, later, given_up)))
    return Worked(value, _working(value, standing, hours_to_annual, prices, work_hours))


def _unused(plug: PlugStanding) -> Decimal:
    """Share of a plug's life still to come, 0 to 1, at its most likely end."""
    outlook = plug.wear.outlook
    left = Decimal(str(outlook.likely_hours)) if outlook is not None else Decimal(0)
    if not left.is_finite():
        return Decimal(1)
    whole = plug.run_hours + left
    return left / whole if whole > 0 else Decimal(0)


def _working(
    value: SetOutlook,
    standing: Sequence[tuple[PlugStanding, Reach]],
    hours_to_annual: Decimal,
    prices: Prices,
    work_hours: Decimal,
) -> Working:
    early = len(value.places[Reach.SHORT]) + len(value.places[Reach.DOUBT])
    steps = [Step(f"{plug.place}: {way}", plug.wear.said) for plug, way in standing]
    steps += [
        Step(f"now: {early} plugs × {prices.plug}", f"{value.cost_now}"),
        Step(f"later: the same and {work_hours:f} h × {prices.work_hour}", f"{value.cost_later}"),
        Step("price of the life given up now", f"{value.given_up}"),
    ]
    counts = ", ".join(f"{way}: {len(names)}" for way, names in value.places.items() if names)
    return Working(
        "Plugs until the next annual",
        counts or "no plugs",
        (
            Input("hours to the next annual", f"about {said_about(float(hours_to_annual))}", "h"),
            Input("one plug", f"{prices.plug}"),
            Input("an hour of work", f"{prices.work_hour}"),
        ),
        tuple(steps),
        (Rule("common practice, no source", "life given up is weighed against the extra visit"),),
        (
            "Plugs are out at the annual anyway, so changing them now takes no more work.",
            "Those changed later are changed together at one visit of their own.",
            "Plugs in doubt are counted as changed.",
        ),
    )
