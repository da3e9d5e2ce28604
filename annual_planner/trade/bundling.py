"""Which items to do together: in this annual, in a visit between two annuals, or later, at the least cost.

What is weighed for every choice: visits made for their own sake, opening a zone that an annual opens anyway,
the work itself as far as its life is used, and the chance that something runs out between two visits.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from itertools import combinations

from annual_planner.trade.refused import Refused
from annual_planner.trade.working import Input, Rule, Step, Worked, Working

NORMAL_90 = 1.2815515655446004
"""Standard deviations from the middle to the point that is passed in one case of ten."""

DAYS_A_YEAR = 365
OVER_WEIGHS = 2.0
"""Time that advice runs over weighs twice the same time of its life; common practice, no source."""

NEGLIGIBLE = 1e-4
"""A chance below which running out once more isn't counted."""


@dataclass(frozen=True, slots=True)
class BundleItem:
    """Something that comes due: all times in days from the start of this annual.

    `lasts_days`: how long one doing lasts at the way this airplane is flown, above 0; None for a thing done
    once. `due_day`: when it is due as it stands, with an early and a late bound passed in one case of ten
    each (all three equal for a calendar limit). `binding`: it may not run over.
    """

    title: str
    zone: str
    due_day: float
    early_day: float
    late_day: float
    lasts_days: float | None
    binding: bool
    work_hours: Decimal


@dataclass(frozen=True, slots=True)
class VisitPoint:
    """A time at which things can be done; an annual takes place anyway and opens every zone."""

    title: str
    day: int
    annual: bool


@dataclass(frozen=True, slots=True)
class BundleCosts:
    """Money: an hour of work, a visit between annuals, one that wasn't planned; hours to open each zone."""

    hour: Decimal
    visit: Decimal
    unplanned_visit: Decimal
    opening_hours: Mapping[str, Decimal]


@dataclass(frozen=True, slots=True)
class Bundled:
    """One item's place in the plan: the visits at which it is done, and what that is expected to cost.

    `chance_out`: the chance that it runs out before a visit at which it is done.
    """

    item: BundleItem
    done_at: tuple[VisitPoint, ...]
    work_cost: float
    overrun_cost: float
    chance_out: float


@dataclass(frozen=True, slots=True)
class Bundle:
    """The cheapest plan: which visits are made between annuals, and what is done when."""

    visits: tuple[VisitPoint, ...]
    items: tuple[Bundled, ...]
    opening_cost: float
    total_cost: float


def usual_visits(years: int = 2) -> tuple[VisitPoint, ...]:
    """The present annual, and then a visit in mid-year and an annual for each year.

    >>> [visit.day for visit in usual_visits(1)]
    [0, 182, 365]
    """
    points = [VisitPoint("this annual", 0, annual=True)]
    for year in range(1, years + 1):
        number = "" if years == 1 else f" {year}"
        points.append(VisitPoint(f"mid-year visit{number}", DAYS_A_YEAR * year - 183, annual=False))
        points.append(
            VisitPoint(f"annual in {year} year{'s' if year > 1 else ''}", DAYS_A_YEAR * year, annual=True)
        )
    return tuple(points)


def bundle(items: Sequence[BundleItem], costs: BundleCosts, visits: Sequence[VisitPoint]) -> Worked[Bundle]:
    """The plan of least expected cost over these visits; every combination of visits and openings is tried.

    The horizon ends with the last visit; life left then is credited. Raises Refused for a life of 0 or less,
    or bounds out of order. Common practice, no source: the choice by expected cost; all figures are the
    shop's own.
    """
    _refuse_impossible(items)
    between = [visit for visit in visits if not visit.annual]
    things = {place: (item, _choices(item, visits, costs)) for place, item in enumerate(items)}
    plans = [
        _plan(things, costs, made)
        for count in range(len(between) + 1)
        for made in combinations(between, count)
    ]
    best = min(plans, key=lambda plan: plan.total_cost)
    return Worked(best, _working(best, plans, costs, visits))


