from __future__ import annotations

import calendar
from datetime import date, timedelta
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from annual_planner.trade.intervals import next_due
from annual_planner.trade.periods import (
    DuePoint,
    DueState,
    Force,
    Interval,
    Logic,
    Point,
    add_calendar_months,
    add_months,
    due_text,
    end_of_month,
    interval_text,
)
from annual_planner.trade.standing import due_state, hours_left, limits_first, limits_passed
from annual_planner.trade.working import as_lines

D = Decimal
days = st.dates(date(1990, 1, 1), date(2090, 12, 31))
tenths = st.integers(0, 200_000).map(lambda n: D(n) / 10)
intervals_h = st.integers(1, 30_000).map(lambda n: D(n) / 10)
HUNDRED = Interval(hours=D(100), enroute_excess_hours=D(10))
BOTH = Interval(hours=D(50), months=12)


@given(days, st.integers(-400, 400))
def test_months_keep_the_day_number_or_take_the_months_last_day(day: date, months: int) -> None:
    later = add_months(day, months)
    assert (later.year * 12 + later.month) - (day.year * 12 + day.month) == months
    assert later.day == min(day.day, calendar.monthrange(later.year, later.month)[1])


@given(days, st.integers(0, 400))
def test_calendar_months_end_with_the_month_whatever_the_day(day: date, months: int) -> None:
    last = add_calendar_months(day, months)
    assert (last + timedelta(days=1)).day == 1
    assert last == add_calendar_months(day.replace(day=1), months)
    assert last >= add_months(day, months)


@given(days)
def test_the_end_of_the_month_is_in_the_month_and_no_day_follows_it(day: date) -> None:
    assert day <= end_of_month(day)
    assert (end_of_month(day) + timedelta(days=1)).month != day.month


@pytest.mark.parametrize(
    "fields",
    [
        {},
        {"hours": D(-1)},
        {"hours": D("NaN")},
        {"hours": D("Infinity")},
        {"cycles": -5},
        {"hours": D(0)},
        {"months": 0},
        {"months": 12, "calendar_months": 12},
        {"days": 30, "months": 1},
        {"months": 12, "enroute_excess_hours": D(10)},
        {"hours": D(100), "enroute_excess_hours": D(-1)},
        {"recurring": False},
        {"hours": D(100_001)},
        {"cycles": 1_000_001},
        {"calendar_months": 1201},
        {"months": 1201},
        {"days": 36_526},
        {"hours": D(100), "enroute_excess_hours": D(100_001)},
    ],
)
def test_an_interval_that_says_nothing_or_nonsense_is_an_error(fields: dict[str, object]) -> None:
    with pytest.raises(ValueError, match=r"interval|hours may be passed"):
        Interval(**fields)  # type: ignore[arg-type]  # wrong values are the point


def test_before_further_flight_is_zero_hours_done_once() -> None:
    due = next_due(Interval(hours=D(0), recurring=False), None, effective=Point(hours=D("733.4"))).value
    assert due_state(due, Point(hours=D("733.4"))).value is not DueState.OVERDUE
    assert due_state(due, Point(hours=D("733.5"))).value is DueState.OVERDUE


@given(tenths, intervals_h, tenths)
def test_early_or_on_time_counts_from_the_doing(done: Decimal, interval: Decimal, unused: Decimal) -> None:
    due = next_due(
        Interval(hours=interval), Point(hours=done), previous_due=DuePoint(hours=done + unused)
    ).value
    assert due.hours == done + interval


@given(tenths, st.integers(0, 100).map(lambda n: D(n) / 10))
def test_hours_flown_on_the_way_come_off_the_next_hundred(previous: Decimal, excess: Decimal) -> None:
    due = next_due(
        HUNDRED, Point(hours=previous + excess), previous_due=DuePoint(hours=previous), enroute=True
    ).value
    assert due.hours == previous + 100


