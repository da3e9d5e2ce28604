"""How a requirement stands holds until the day it says it looks again."""

from __future__ import annotations

from datetime import date, timedelta
from decimal import Decimal

from hypothesis import given, settings
from hypothesis import strategies as st

from annual_planner.records.due_on_day import OnDay, on_day
from annual_planner.trade.periods import DuePoint, Force, Logic, Point
from tests.fleets import TODAY

DAYS_AHEAD = 100
days_off = st.integers(-80, 80).map(lambda days: TODAY + timedelta(days=days))
hours_left = st.sampled_from((Decimal(-5), Decimal(5), Decimal(30)))
cycles_left = st.sampled_from((-1, 5, 50))


def seen(stands: OnDay) -> tuple[object, ...]:
    return stands.state.value, stands.past_advice, stands.first_limit, stands.comes_first_on


@settings(max_examples=300)
@given(
    due_on=st.one_of(st.none(), days_off),
    due_hours=st.sampled_from((None, Decimal(100))),
    due_cycles=st.sampled_from((None, 100)),
    hours_left=st.one_of(hours_left, st.none()),
    cycles_left=st.one_of(cycles_left, st.none()),
    logic=st.sampled_from(Logic),
    force=st.sampled_from((Force.RULE, Force.RECOMMENDED)),
    foreseen_on=st.one_of(days_off, st.none()),
)
def test_until_the_day_it_looks_again_it_stands_as_it_did(
    due_on: date | None,
    due_hours: Decimal | None,
    due_cycles: int | None,
    hours_left: Decimal | None,
    cycles_left: int | None,
    logic: Logic,
    force: Force,
    foreseen_on: date | None,
) -> None:
    due = DuePoint(due_on, due_hours, due_cycles, logic)
    hours = Decimal(100) - hours_left if hours_left is not None else None
    cycles = 100 - cycles_left if cycles_left is not None else None
    known = due_hours is not None and hours_left is not None
    foreseen = foreseen_on if known else None
    passed_on = TODAY - timedelta(days=20) if known and hours_left == -5 else None

    def on(day: date) -> OnDay:
        return on_day(due, Point(day, hours, cycles), force, foreseen, passed_on)

    stands = on(TODAY)
    for days in range(1, DAYS_AHEAD):
        day = TODAY + timedelta(days=days)
        if day == stands.looks_again_on:
            break
        assert seen(on(day)) == seen(stands), day


def test_what_has_ended_and_what_has_no_limit_never_look_again() -> None:
    for due in (DuePoint(ended="done once"), DuePoint()):
        assert on_day(due, Point(TODAY, Decimal(10)), Force.RULE, None, None).looks_again_on is None


def test_an_annual_is_looked_at_when_it_comes_near_and_when_it_has_passed() -> None:
    due, day, looked = DuePoint(on=date(2027, 4, 30)), TODAY, []
    while (again := on_day(due, Point(day), Force.RULE, None, None).looks_again_on) is not None:
        day = again
        looked.append(day)
    assert looked == [date(2027, 3, 1), date(2027, 5, 1)]