def _refuse_impossible(items: Sequence[BundleItem]) -> None:
    faults = [
        f"{item.title}: a doing lasts {item.lasts_days:g} days."
        for item in items
        if item.lasts_days is not None and not item.lasts_days > 0
    ]
    faults += [
        f"{item.title}: early, likely and late day {item.early_day:g}, {item.due_day:g}, {item.late_day:g}."
        for item in items
        if not item.early_day <= item.due_day <= item.late_day
    ]
    if faults:
        raise Refused(" ".join(faults), "Give a life above 0 days, and the bounds in their order.")


Choices = Sequence[Bundled]
"""One thing, costed for every set of visits at which it could be done."""


def _plan(
    items: Mapping[int, tuple[BundleItem, Choices]], costs: BundleCosts, made: Sequence[VisitPoint]
) -> Bundle:
    """The cheapest plan if these visits, and no others, are made between the annuals."""
    chosen: list[Bundled] = []
    opening = 0.0
    for zone in dict.fromkeys(item.zone for item, _ in items.values()):
        in_zone = [choices for item, choices in items.values() if item.zone == zone]
        cost, zone_items = _zone_plan(in_zone, zone, costs, made)
        opening += cost
        chosen += zone_items
    visit_cost = float(costs.visit) * len(made)
    work = sum(each.work_cost + each.overrun_cost for each in chosen)
    return Bundle(tuple(made), tuple(chosen), opening, visit_cost + opening + work)


def _zone_plan(
    things: Sequence[Choices], zone: str, costs: BundleCosts, made: Sequence[VisitPoint]
) -> tuple[float, list[Bundled]]:
    """The cheapest way with the things of one zone: it is opened at some of the visits between annuals."""
    opening = float(costs.opening_hours.get(zone, Decimal(0)) * costs.hour)
    plans = []
    for count in range(len(made) + 1):
        for opened in combinations(made, count):
            done = [_cheapest(choices, opened) for choices in things]
            cost = opening * count
            plans.append((cost + sum(each.work_cost + each.overrun_cost for each in done), cost, done))
    _, cost, done = min(plans, key=lambda plan: plan[0])
    return cost, done


def _cheapest(choices: Choices, opened: Sequence[VisitPoint]) -> Bundled:
    """The cheapest choice that needs its zone open at the annuals and these visits only."""
    possible = (each for each in choices if all(visit.annual or visit in opened for visit in each.done_at))
    return min(possible, key=lambda each: (each.work_cost + each.overrun_cost, len(each.done_at)))


def _choices(item: BundleItem, visits: Sequence[VisitPoint], costs: BundleCosts) -> Choices:
    most = 1 if item.lasts_days is None else len(visits)
    sets = (chosen for count in range(most + 1) for chosen in combinations(visits, count))
    return [_costed(item, chosen, visits[-1].day, costs) for chosen in sets]


def _costed(item: BundleItem, chosen: tuple[VisitPoint, ...], end_day: int, costs: BundleCosts) -> Bundled:
    once = float(item.work_hours * costs.hour)
    work, overrun, in_time = 0.0, 0.0, 1.0
    for from_day, until_day, due_day, spread in _stretches(item, chosen, end_day):
        out = chance_before(until_day, due_day, spread)
        in_time *= 1 - out
        if item.binding:
            unplanned = float(costs.unplanned_visit) + once
            opening = float(costs.opening_hours.get(item.zone, Decimal(0)) * costs.hour)
            overrun += _times_out(item, until_day, due_day, spread) * (unplanned + opening)
        else:
            over = max(until_day - due_day, 0.0) / (item.lasts_days or max(due_day - from_day, 1.0))
            overrun += OVER_WEIGHS * once * over
    for place, visit in enumerate(chosen):
        used = (chosen[place + 1].day if place + 1 < len(chosen) else end_day) - visit.day
        work += once * _used_share(item, used)
    if chosen:
        work += once * _given_up_share(item, chosen[0].day)
    return Bundled(item, chosen, work, overrun, 1 - in_time)


