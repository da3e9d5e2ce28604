"""How a requirement stands, and what readings tell, holds until the day it says it looks again."""

from __future__ import annotations

from datetime import date, timedelta
from decimal import Decimal
from itertools import accumulate

from hypothesis import given, settings
from hypothesis import strategies as st

from annual_planner.records.due_on_day import OnDay, on_day
from annual_planner.records.due_working import AircraftDue, work_out
from annual_planner.store.due_facts import DueFacts
from annual_planner.trade.periods import DuePoint, Force, Logic, Point
from annual_planner.trade.usage import Reading
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


def flown(days_between: list[int], ends_on: date, stated: Decimal | None = None) -> DueFacts:
    """An airplane read at these distances, flown unevenly; nothing is required of it."""
    first_on = ends_on - timedelta(days=sum(days_between))
    at = [first_on + timedelta(days=days) for days in accumulate(days_between, initial=0)]
    hours = accumulate((Decimal(days * 7 % 5) / 2 for days in days_between), initial=Decimal(1000))
    readings = tuple(Reading(on, each) for on, each in zip(at, hours, strict=True))
    return DueFacts(1, "N012AP", stated, readings, (), (), {}, {})


def told(worked: AircraftDue) -> tuple[object, ...]:
    return worked.usage.value, worked.now.hours, worked.read_on


@settings(max_examples=150)
@given(
    days_between=st.one_of(
        st.lists(st.integers(1, 9), min_size=90, max_size=180), st.lists(st.integers(1, 200), max_size=40)
    ),
    ends=st.integers(-400, 20),
    stated=st.sampled_from((None, Decimal(10))),
)
def test_until_the_day_they_are_looked_at_again_readings_tell_the_same(
    days_between: list[int], ends: int, stated: Decimal | None
) -> None:
    facts = flown(days_between, TODAY + timedelta(days=ends), stated)
    worked = work_out(facts, TODAY)
    for days in range(1, 50):
        day = TODAY + timedelta(days=days)
        if day == worked.counts_until:
            break
        assert told(work_out(facts, day)) == told(worked), day


def test_an_airplane_read_every_day_is_worked_out_anew_once_a_month() -> None:
    facts, day, looked = flown([1] * 800, TODAY), TODAY, []
    while (again := work_out(facts, day).counts_until) is not None and again < date(2026, 9, 1):
        day = again
        looked.append(day)
    assert looked == [date(2026, 6, 3), date(2026, 7, 3), date(2026, 8, 3)]
