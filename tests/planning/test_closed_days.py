"""Closed days: one answer for laying out and for the shop's weeks, each with its reason."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, datetime
from pathlib import Path

import pytest

from annual_planner.library.shelf import Library
from annual_planner.planning.card_jobs import Asked, asked_of_package
from annual_planner.planning.crew.binding import binding
from annual_planner.planning.crew.open_time import ClosedDay, weekly
from annual_planner.planning.crew.problem import After, Job, Person, Problem, Seat
from annual_planner.planning.crew.solve import lay_out
from annual_planner.planning.open_hours import closed_days, minutes_of, shop_hours
from annual_planner.planning.packages import BuildPackage
from annual_planner.planning.shop_weeks.prices import week_price
from annual_planner.planning.shop_weeks.stored import weeks_from_fleet
from annual_planner.planning.shop_weeks.visits import WeeksAsked
from annual_planner.records.apply import apply
from annual_planner.records.public_holidays import SetPublicHolidays
from annual_planner.records.shop import AddDaysOff
from annual_planner.store.fleet_reads import find_aircraft
from annual_planner.store.opening import open_fleet
from annual_planner.store.session import Fleet
from annual_planner.store.shop_reads import DaysOff, OpenStretch, Shop, shop
from annual_planner.trade.shop_floor import HolidaysOf
from demo_fleet.loader import DEMO_TODAY
from tests.planning.crew.annuals import DAY, MONDAY

WHO = "a test"
US, BAVARIA, NONE = HolidaysOf(), HolidaysOf("DE", "BY"), HolidaysOf("")
MEMORIAL_DAY, CORPUS_CHRISTI = date(2026, 5, 25), date(2026, 6, 4)
FIRST, LAST = date(2026, 5, 18), date(2026, 6, 14)


@pytest.fixture
def fleet(own_sample: Path) -> Iterator[Fleet]:
    with open_fleet(own_sample) as opened:
        yield opened


def weeks(fleet: Fleet) -> WeeksAsked:
    with fleet.reading() as work:
        return weeks_from_fleet(work, DEMO_TODAY).asked


def question(fleet: Fleet, library: Library, start: date) -> Asked:
    with fleet.reading() as work:
        plane = find_aircraft(work, "N012MH")
    package = apply(fleet, BuildPackage(plane, start, "Annual", library), WHO, DEMO_TODAY).made_id
    assert package is not None
    with fleet.reading() as work:
        return asked_of_package(work, package, library, datetime(start.year, start.month, start.day))  # noqa: DTZ001


def test_closed_days_are_holidays_and_the_shops_own_with_all_that_is_said_of_a_day() -> None:
    nine_to_five = tuple(OpenStretch(None, day, 540, 1020) for day in range(5))
    own = OpenStretch(1, 5, 540, 780)
    off = (
        DaysOff(1, None, date(2026, 5, 22), date(2026, 5, 25), "floor is painted"),
        DaysOff(2, None, date(2026, 6, 5), date(2026, 6, 5), ""),
        DaysOff(3, 1, date(2026, 5, 30), date(2026, 5, 30), "away"),
    )
    place = Shop((*nine_to_five, own), off, (), US)
    assert [day.said for day in closed_days(place, FIRST, LAST)] == [
        "Fri 22 May (floor is painted)",
        "Sat 23 May (floor is painted)",
        "Sun 24 May (floor is painted)",
        "Mon 25 May (Memorial Day; floor is painted)",
        "Fri 5 Jun",
    ]
    assert len(shop_hours(place, FIRST, LAST).minutes_by_day()) == 20 - 3
    assert minutes_of(place, 1, FIRST, LAST) == {date(2026, 6, 6): 240, date(2026, 6, 13): 240}
    assert minutes_of(place, 2, FIRST, LAST) == shop_hours(place, FIRST, LAST).minutes_by_day()


def test_hours_through_midnight_count_on_both_days() -> None:
    through = (OpenStretch(None, 0, 20 * 60, 24 * 60), OpenStretch(None, 1, 0, 60))
    place = Shop(through, (), (), NONE)
    assert shop_hours(place, date(2026, 5, 18), date(2026, 5, 24)).minutes_by_day() == {
        date(2026, 5, 18): 240,
        date(2026, 5, 19): 60,
    }


def test_another_country_closes_other_days_in_the_weeks_and_where_work_is_laid_out(
    fleet: Fleet, library: Library
) -> None:
    def is_open(day: date) -> tuple[bool, bool]:
        week = next(each for each in weeks(fleet).weeks if each.monday <= day <= each.last_on)
        with fleet.reading() as work:
            laid_on = shop_hours(shop(work), FIRST, LAST).minutes_by_day()
        return day in week.open_days, day in laid_on

    assert (is_open(MEMORIAL_DAY), is_open(CORPUS_CHRISTI)) == ((False, False), (True, True))
    apply(fleet, SetPublicHolidays(US, BAVARIA), WHO, DEMO_TODAY)
    assert is_open(CORPUS_CHRISTI) == (False, False)
    closed = question(fleet, library, FIRST).problem.closed
    assert "Thu 4 Jun (Corpus Christi)" in [day.said for day in closed]
    apply(fleet, SetPublicHolidays(BAVARIA, NONE), WHO, DEMO_TODAY)
    assert (is_open(MEMORIAL_DAY), is_open(CORPUS_CHRISTI)) == ((True, True), (True, True))


def test_a_holiday_stands_by_its_name_in_why_a_card_isnt_earlier() -> None:
    holiday = ClosedDay(date(2026, 5, 11), "Spring Day")
    weekend = ClosedDay(date(2026, 5, 10), "Lantern Sunday")
    shop_open = weekly(MONDAY, date(2026, 5, 15), dict.fromkeys(range(5), DAY), (weekend.on, holiday.on))
    saturday = Person("owner", "Di Okafor", hours=weekly(MONDAY, date(2026, 5, 23), {5: DAY}))
    ada, owner = Seat(people=frozenset({"ada"})), Seat(people=frozenset({"owner"}))
    jobs = (
        Job("week", "A week of work", 160, seats=(ada,)),
        Job("then", "Then this", 4, seats=(ada,), after=(After("week"),)),
        Job("beside", "Beside it", 4, seats=(owner,), after=(After("week"),)),
        Job("later", "On a Saturday", 4, seats=(owner,), after=(After("then"),)),
    )
    problem = Problem(shop_open, (Person("ada", "Ada Lindqvist"), saturday), jobs, closed=(weekend, holiday))
    bound = binding(problem, lay_out(problem, seconds=0, effort=0.0).value).value
    said = {each.job: [reason.said for reason in each.reasons] for each in bound.jobs}
    assert [said["then"][0], said["then"][-1]] == [
        "waits for 'A week of work' until Fri 8 May 17:00",
        "the shop is closed Mon 11 May (Spring Day)",
    ]
    others = [line for job in ("week", "beside", "later") for line in said[job]]
    assert others
    assert not any("closed" in line for line in others), "only who would have worked that day waits for it"


def test_work_that_begins_with_a_holiday_says_so() -> None:
    holiday = ClosedDay(MONDAY, "Spring Day")
    shop_open = weekly(MONDAY, date(2026, 5, 15), dict.fromkeys(range(5), DAY), (MONDAY,))
    problem = Problem(
        shop_open, (Person("ada", "Ada Lindqvist"),), (Job("one", "One", 4),), closed=(holiday,)
    )
    bound = binding(problem, lay_out(problem, seconds=0, effort=0.0).value).value
    assert [reason.said for reason in bound.job("one").reasons] == [
        "begins as soon as those who may do it are there, Tue 5 May 08:00",
        "the shop is closed Mon 4 May (Spring Day)",
    ]


def test_a_week_that_is_closed_as_a_whole_says_why(fleet: Fleet) -> None:
    apply(fleet, AddDaysOff(None, date(2026, 5, 26), date(2026, 5, 29), "hangar floor"), WHO, DEMO_TODAY)
    asked = weeks(fleet)
    week = next(each for each in asked.weeks if each.monday == MEMORIAL_DAY)
    assert not week.open_days
    assert week_price(asked, asked.visits[0], week).why == (
        "the shop is closed all week (Memorial Day, hangar floor)",
    )
