"""Placing a fleet's annuals in the shop's weeks, with the working of each place and of a move."""

from __future__ import annotations

import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from datetime import date

from annual_planner.planning.shop_weeks.bays import in_bays
from annual_planner.planning.shop_weeks.buckets import Bucketed, solve_buckets
from annual_planner.planning.shop_weeks.greedy import Choices, first_plan
from annual_planner.planning.shop_weeks.prices import WeekPrice, crowding, months_given_up, week_price
from annual_planner.planning.shop_weeks.visits import (
    Placed,
    ShopWeek,
    Visit,
    WeeksAsked,
    WeeksPlan,
    spread_days,
    weekly_load,
)
from annual_planner.trade.answer import answer
from annual_planner.trade.said import said_date
from annual_planner.trade.working import Step, Worked

MOST_TRIES = 6
STAYS = 1e7
"""Beyond every price: a visit stays in its week where it can."""


def place_visits(
    asked: WeeksAsked,
    *,
    seconds: float = 10.0,
    seed: int = 0,
    workers: int = 8,
    cancelled: Callable[[], bool] | None = None,
) -> Worked[WeeksPlan]:
    """Every visit in a week, a bay and a day, at the least price found in time; 0 seconds: by rule alone.

    A plan of the search that bays make dearer than the one by rule, or that time cut short, gives way to it.
    """
    began = time.monotonic()
    choices = open_weeks(asked)
    first = first_plan(asked, choices)
    found = Bucketed(first, 0.0, False)
    placed = _in_bays(asked, choices, first)
    cost = plan_cost(asked, choices, placed)
    if seconds > 0:
        found = solve_buckets(
            asked, choices, first, seconds=seconds, seed=seed, workers=workers, cancelled=cancelled
        )
        sought = _in_bays(asked, choices, found.weeks)
        if plan_cost(asked, choices, sought) <= cost:
            placed, cost = sought, plan_cost(asked, choices, sought)
    bound = found.bound if seconds > 0 else None
    same = found.proven and all(each.week == found.weeks.get(each.visit.key) for each in placed)
    plan = WeeksPlan(tuple(placed), cost, bound, same, time.monotonic() - began)
    return told_plan(asked, plan)


def open_weeks(asked: WeeksAsked) -> Choices:
    """The weeks each visit may be in, with their prices, by key and place of the week."""
    choices: Choices = {}
    for visit in asked.visits:
        prices = ((number, week_price(asked, visit, week)) for number, week in enumerate(asked.weeks))
        choices[visit.key] = {number: float(price.cost) for number, price in prices if price.open}
    return choices


def _in_bays(asked: WeeksAsked, choices: Choices, weeks: dict[int, int]) -> list[Placed]:
    """Put the weeks' visits into bays; what finds none in its week goes to the next cheapest with room."""
    weeks = dict(weeks)
    barred: dict[int, set[int]] = {}
    for _ in range(MOST_TRIES):
        placed, left = in_bays(asked, weeks)
        if not left:
            break
        for visit in left:
            barred.setdefault(visit.key, set()).add(weeks[visit.key])
            _move_on(asked, choices, weeks, visit, barred[visit.key])
    else:
        placed, left = in_bays(asked, weeks)
    there = {each.visit.key for each in placed}
    return [*placed, *(Placed(visit, None) for visit in asked.visits if visit.key not in there)]


def _move_on(
    asked: WeeksAsked, choices: Choices, weeks: dict[int, int], visit: Visit, barred: set[int]
) -> None:
    del weeks[visit.key]
    starts = [(each, weeks[each.key]) for each in asked.visits if each.key in weeks]
    load = weekly_load(asked, starts)
    fits = [
        (price, week)
        for week, price in choices[visit.key].items()
        if week not in barred and _room_left(asked, load, visit, week)
    ]
    if fits:
        weeks[visit.key] = min(fits)[1]


def _room_left(asked: WeeksAsked, load: list[tuple[float, float]], visit: Visit, start: int) -> bool:
    return all(
        load[week][0] + days <= len(asked.weeks[week].open_days) * len(asked.bays)
        and load[week][1] + float(visit.hours) * days / visit.bay_days
        <= float(asked.room_hours(asked.weeks[week]))
        for week, days in spread_days(asked, visit, start)
    )


def plan_cost(asked: WeeksAsked, choices: Choices, placed: Sequence[Placed]) -> float:
    """What a plan costs: the price of each place, of those without one, and of full weeks.

    A place that can't be any more costs as much as none.
    """
    starts = [(each.visit, each.week) for each in placed if each.week is not None]
    no_place = float(asked.prices.no_place)
    own = sum(choices[visit.key].get(week, no_place) for visit, week in starts)
    nowhere = no_place * sum(1 for each in placed if each.week is None)
    load = weekly_load(asked, starts)
    return (
        own
        + nowhere
        + sum(crowding(asked, week, hours) for week, (_, hours) in zip(asked.weeks, load, strict=True))
    )


