"""What is typed into a field is read freely, and refused rather than guessed at."""

from datetime import date, datetime, time, timedelta
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from annual_planner.desktop.typed import read_count, read_day, read_decimal, read_moment, said_day
from annual_planner.trade.refused import Refused

pytestmark = pytest.mark.desktop
TODAY = date(2026, 5, 4)
days = st.dates(date(1950, 1, 1), date(2090, 12, 31))


@pytest.mark.parametrize(
    ("typed", "day"),
    [
        ("t", TODAY),
        ("Today", TODAY),
        ("+7", date(2026, 5, 11)),
        ("t - 4", date(2026, 4, 30)),
        ("eom", date(2026, 5, 31)),
        ("3 Apr", date(2026, 4, 3)),
        ("apr 3", date(2026, 4, 3)),
        ("3 April 2025", date(2025, 4, 3)),
        ("3.4.", date(2026, 4, 3)),
        ("3.4.2024", date(2024, 4, 3)),
        ("4/3/2026", date(2026, 4, 3)),
        ("2026-04-03", date(2026, 4, 3)),
        ("20 Dec", date(2025, 12, 20)),
    ],
)
def test_days_are_read_as_people_write_them(typed: str, day: date) -> None:
    assert read_day(typed, TODAY) == day


@given(day=days)
def test_a_day_said_back_is_read_as_the_same_day(day: date) -> None:
    assert read_day(day.isoformat(), TODAY) == day
    assert read_day(said_day(day).split(" ", 1)[1], TODAY) == day


@given(day=days, today=days)
def test_a_day_without_a_year_is_never_more_than_half_a_year_off(day: date, today: date) -> None:
    if (day.month, day.day) == (2, 29):
        return
    assert abs(read_day(f"{day.day} {day:%b}", today) - today) <= timedelta(days=184)


@pytest.mark.parametrize("typed", ["", "soon", "31 Feb", "2026-13-01", "3 Foo", "12", "t+", "+999999"])
def test_what_is_no_day_is_refused_with_the_ways_to_type_one(typed: str) -> None:
    with pytest.raises(Refused) as refused:
        read_day(typed, TODAY)
    assert "today" in refused.value.remedy


@pytest.mark.parametrize(
    ("typed", "hours"),
    [("1234.5", "1234.5"), ("1234,5", "1234.5"), ("1,234.5", "1234.5"), (" 12 h", "12"), (".5", "0.5")],
)
def test_hours_take_a_point_or_a_comma(typed: str, hours: str) -> None:
    assert read_decimal(typed) == Decimal(hours)


@pytest.mark.parametrize("typed", ["1,234", "12:30", "-3", "", "1e3", "١٢"])
def test_hours_that_can_be_read_two_ways_or_none_are_refused(typed: str) -> None:
    with pytest.raises(Refused):
        read_decimal(typed)


@given(number=st.decimals(0, 99999, places=1))
def test_hours_written_with_either_separator_mean_the_same(number: Decimal) -> None:
    assert read_decimal(f"{number:.1f}") == number
    assert read_decimal(f"{number:.1f}".replace(".", ",")) == number


def test_a_count_is_whole() -> None:
    assert read_count(" 12 ", "wheels") == 12
    with pytest.raises(Refused):
        read_count("1.5", "wheels")


def test_a_moment_is_a_day_and_a_time_or_today_s_time() -> None:
    assert read_moment("4 May 14:05", TODAY) == datetime(2026, 5, 4, 14, 5).astimezone()
    assert read_moment(" 7:30 ", TODAY) == datetime.combine(TODAY, time(7, 30)).astimezone()
    for wrong in ("", "4 May", "24:00", "4 May 12:60", "yesterday 12:00"):
        with pytest.raises(Refused):
            read_moment(wrong, TODAY)
