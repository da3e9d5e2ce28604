from __future__ import annotations

from datetime import date, timedelta
from decimal import Decimal
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from annual_planner.trade.flying import Flying, flown_ahead
from annual_planner.trade.refused import Refused
from annual_planner.trade.usage import (
    Forecast,
    Reading,
    Usage,
    check_readings,
    forecast,
    forecasts,
    monthly_hours,
    usage,
)
from annual_planner.trade.working import as_lines

D = Decimal
TODAY = date(2026, 6, 17)
STEADY = tuple(D(10) + D(n % 3) for n in range(24))
FLOWN = Usage(D(11), STEADY, first_month=date(2024, 6, 1))


@st.composite
def histories(draw: st.DrawFn) -> list[Reading]:
    """Readings that can be right: dates rise, hours don't fall and no day has more than it can."""
    on, hours = date(2020, 1, 1) + timedelta(draw(st.integers(0, 60))), D(draw(st.integers(0, 9999)))
    readings = [Reading(on, hours)]
    for gap, tenths in draw(st.lists(st.tuples(st.integers(1, 90), st.integers(0, 240)), max_size=25)):
        on, hours = on + timedelta(gap), hours + D(tenths) / 10
        readings.append(Reading(on, hours))
    return readings


@given(histories(), st.randoms())
def test_readings_that_rise_are_taken_in_any_order(readings: list[Reading], chance: object) -> None:
    mixed = list(readings)
    chance.shuffle(mixed)  # type: ignore[attr-defined]  # hypothesis gives a random.Random
    check_readings(mixed)
    assert monthly_hours(mixed) == monthly_hours(readings)


@given(histories())
def test_whole_months_add_up_to_what_was_flown_in_them(readings: list[Reading]) -> None:
    months = monthly_hours(readings)
    assert all(hours >= 0 for hours in months)
    assert sum(months) <= readings[-1].hours - readings[0].hours + D("0.01")
    if readings[0].on.day == 1 and (readings[-1].on + timedelta(1)).day == 1 and months:
        assert abs(sum(months) - (readings[-1].hours - readings[0].hours)) <= D("0.01")


def test_a_meter_that_goes_back_is_refused_and_both_readings_are_named() -> None:
    with pytest.raises(Refused) as refused:
        check_readings([Reading(date(2026, 4, 12), D("1210.0")), Reading(date(2026, 5, 3), D("1203.4"))])
    assert "1210.0 h on 12 Apr 2026" in refused.value.said
    assert "1203.4 h on 3 May 2026" in refused.value.said
    assert "offset" in refused.value.remedy


def test_a_replaced_meter_with_its_offset_goes_on() -> None:
    old, new = Reading(date(2026, 4, 12), D("1210.0")), Reading(date(2026, 5, 3), D("3.4"), D("1210.0"))
    check_readings([old, new])
    assert new.hours == D("1213.4")


def test_two_readings_of_one_day_must_agree() -> None:
    day = date(2026, 4, 12)
    check_readings([Reading(day, D("1210.0")), Reading(day, D("0.0"), D("1210.0"))])
    with pytest.raises(Refused, match="one day disagree"):
        check_readings([Reading(day, D("1210.0")), Reading(day, D("1210.1"))])


def test_more_hours_than_the_days_have_are_refused() -> None:
    with pytest.raises(Refused, match="More hours than there are"):
        check_readings([Reading(date(2026, 4, 12), D(120)), Reading(date(2026, 4, 14), D(1200))])


def test_all_faults_are_named_at_once() -> None:
    readings = [
        Reading(date(2026, month, 1), D(hours)) for month, hours in ((1, 50), (2, 40), (3, 60), (4, 1))
    ]
    with pytest.raises(Refused) as refused:
        check_readings(readings)
    assert refused.value.said.count("goes back") == 2


def test_a_gap_is_spread_evenly_over_its_days() -> None:
    readings = [Reading(date(2026, 1, 1), D(0)), Reading(date(2026, 3, 31), D(89))]
    assert monthly_hours(readings) == (D(31), D(28), D(30))


def test_only_whole_months_count() -> None:
    readings = [Reading(date(2026, 1, 2), D(0)), Reading(date(2026, 3, 30), D(87))]
    assert monthly_hours(readings) == (D(28),)
    assert monthly_hours(readings[:1]) == monthly_hours([]) == ()


