"""Public holidays of two other countries against what their laws say.

Bavaria (Germany): Feiertagsgesetz (FTG) of 21 May 1980, Art. 1(1) no. 1, the list for the whole state, as
last amended on 26 March 2019 (gesetze.io/gesetze/by/ftg/1); feast days count from Easter Sunday.
England and Wales: Banking and Financial Dealings Act 1971 (c. 80), Schedule 1 paragraph 1
(legislation.gov.uk). Scotland: paragraph 2 of the same Schedule, as others quote it, with the day that the
St Andrew's Day Bank Holiday (Scotland) Act 2007 (asp 2) adds (legislation.gov.uk). Days that a proclamation
adds or moves in a year are not in the Schedule: only that its own days are kept is checked. Easter is
dateutil's.
"""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from dateutil.easter import easter

from annual_planner.library.public_holidays import public_holidays
from annual_planner.trade.shop_floor import HolidaysOf

YEARS = range(2023, 2041)
MONDAY, SATURDAY, SUNDAY = 0, 5, 6


def kept(of: HolidaysOf, year: int) -> set[date]:
    return set(public_holidays(of, date(year, 1, 1), date(year, 12, 31)))


def first_monday(year: int, month: int) -> date:
    return next(day for n in range(1, 8) if (day := date(year, month, n)).weekday() == MONDAY)


def last_monday(year: int, month: int) -> date:
    return next(day for n in range(31, 24, -1) if (day := date(year, month, n)).weekday() == MONDAY)


@pytest.mark.parametrize("year", YEARS)
def test_bavaria_keeps_the_days_its_law_names_and_no_others(year: int) -> None:
    sunday = easter(year)
    fixed = {date(year, *day) for day in ((1, 1), (1, 6), (5, 1), (10, 3), (11, 1), (12, 25), (12, 26))}
    # Good Friday, Easter Monday, Ascension, Whit Monday, Corpus Christi
    movable = {sunday + timedelta(days=days) for days in (-2, 1, 39, 50, 60)}
    assert kept(HolidaysOf("DE", "BY"), year) == fixed | movable


@pytest.mark.parametrize("year", YEARS)
def test_what_only_bavaria_keeps_isnt_kept_in_all_of_germany(year: int) -> None:
    bavarian = {date(year, 1, 6), date(year, 11, 1), easter(year) + timedelta(days=60)}
    assert kept(HolidaysOf("DE", "BY"), year) - kept(HolidaysOf("DE"), year) == bavarian


@pytest.mark.parametrize("year", YEARS)
def test_england_and_wales_keep_the_days_of_the_schedule(year: int) -> None:
    christmas, boxing = date(year, 12, 25), date(year, 12, 26)
    days = {easter(year) + timedelta(days=1), last_monday(year, 5), last_monday(year, 8)}
    if boxing.weekday() != SUNDAY:
        days.add(boxing)
    if SUNDAY in (christmas.weekday(), boxing.weekday()):
        days.add(date(year, 12, 27))
    assert days <= kept(HolidaysOf("GB", "ENG"), year)
    assert days <= kept(HolidaysOf("GB", "WLS"), year)


@pytest.mark.parametrize("year", YEARS)
def test_scotland_keeps_other_days_by_the_same_schedule(year: int) -> None:
    new_year, second, christmas = date(year, 1, 1), date(year, 1, 2), date(year, 12, 25)
    andrew = date(year, 11, 30)
    if andrew.weekday() in (SATURDAY, SUNDAY):
        andrew += timedelta(days=7 - andrew.weekday())
    days = {
        date(year, 1, 3) if new_year.weekday() == SUNDAY else new_year,
        date(year, 1, 3) if second.weekday() == SUNDAY else second,
        easter(year) - timedelta(days=2),
        first_monday(year, 5),
        first_monday(year, 8),
        andrew,
        date(year, 12, 26) if christmas.weekday() == SUNDAY else christmas,
    }
    scotland = kept(HolidaysOf("GB", "SCT"), year)
    assert days <= scotland
    assert easter(year) + timedelta(days=1) not in scotland
    assert last_monday(year, 8) not in scotland