def test_a_tenth_beyond_the_allowance_is_counted_the_cautious_way_and_said_so() -> None:
    previous = DuePoint(hours=D(1000))
    worked = next_due(HUNDRED, Point(hours=D("1010.1")), previous_due=previous, enroute=True)
    assert worked.value.hours == D("1100")
    assert any("silent" in text for text in worked.working.assumptions)


@pytest.mark.parametrize("excess", ["0.1", "10.0"])
def test_the_allowance_on_the_way_is_the_rules_own_count_and_no_guess(excess: str) -> None:
    previous, late = DuePoint(hours=D(1000)), Point(hours=D(1000) + D(excess))
    for cautious in (True, False):
        worked = next_due(HUNDRED, late, previous_due=previous, enroute=True, cautious=cautious)
        assert worked.value.hours == D(1100)
        assert not worked.working.assumptions
        assert any("flown on the way to the inspection come off" in s.text for s in worked.working.steps)


def test_an_overrun_under_hire_can_be_set_to_count_from_the_doing() -> None:
    previous = DuePoint(hours=D(1000))
    done = Point(hours=D(1003))
    cautious = next_due(HUNDRED, done, previous_due=previous, ordinary_overrun=True)
    lenient = next_due(HUNDRED, done, previous_due=previous, ordinary_overrun=True, cautious=False)
    assert (cautious.value.hours, lenient.value.hours) == (D(1100), D(1103))
    assert cautious.working.assumptions
    assert lenient.working.assumptions


def test_a_directive_has_no_allowance_and_lateness_is_not_deducted() -> None:
    late = next_due(
        Interval(hours=D(50)), Point(hours=D(870)), previous_due=DuePoint(hours=D(862)), enroute=True
    )
    assert late.value.hours == D(920)


def test_without_a_doing_it_counts_from_the_effective_date() -> None:
    worked = next_due(BOTH, None, effective=Point(date(2026, 10, 1), D("733.4")))
    assert (worked.value.on, worked.value.hours) == (date(2027, 10, 1), D("783.4"))


def test_an_allowance_on_the_way_never_bends_a_first_count() -> None:
    worked = next_due(
        HUNDRED, None, effective=Point(hours=D(1005)), previous_due=DuePoint(hours=D(1000)), enroute=True
    )
    assert worked.value.hours == D(1105)


def test_with_nothing_recorded_there_is_no_due_point_and_the_state_says_so() -> None:
    due = next_due(BOTH, None).value
    assert due == DuePoint()
    assert due_state(due, Point(date(2026, 1, 1), D(1))).value is DueState.NEVER_DONE


@pytest.mark.parametrize("ways", [{"terminated": True}, {"interval": "once"}])
def test_what_is_terminated_or_done_once_has_ended_and_stays_on_the_list(ways: dict[str, object]) -> None:
    once = Interval(hours=D(10), recurring=False)
    interval = once if "interval" in ways else BOTH
    worked = next_due(interval, Point(date(2026, 1, 1), D(5)), terminated="terminated" in ways)
    assert worked.value.ended
    assert due_state(worked.value, Point(date(2099, 1, 1), D(9999))).value is DueState.ENDED
    assert any("stays" in step.text for step in worked.working.steps)


def test_what_is_asked_once_and_not_done_is_still_due() -> None:
    worked = next_due(Interval(hours=D(10), recurring=False), None, effective=Point(hours=D(5)))
    assert worked.value.hours == D(15)


def test_a_marked_date_stands_as_it_is_beside_the_counted_hours() -> None:
    marked = date(2028, 11, 30)
    worked = next_due(Interval(hours=D(1), months=36), Point(date(2024, 1, 1), D(0)), fixed_on=marked)
    assert (worked.value.on, worked.value.hours) == (marked, D(1))
    assert next_due(None, None, fixed_on=marked).value == DuePoint(on=marked)


def test_neither_an_interval_nor_a_marked_date_is_an_error() -> None:
    with pytest.raises(ValueError, match="interval or a fixed date"):
        next_due(None, None)


def test_unknown_hours_leave_their_limit_out_and_say_so() -> None:
    worked = next_due(BOTH, Point(on=date(2026, 1, 31)))
    assert worked.value.hours is None
    assert worked.value.on == date(2027, 1, 31)
    assert "hour limit isn't counted" in worked.working.assumptions[0]