def _monthly_readings(count: int, hours: int = 10) -> list[Reading]:
    return [Reading(date(2025 + n // 12, n % 12 + 1, 1), D(hours * n)) for n in range(count + 1)]


def test_six_whole_months_are_a_record_and_outweigh_a_stated_figure() -> None:
    worked = usage(_monthly_readings(6), stated_hours_per_month=D(99), today=TODAY)
    assert worked.value == Usage(D("10.0"), (D(10),) * 6, first_month=date(2025, 1, 1))


def test_fewer_months_take_the_stated_figure_and_say_so() -> None:
    worked = usage(_monthly_readings(5), stated_hours_per_month=D(7), today=TODAY)
    assert worked.value.stated
    assert worked.value.hours_per_month == D(7)
    assert any("fewer than 6" in line for line in as_lines(worked.working))


def test_a_stated_nothing_is_a_figure_too() -> None:
    assert usage([], stated_hours_per_month=D(0), today=TODAY).value == Usage(D(0), stated=True)


def test_fewer_months_without_a_figure_are_averaged_and_nothing_gives_zero() -> None:
    few = usage(_monthly_readings(3), today=TODAY)
    assert (few.value.hours_per_month, few.value.stated) == (D("10.0"), False)
    none = usage([], today=TODAY)
    assert none.value.hours_per_month == 0
    assert few.working.assumptions
    assert none.working.assumptions


def test_without_a_whole_month_a_fortnight_tells_more_than_nothing() -> None:
    fortnight = [Reading(date(2026, 6, 1), D(100)), Reading(date(2026, 6, 15), D(107))]
    assert usage(fortnight, today=TODAY).value.hours_per_month == D("15.2")
    two_days = [Reading(date(2026, 6, 13), D(100)), Reading(date(2026, 6, 15), D(107))]
    assert usage(two_days, today=TODAY).value.hours_per_month == 0


def test_readings_after_today_and_figures_below_zero_are_refused() -> None:
    with pytest.raises(Refused, match="after today"):
        usage([Reading(TODAY + timedelta(1), D(5))], today=TODAY)
    with pytest.raises(Refused, match="can't be flown"):
        usage([], stated_hours_per_month=D(-1), today=TODAY)


@given(histories())
@settings(max_examples=30)
def test_any_right_history_can_be_forecast_and_its_bounds_are_in_order(readings: list[Reading]) -> None:
    today = readings[-1].on
    flies = usage(readings, today=today).value
    now = readings[-1].hours
    for worked in forecasts([now + 5, now + 50, now + 5000], now, flies, today):
        value = worked.value
        dates = [day or date.max for day in (value.early_on, value.on, value.late_on)]
        assert today <= dates[0] <= dates[1] <= dates[2]


@given(st.lists(st.integers(1, 3000).map(lambda n: D(n) / 10), min_size=2, max_size=8))
@settings(max_examples=30)
def test_a_higher_limit_is_never_reached_earlier(left: list[Decimal]) -> None:
    limits = sorted(D(1000) + hours for hours in left)
    values = [worked.value for worked in forecasts(limits, D(1000), FLOWN, TODAY)]
    for dates in ([v.early_on for v in values], [v.on for v in values], [v.late_on for v in values]):
        known = [day or date.max for day in dates]
        assert known == sorted(known)


def test_the_same_input_always_gives_the_same_dates_alone_or_in_a_set() -> None:
    alone = forecast(D(1100), D(1000), FLOWN, TODAY)
    assert alone == forecast(D(1100), D(1000), FLOWN, TODAY)
    assert alone == forecasts([D(1010), D(1100)], D(1000), FLOWN, TODAY)[1]


def test_a_steady_airplane_reaches_its_limit_about_when_division_says() -> None:
    value = forecast(D(1110), D(1000), FLOWN, TODAY).value
    assert value.on is not None
    assert abs((value.on - (TODAY + timedelta(days=304))).days) <= 25


def test_the_season_is_taken_into_account() -> None:
    summers = tuple(D(20) if month % 12 in (5, 6, 7, 8) else D(2) for month in range(36))
    flies = Usage(D(8), summers, first_month=date(2023, 1, 1))
    in_spring = forecast(D(1040), D(1000), flies, date(2026, 5, 31)).value.on
    in_autumn = forecast(D(1040), D(1000), flies, date(2026, 9, 30)).value.on
    assert in_spring is not None
    assert in_autumn is not None
    assert (in_spring - date(2026, 5, 31)).days < 100
    assert (in_autumn - date(2026, 9, 30)).days > 200


def test_a_limit_reached_already_is_today() -> None:
    for limit in (D(1000), D(990)):
        worked = forecast(limit, D(1000), FLOWN, TODAY)
        assert worked.value == Forecast(TODAY, TODAY, TODAY)
        assert worked.working.result == "reached already"


def test_an_airplane_that_does_not_fly_never_gets_there() -> None:
    idle = Usage(D(0), (D(0),) * 12, first_month=date(2025, 6, 1))
    for flies in (idle, Usage(D(0))):
        worked = forecast(D(1010), D(1000), flies, TODAY)
        assert worked.value == Forecast(None, None, None)
        assert worked.working.result == "not within ten years"


def test_nothing_is_forecast_beyond_ten_years() -> None:
    value = forecast(D(2100), D(1000), FLOWN, TODAY).value
    assert value.late_on is None
    assert value.on is None or value.on <= date(2036, 6, 18)


def test_a_persons_figure_is_given_a_wider_spread_and_says_so() -> None:
    stated = Usage(D(11), STEADY, stated=True)
    by_person, by_record = (forecast(D(1066), D(1000), flies, TODAY) for flies in (stated, FLOWN))
    assert _width(by_person.value) > _width(by_record.value)
    assert any("off by about" in text for text in by_person.working.assumptions)


def test_the_fewer_hours_a_short_record_holds_the_wider_are_the_bounds() -> None:
    often, seldom = (
        Usage(D(10), (D(10),) * 3, few_hours=D(30)),
        Usage(D(1), (D(1),) * 3, few_hours=D(3)),
    )
    of_often, of_seldom = (
        forecast(now + 6 * flies.hours_per_month, now, flies, TODAY).value
        for now, flies in ((D(1000), often), (D(1000), seldom))
    )
    assert _width(of_often) * 1.3 < _width(of_seldom), "half a year's flying ahead of both"
    a_week = forecast(D(1060), D(1000), Usage(D(10), few_hours=D("2.3")), TODAY).value
    assert _width(of_often) * 1.3 < _width(a_week), "as much a month, and less to tell it by"


def test_a_meter_read_once_a_year_hides_how_months_differ_and_the_bounds_allow_for_it() -> None:
    day, hours = date(2024, 6, 1), D(1000)
    monthly = [Reading(date(2024 + (5 + n) // 12, (5 + n) % 12 + 1, 1), hours + 10 * n) for n in range(25)]
    yearly = [monthly[0], monthly[12], monthly[24]]
    each_month, each_year = (usage(readings, today=TODAY).value for readings in (monthly, yearly))
    assert monthly[0].on == day
    assert each_month.hidden_share == 0
    assert 0.85 < each_year.hidden_share < 1
    assert abs(each_month.hours_per_month - each_year.hours_per_month) < D("0.2")
    forecasts_of = [forecast(D(1300), D(1240), flies, TODAY) for flies in (each_month, each_year)]
    assert _width(forecasts_of[0].value) * 1.5 < _width(forecasts_of[1].value)
    told = [" ".join(worked.working.assumptions) for worked in forecasts_of]
    assert ["reading the meter each month" in text for text in told] == [False, True]


def test_a_short_record_says_on_what_it_rests_that_it_is_unsure_and_what_helps() -> None:
    readings = [Reading(date(2026, 3, 1), D(100)), Reading(date(2026, 6, 1), D(106))]
    flies = usage(readings, today=TODAY)
    assert flies.value.few_hours == D(6)
    told = "\n".join(as_lines(forecast(D(130), D(106), flies.value, TODAY).working))
    assert "the 6 h recorded, about 3 outings of 2 h, leave this unsure by 62%" in told
    assert "the bounds themselves are unsure" in told
    assert "A stated figure" in told
    stated = usage(readings, stated_hours_per_month=D(3), today=TODAY).value
    assert stated.few_hours is None, "a person's figure goes before so little"


def _width(value: Forecast) -> int:
    assert value.early_on is not None
    assert value.late_on is not None
    return (value.late_on - value.early_on).days


def test_the_coming_months_are_drawn_once_for_sixty_limits(monkeypatch: pytest.MonkeyPatch) -> None:
    limits = [D(1000 + 5 * n) for n in range(1, 61)]
    alone = [forecast(limit, D(1000), FLOWN, TODAY) for limit in limits]
    drawn: list[Flying] = []

    def counted(*given: Any) -> Flying:
        drawn.append(flown_ahead(*given))
        return drawn[-1]

    monkeypatch.setattr("annual_planner.trade.usage.flown_ahead", counted)
    assert forecasts(limits, D(1000), FLOWN, TODAY) == alone
    assert len(drawn) == 1, "drawing is what takes long"
