"""Month arithmetic against python-dateutil's relativedelta and the calendar module of the standard library.

relativedelta is the reference: it keeps the day number or takes the month's last day. Calendar months end
with the month, as the agency's training handbook reads the term (14 CFR 1.1 has no entry for it).
"""

from __future__ import annotations

import calendar
from datetime import date

from dateutil.relativedelta import relativedelta
from hypothesis import example, given
from hypothesis import strategies as st

from annual_planner.trade.intervals import next_due
from annual_planner.trade.periods import Interval, Point, add_calendar_months, add_months, end_of_month
from tests.due_facts import TEMPLATES

days = st.dates(date(1200, 1, 1), date(8800, 12, 31))
any_months = st.integers(-13_000, 13_000)
interval_months = st.integers(1, 1200)


@given(days, any_months)
@example(date(2000, 2, 29), 12)
@example(date(1900, 1, 31), 1)
@example(date(2100, 3, 31), -1)
@example(date(2026, 12, 31), 2)
def test_plain_months_are_the_reference_librarys(day: date, months: int) -> None:
    assert add_months(day, months) == day + relativedelta(months=months)


@given(days)
def test_the_end_of_the_month_is_the_reference_librarys_and_the_calendars(day: date) -> None:
    assert end_of_month(day) == day + relativedelta(day=31)
    assert end_of_month(day).day == calendar.monthrange(day.year, day.month)[1]


@given(days, any_months)
@example(date(2027, 2, 28), 12)
@example(date(2026, 1, 31), 1)
def test_calendar_months_are_the_reference_librarys_then_to_the_months_end(day: date, months: int) -> None:
    assert add_calendar_months(day, months) == day + relativedelta(months=months, day=31)


@given(days, interval_months)
def test_next_due_by_plain_months_is_the_reference_librarys_day(done: date, months: int) -> None:
    assert next_due(Interval(months=months), Point(on=done)).value.on == done + relativedelta(months=months)


@given(days, interval_months)
def test_next_due_by_calendar_months_is_the_reference_librarys_day(done: date, months: int) -> None:
    due = next_due(Interval(calendar_months=months), Point(on=done)).value
    assert due.on == done + relativedelta(months=months, day=31)


@given(days, st.integers(1, 36_525))
def test_next_due_by_days_is_counted_on_the_calendar(done: date, number: int) -> None:
    due = next_due(Interval(days=number), Point(on=done)).value.on
    assert due is not None
    assert due.toordinal() - done.toordinal() == number


@given(days)
def test_the_annual_runs_to_the_end_of_the_same_month_next_year(done: date) -> None:
    due = next_due(TEMPLATES["annual"].interval, Point(on=done)).value.on
    assert due == date(done.year + 1, done.month, calendar.monthrange(done.year + 1, done.month)[1])