def told_plan(asked: WeeksAsked, plan: WeeksPlan) -> Worked[WeeksPlan]:
    """A plan with its working: who has a place, who is late, the price and the bound."""
    there = [each for each in plan.placed if each.week is not None]
    late = [each for each in there if each.first_on is not None and each.first_on > each.visit.latest_on]
    given_up = [(each, months_given_up(each.visit, each.first_on)) for each in there if each.first_on]
    months = sum(count for _, count in given_up)
    early = [each for each, count in given_up if count]
    steps = [
        Step("visits placed", f"{len(there)} of {len(plan.placed)}"),
        Step("begin after their latest day", f"{len(late)}" + (": " + _named(late) if late else "")),
        Step("months of life given up", f"{months}" + (": " + _named(early) if early else "")),
        Step("price of the plan", f"{plan.cost:.0f}"),
    ]
    if plan.bound is not None and plan.gap is not None:
        said = "proven best" if plan.proven else f"at most {plan.gap:.1%} above the best there is"
        steps.append(Step("no plan can cost less than", f"{plan.bound:.0f}: {said}"))
    return answer(
        plan,
        "The shop's weeks",
        f"{len(there)} of {len(plan.placed)} visits placed",
        citation="common practice, no source",
        says="life given up, lateness, owners' wishes and crowded weeks are weighed by the shop's own prices",
        inputs=[
            ("bays", ", ".join(asked.bays)),
            ("kept free for findings", f"{asked.kept_free:.0%}"),
            ("weeks", f"{len(asked.weeks)} from {said_date(asked.weeks[0].monday)}"),
        ],
        steps=steps,
    )


def _named(placed: list[Placed]) -> str:
    names = [each.visit.title for each in placed]
    return ", ".join(names[:8]) + (f" and {len(names) - 8} more" if len(names) > 8 else "")


def why_there(asked: WeeksAsked, plan: WeeksPlan, key: int) -> Worked[WeekPrice]:
    """Why a visit is in its week: its price there, and what every other week would be instead."""
    placed = plan.of(key)
    visit = placed.visit
    if placed.week is None:
        price = WeekPrice(asked.prices.no_place, ("no week had room",), open=False)
    else:
        price = week_price(asked, visit, asked.weeks[placed.week])
    free = replace(visit, pinned_on=None)
    steps = [_told(asked, free, week) for week in _near(asked, placed)]
    if visit.pinned_on is not None:
        steps.insert(0, Step("pinned by hand", f"week of {said_date(visit.pinned_on)}"))
    result = f"week of {said_date(asked.weeks[placed.week].monday)}" if placed.week is not None else "no week"
    return answer(
        price,
        f"{visit.title}: its week",
        result,
        inputs=[
            ("not before", said_date(visit.earliest_on)),
            ("latest", said_date(visit.latest_on)),
            ("due", said_date(visit.due_on)),
            ("bay days", str(visit.bay_days)),
            ("hours", f"{visit.hours:f}", "h"),
        ],
        steps=steps,
        citation="common practice, no source",
    )


def _near(asked: WeeksAsked, placed: Placed) -> list[ShopWeek]:
    middle = placed.week if placed.week is not None else 0
    return list(asked.weeks[max(middle - 4, 0) : middle + 5])


def _told(asked: WeeksAsked, visit: Visit, week: ShopWeek) -> Step:
    price = week_price(asked, visit, week)
    said = "; ".join(price.why) or "nothing given up"
    return Step(f"week of {said_date(week.monday)}", said if not price.open else f"{price.cost:.0f}: {said}")


@dataclass(frozen=True, slots=True)
class Moved:
    """What comes of moving one visit: the new plan, how much dearer it is, and which others move."""

    plan: WeeksPlan
    dearer: float
    others: tuple[str, ...]


def if_moved(asked: WeeksAsked, plan: WeeksPlan, key: int, monday: date) -> Worked[Moved]:
    """What happens if a visit is put into another week and all others stay where they can.

    Raises Refused when that is no week of the plan, KeyError for a visit that isn't in it.
    """
    wanted = replace(plan.of(key).visit, pinned_on=monday)
    moved = replace(asked, visits=tuple(wanted if each.key == key else each for each in asked.visits))
    choices = open_weeks(moved)
    staying = {each.visit.key: each.week for each in plan.placed if each.visit.key != key}
    keen = {
        visit: {week: price - STAYS * (week == staying.get(visit)) for week, price in prices.items()}
        for visit, prices in choices.items()
    }
    placed = _in_bays(moved, keen, first_plan(moved, keen))
    after = WeeksPlan(tuple(placed), plan_cost(moved, choices, placed), None, False, 0.0)
    others = tuple(each.visit.title for each in placed if each.week != staying.get(each.visit.key, each.week))
    value = Moved(after, after.cost - plan.cost, others)
    return answer(
        value,
        f"{wanted.title} in the week of {said_date(monday)}",
        f"{value.dearer:+.0f}, {len(others)} others move",
        steps=[Step(name, "moves too") for name in others],
        assumptions=["All others stay in their weeks where there is room; a new plan may be better."],
    )