def test_an_unknown_date_or_cycles_leave_their_limits_out_and_say_so() -> None:
    worked = next_due(Interval(days=30, cycles=200, hours=D(5)), Point(hours=D(10)))
    assert worked.value == DuePoint(hours=D(15))
    assert len(worked.working.assumptions) == 2


def test_when_no_limit_can_be_counted_there_is_no_record() -> None:
    due = next_due(Interval(hours=D(100)), Point(on=date(2026, 1, 1))).value
    assert due_state(due, Point(date(2026, 1, 1), D(1))).value is DueState.NEVER_DONE


def test_days_and_cycles_are_counted_too() -> None:
    worked = next_due(Interval(days=30, cycles=200), Point(date(2026, 11, 10), cycles=1000))
    assert (worked.value.on, worked.value.cycles) == (date(2026, 12, 10), 1200)


@given(tenths, intervals_h)
def test_exactly_at_the_limit_is_legal_and_a_tenth_more_is_not(done: Decimal, interval: Decimal) -> None:
    due = next_due(Interval(hours=interval), Point(hours=done)).value
    assert due.hours is not None
    assert due_state(due, Point(hours=due.hours)).value is not DueState.OVERDUE
    assert due_state(due, Point(hours=due.hours + D("0.1"))).value is DueState.OVERDUE


@given(days, st.integers(1, 60))
def test_the_last_legal_day_is_legal_and_the_next_is_not(done: date, months: int) -> None:
    due = next_due(Interval(calendar_months=months), Point(on=done)).value
    assert due.on is not None
    assert due_state(due, Point(on=due.on)).value is not DueState.OVERDUE
    assert due_state(due, Point(on=due.on + timedelta(days=1))).value is DueState.OVERDUE


@given(days, tenths, days, tenths)
def test_first_is_overdue_when_one_limit_passed_last_when_both_did(
    due_on: date, due_hours: Decimal, now_on: date, now_hours: Decimal
) -> None:
    now = Point(now_on, now_hours)
    first = due_state(DuePoint(due_on, due_hours), now).value is DueState.OVERDUE
    last = due_state(DuePoint(due_on, due_hours, logic=Logic.LAST), now).value is DueState.OVERDUE
    assert first == (now_on > due_on or now_hours > due_hours)
    assert last == (now_on > due_on and now_hours > due_hours)


def test_hours_are_due_soon_when_the_day_they_are_expected_on_is() -> None:
    due, now = DuePoint(hours=D(1000)), Point(date(2026, 5, 1), D(940))
    assert due_state(due, now).value is DueState.OK
    assert due_state(due, now, expected_on=date(2026, 7, 1)).value is DueState.OK
    soon = due_state(due, now, expected_on=date(2026, 6, 30))
    assert soon.value is DueState.DUE_SOON
    assert "expected about 30 Jun 2026, in 60 days" in soon.working.steps[0].result
    both = DuePoint(date(2027, 5, 1), D(1000), logic=Logic.LAST)
    assert due_state(both, now, expected_on=date(2026, 6, 30)).value is DueState.OK


def test_soon_is_within_the_days_or_hours_given() -> None:
    due = DuePoint(date(2026, 6, 30), D(1000))
    far = Point(date(2026, 5, 1), D(990))
    assert due_state(due, far, soon_days=59, soon_hours=D(9)).value is DueState.OK
    assert due_state(due, far, soon_days=60, soon_hours=D(9)).value is DueState.DUE_SOON
    assert due_state(due, far, soon_days=59, soon_hours=D(10)).value is DueState.DUE_SOON


def test_whichever_last_is_soon_only_when_no_limit_is_far() -> None:
    due = DuePoint(date(2026, 6, 30), D(1000), logic=Logic.LAST)
    assert due_state(due, Point(date(2026, 7, 9), D(900))).value is DueState.OK
    assert due_state(due, Point(date(2026, 7, 9), D(995))).value is DueState.DUE_SOON


