"""Trying a visit in another week: what it costs, who moves with it and what speaks against it."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date

from annual_planner.planning.shop_weeks.kept import against
from annual_planner.planning.shop_weeks.placing import Moved, if_moved
from annual_planner.planning.shop_weeks.visits import Placed, Visit, WeeksAsked, WeeksPlan
from annual_planner.trade.working import Step, Worked


@dataclass(frozen=True, slots=True)
class Shift:
    """An airplane that another one's move takes along; None: no week."""

    title: str
    was_on: date | None
    now_on: date | None


@dataclass(frozen=True, slots=True)
class Tried:
    """A visit tried in a week. `dearer`: what it adds to the price; None for one that had no place before."""

    visit: Visit
    was_on: date | None
    monday: date
    moved: Worked[Moved]
    dearer: float | None
    against: tuple[str, ...]
    shifts: tuple[Shift, ...]

    @property
    def plan(self) -> WeeksPlan:
        """The plan as it would be."""
        return self.moved.value.plan

    @property
    def fits(self) -> bool:
        """A bay is free for it."""
        return self.plan.of(self.visit.key).first_on is not None


def try_move(asked: WeeksAsked, plan: WeeksPlan, key: int, monday: date) -> Tried:
    """Try it among the visits that have a week; all others stay where they can.

    Raises Refused for a week that isn't planned, KeyError for a visit that isn't in the plan.
    """
    there = tuple(each for each in plan.placed if each.week is not None or each.visit.key == key)
    small = replace(asked, visits=tuple(each.visit for each in there))
    moved = if_moved(small, replace(plan, placed=there), key, monday)
    before, was = {each.visit.key: each for each in there}, plan.of(key)
    shifts = tuple(
        Shift(each.visit.title, was_on, now_on)
        for each in moved.value.plan.placed
        if each.visit.key != key
        and (was_on := _monday(asked, before[each.visit.key])) != (now_on := _monday(asked, each))
    )
    told = against(asked, was.visit, monday)
    had_place = was.week is not None and was.first_on is not None
    working = replace(moved.working, steps=(*(Step(each) for each in told), *moved.working.steps))
    return Tried(
        visit=was.visit,
        was_on=_monday(asked, was),
        monday=monday,
        moved=Worked(moved.value, working),
        dearer=moved.value.dearer if had_place else None,
        against=told,
        shifts=shifts,
    )


def _monday(asked: WeeksAsked, placed: Placed) -> date | None:
    return None if placed.week is None else asked.weeks[placed.week].monday
