from __future__ import annotations

from tests.benchmarks.forecast_coverage import WAYS, YEARLY, outcomes, share_between


def test_about_eight_in_ten_limits_are_reached_between_their_bounds() -> None:
    found = [one for way in WAYS for number in range(900_000, 900_030) for one in outcomes(way, number)]
    assert 0.72 <= share_between(found) <= 0.88


def test_they_are_for_an_airplane_seldom_flown_and_hardly_read_too() -> None:
    seldom = next(way for way in WAYS if way.name == "seldom")
    found = [one for number in range(900_000, 900_060) for one in outcomes(seldom, number, history=(1, 5))]
    assert 0.7 <= share_between(found) <= 0.9


def test_they_are_where_the_meter_is_read_once_a_year() -> None:
    read = ((14, 66), YEARLY)
    found = [
        one for way in WAYS for number in range(900_000, 900_030) for one in outcomes(way, number, *read)
    ]
    assert 0.72 <= share_between(found) <= 0.9