def test_an_unknown_present_value_is_left_out_or_under_last_taken_as_passed() -> None:
    now = Point(on=date(2026, 7, 1))
    first = due_state(DuePoint(date(2026, 12, 31), D(1000)), now)
    last = due_state(DuePoint(date(2026, 6, 30), D(1000), logic=Logic.LAST), now)
    assert (first.value, last.value) == (DueState.OK, DueState.OVERDUE)
    assert "left out" in first.working.assumptions[0]
    assert "taken as passed" in last.working.assumptions[0]


@pytest.mark.parametrize("logic", list(Logic))
def test_with_no_present_value_at_all_it_is_neither_overdue_nor_in_date(logic: Logic) -> None:
    worked = due_state(DuePoint(hours=D(1000), logic=logic), Point())
    assert worked.value is DueState.DUE_SOON
    assert "to be looked at" in worked.working.assumptions[0]


def test_a_passed_recommendation_is_not_called_unlawful() -> None:
    due, now = DuePoint(hours=D(100)), Point(hours=D(101))
    advised = as_lines(due_state(due, now, force=Force.RECOMMENDED).working)
    bound = as_lines(due_state(due, now, force=Force.LIMITATION).working)
    assert any("not unlawful" in line for line in advised)
    assert any("not to be flown" in line for line in bound)


def test_limits_passed_names_each() -> None:
    due = DuePoint(date(2026, 6, 30), D(1000), 50)
    assert limits_passed(due, Point(date(2026, 7, 1), D(1000), 51)) == ("date", "cycles")


@pytest.mark.parametrize(
    ("logic", "forecast_on", "governs"),
    [
        (Logic.FIRST, date(2026, 6, 29), "hours"),
        (Logic.FIRST, date(2026, 6, 30), "date"),
        (Logic.FIRST, None, "date"),
        (Logic.LAST, date(2026, 6, 29), "date"),
        (Logic.LAST, date(2026, 7, 1), "hours"),
        (Logic.LAST, None, "hours"),
    ],
)
def test_the_governing_limit_goes_by_the_forecast(
    logic: Logic, forecast_on: date | None, governs: str
) -> None:
    due = DuePoint(date(2026, 6, 30), D(1000), logic=logic)
    assert limits_first(due, Point(date(2026, 1, 1), D(900)), forecast_on) == governs


def test_passed_hours_govern_before_a_date_still_to_come() -> None:
    due = DuePoint(date(2026, 6, 30), D(1000))
    assert limits_first(due, Point(date(2026, 1, 1), D("1000.1")), None) == "hours"


def test_a_lone_limit_governs_and_an_ended_one_does_not() -> None:
    assert limits_first(DuePoint(hours=D(5)), Point(), None) == "hours"
    assert limits_first(DuePoint(cycles=5), Point(), None) == "cycles"
    assert limits_first(DuePoint(), Point(), None) == ""
    assert limits_first(DuePoint(ended="terminated"), Point(), None) == ""


def test_hours_left_goes_below_zero_past_the_limit() -> None:
    assert hours_left(DuePoint(hours=D("100.0")), Point(hours=D("100.5"))) == D("-0.5")
    assert hours_left(DuePoint(on=date(2026, 1, 1)), Point(hours=D(1))) is None


@given(tenths, days)
def test_a_due_points_working_names_its_limits(hours: Decimal, on: date) -> None:
    worked = next_due(BOTH, Point(on, hours), title="Grease the hinge", citation="maker's manual")
    assert worked.working.title == "Grease the hinge"
    assert worked.working.result == due_text(worked.value)
    assert f"{hours + 50:f} h" in worked.working.result
    assert worked.working.rules[0].citation == "maker's manual"


def test_an_interval_in_words() -> None:
    assert interval_text(Interval(hours=D(10), recurring=False)) == "once within 10 h"
    assert interval_text(Interval(calendar_months=24)) == "24 calendar months"
    last = Interval(hours=D(50), days=90, logic=Logic.LAST)
    assert interval_text(last) == "50 h or 90 days, whichever last"