def _stretches(
    item: BundleItem, chosen: Sequence[VisitPoint], end_day: int
) -> Iterator[tuple[float, float, float, float]]:
    """From one doing to the next, or to the end: its days, when it is due within them, and the spread."""
    spread = (item.late_day - item.early_day) / (2 * NORMAL_90)
    later = _later_spread(item, spread)
    from_day, due_day = 0.0, item.due_day
    for visit in chosen:
        yield from_day, visit.day, due_day, spread
        if item.lasts_days is None:
            return
        spread = later
        from_day, due_day = visit.day, visit.day + item.lasts_days
    yield from_day, end_day, due_day, spread


def _times_out(item: BundleItem, until_day: float, due_day: float, spread: float) -> float:
    """How often it is expected to run out before a day, if it is done anew each time it has."""
    if item.lasts_days is None:
        return chance_before(until_day, due_day, spread)
    times, count = 0.0, 0
    while (chance := chance_before(until_day, due_day + count * item.lasts_days, spread)) > NEGLIGIBLE:
        times, count = times + chance, count + 1
    return times


def _later_spread(item: BundleItem, spread: float) -> float:
    """The spread of a whole life, in proportion to that of the life that is left now."""
    ahead = max(item.due_day, 30.0)
    return spread * (item.lasts_days or ahead) / ahead


def _used_share(item: BundleItem, days: float) -> float:
    return 1.0 if item.lasts_days is None else min(days / item.lasts_days, 1.0)


def _given_up_share(item: BundleItem, day: float) -> float:
    """The share of the present life that is thrown away by doing it early."""
    left = max(item.due_day - day, 0.0)
    return 0.0 if item.lasts_days is None else min(left / item.lasts_days, 1.0)


def chance_before(day: float, due_day: float, spread_days: float) -> float:
    """The chance that something due about `due_day` is due before `day` (days; a spread of 0: certain).

    >>> chance_before(100, 100, 10)
    0.5
    >>> chance_before(100, 120, 0)
    0.0
    """
    if spread_days <= 0:
        return 1.0 if due_day < day else 0.0
    return 0.5 * math.erfc((due_day - day) / (spread_days * math.sqrt(2)))


def _working(
    best: Bundle, plans: Sequence[Bundle], costs: BundleCosts, visits: Sequence[VisitPoint]
) -> Working:
    steps = [Step(f"with {_said_visits(plan.visits)}", f"{plan.total_cost:.0f} expected") for plan in plans]
    steps += [Step(each.item.title, _said_item(each)) for each in best.items]
    steps.append(Step("opening zones between annuals", f"{best.opening_cost:.0f}"))
    return Working(
        title="Which items to do together",
        result=f"{_said_visits(best.visits)}: {best.total_cost:.0f} expected over {visits[-1].day} days",
        inputs=(
            Input("an hour of work", f"{costs.hour:f}"),
            Input("a visit between annuals", f"{costs.visit:f}"),
            Input("a visit that wasn't planned", f"{costs.unplanned_visit:f}"),
        ),
        steps=tuple(steps),
        rules=(Rule("common practice, no source", "the plan of least expected cost is proposed"),),
        assumptions=(
            "An annual opens every zone; a visit between annuals opens only the zones it needs.",
            "A binding item that runs out first costs a visit that wasn't planned, and is done then.",
            "Advice that runs over costs twice what the same time of its life costs.",
            "Life left at the end is credited; flying goes on as before.",
        ),
    )


def _said_visits(visits: Sequence[VisitPoint]) -> str:
    return "annuals alone" if not visits else ", ".join(visit.title for visit in visits)


def _said_item(each: Bundled) -> str:
    when = ", ".join(visit.title for visit in each.done_at) or "left"
    chance = f"; runs out first in {each.chance_out:.0%} of cases" if each.chance_out >= 0.005 else ""
    return f"{when}: work {each.work_cost:.0f}, running out {each.overrun_cost:.0f}{chance}"
