from __future__ import annotations

from tests.benchmarks.forecast_coverage import WAYS, outcomes, share_between


def test_about_eight_in_ten_limits_are_reached_between_their_bounds() -> None:
    found = [one for way in WAYS for number in range(900_000, 900_030) for one in outcomes(way, number)]
    assert 0.72 <= share_between(found) <= 0.88
