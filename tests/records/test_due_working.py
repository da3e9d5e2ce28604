"""When an airplane's requirements are due, worked out from the facts on record."""

from __future__ import annotations

from datetime import date, timedelta
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from annual_planner.records.due_working import work_out
from annual_planner.store.due_facts import Fitted
from annual_planner.trade.periods import DuePoint, Interval, Logic, Point
from tests.due_facts import done, facts, need, read, stands

D = Decimal
TODAY = date(2026, 5, 4)
READ = (read(date(2026, 1, 4), "1500.0"), read(date(2026, 3, 1), "1540.0"), read(date(2026, 4, 1), "1560.0"))
ENGINE = {7: Fitted("engine", 1, D(1520), D(400))}


def test_an_annual_entered_without_its_hours_starts_the_hundred_at_those_last_read() -> None:
    known = facts(
        need("hundred_hour", number=1),
        need("annual", number=2),
        doings={1: [done(date(2026, 1, 4), "1500.0")], 2: [done(date(2026, 3, 9))]},
        readings=READ,
    )
    found = stands(known, TODAY)
    assert found.due.value.hours == D(1640)
    assert (
        "No hours written down for 9 Mar 2026: those last read by then, 1540.0 h."
        in found.due.working.assumptions[0]
    )
    assert found.last == Point(date(2026, 3, 9)), "what is on record is shown as it was written down"


def test_within_so_many_hours_of_a_day_counts_from_the_hours_read_by_that_day() -> None:
    once = Interval(hours=D(10), days=365, recurring=False)
    known = facts(need(interval=once, effective=Point(date(2026, 3, 1))), readings=READ)
    found = stands(known, TODAY)
    assert (found.due.value.hours, found.due.value.on) == (D(1550), date(2027, 3, 1))
    assert found.stands.state.value == "overdue"


def test_a_day_of_effect_still_to_come_has_no_hours_yet_and_is_looked_at_when_it_comes() -> None:
    effective = date(2026, 7, 1)
    once = Interval(hours=D(10), days=90, recurring=False)
    known = facts(need(interval=once, effective=Point(effective)), readings=READ)
    before = work_out(known, TODAY)
    assert before.needs[0].due.value == DuePoint(on=date(2026, 9, 29))
    assert any("hour limit isn't counted" in text for text in before.needs[0].due.working.assumptions)
    assert before.counts_until is not None
    assert before.counts_until <= effective
    assert stands(known, effective).due.value.hours == D(1570)


def test_hours_from_before_the_first_reading_or_the_fitting_are_not_guessed() -> None:
    every = Interval(hours=D(100))
    early = facts(need(interval=every), doings={1: [done(date(2025, 6, 1))]}, readings=READ)
    assert stands(early, TODAY).stands.state.value == "no record"
    elsewhere = facts(
        need(interval=every, assembly=7),
        doings={1: [done(date(2026, 1, 20))]},
        readings=READ,
        fitted=ENGINE,
    )
    assert stands(elsewhere, TODAY).due.value.hours is None
    here = facts(
        need(interval=every, assembly=7), doings={1: [done(date(2026, 3, 9))]}, readings=READ, fitted=ENGINE
    )
    assert stands(here, TODAY).due.value.hours == D(520), "420.0 h then, and a hundred more"


def test_what_counts_by_landings_alone_takes_those_counted_by_the_day_it_was_done() -> None:
    counted = ((date(2026, 1, 4), 2000), (date(2026, 3, 1), 2050), (date(2026, 4, 1), 2210))
    by_landings = Interval(cycles=150)
    known = facts(
        need(interval=by_landings), doings={1: [done(date(2026, 3, 5))]}, readings=READ, landings=counted
    )
    found = stands(known, TODAY)
    assert (found.due.value.cycles, found.cycles_left, found.stands.state.value) == (2200, -10, "overdue")
    assert found.stands.comes_first_on == TODAY, "no day is known on which they were passed"


def test_an_engines_cycles_are_not_the_airframes_landings() -> None:
    known = facts(
        need(interval=Interval(cycles=150), assembly=7, effective=Point(date(2026, 3, 1), cycles=90)),
        readings=READ,
        landings=((date(2026, 4, 1), 2210),),
        fitted=ENGINE,
    )
    found = stands(known, TODAY)
    assert (found.due.value.cycles, found.cycles_left) == (240, None)
    assert found.stands.state.value == "due soon", "not known, so to be looked at"


def test_an_hour_limit_is_foreseen_from_the_day_the_meter_was_last_read() -> None:
    known = facts(
        need(interval=Interval(hours=D(100))), doings={1: [done(date(2026, 1, 4), "1500.0")]}, readings=READ
    )
    foreseen = [stands(known, TODAY + timedelta(days=late)).forecast for late in (0, 40)]
    assert foreseen[0] is not None
    assert foreseen[0] == foreseen[1], "time passing without a reading puts nothing off"
    assert foreseen[0].value.on is not None
    assert (foreseen[0].value.on - READ[-1].on).days > 75, "40 h at about 10 h a month"


@pytest.mark.parametrize(
    ("issued", "expires"),
    [(date(2024, 2, 5), date(2031, 2, 28)), (date(2025, 2, 15), date(2032, 2, 28))],
)
def test_a_registration_counts_seven_years_from_the_end_of_the_month_of_issue(
    issued: date, expires: date
) -> None:
    known = facts(need("registration"), doings={1: [done(issued)]})
    found = stands(known, TODAY).due
    assert found.value.on == expires
    assert any("can be renewed" in step.text for step in found.working.steps)
    printed = facts(need("registration", fixed_on=date(2032, 2, 29)), doings={1: [done(issued)]})
    assert stands(printed, TODAY).due.value.on == date(2032, 2, 29), "the printed date governs"


days = st.dates(date(2024, 1, 1), date(2026, 5, 4))
hours = st.integers(1_000, 1_600).map(D)


@given(days, hours, st.integers(1, 200), st.integers(1, 36), st.sampled_from(Logic))
def test_whichever_first_is_overdue_by_one_limit_and_whichever_last_by_both(
    on: date, at: Decimal, every: int, months: int, logic: Logic
) -> None:
    interval = Interval(hours=D(every), calendar_months=months, logic=logic)
    known = facts(need(interval=interval), doings={1: [done(on, str(at))]}, readings=READ)
    found = stands(known, TODAY)
    past = [at + every < READ[-1].hours, found.due.value.on is not None and found.due.value.on < TODAY]
    overdue = any(past) if logic is Logic.FIRST else all(past)
    assert (found.stands.state.value == "overdue") == overdue


@given(st.lists(st.tuples(days, hours), min_size=1, max_size=5, unique_by=lambda each: each[0]))
def test_only_the_last_doing_counts_where_no_hours_are_carried_on(doings: list[tuple[date, Decimal]]) -> None:
    every = Interval(hours=D(50), calendar_months=12)
    rising = list(zip(sorted(on for on, _ in doings), sorted(at for _, at in doings), strict=True))
    all_of_them = facts(need(interval=every), doings={1: [done(on, str(at)) for on, at in rising]})
    the_last = facts(need(interval=every), doings={1: [done(rising[-1][0], str(rising[-1][1]))]})
    assert stands(all_of_them, TODAY).due.value == stands(the_last, TODAY).due.value
