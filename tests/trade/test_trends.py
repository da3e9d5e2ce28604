from __future__ import annotations

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from annual_planner.trade.trend_estimates import Limit, Reading, Worse
from annual_planner.trade.trends import Trend, Why, trend
from annual_planner.trade.working import as_lines

FLOOR = Limit(60, Worse.FALLING, sd=1)


def psi(*pairs: tuple[float, float], sd: float | None = 1) -> list[Reading]:
    return [Reading(Decimal(str(hours)), value, sd) for hours, value in pairs]


def found(*values: float, sd: float | None = 1, confidence: float = 0.9) -> Trend:
    """The trend of readings 100 h apart."""
    pairs = [(100.0 * place, value) for place, value in enumerate(values)]
    return trend(psi(*pairs, sd=sd), FLOOR, confidence=confidence).value


drops = st.lists(st.integers(1, 30), min_size=4, max_size=9)


@given(drops, st.sampled_from([None, 0.5, 1.0, 2.0]))
def test_an_outlook_is_in_order_and_ends_where_the_readings_reach_no_further(
    tenths: list[int], sd: float | None
) -> None:
    values = [79 - sum(tenths[: place + 1]) / 10 for place in range(len(tenths))]
    outlook = found(*values, sd=sd).outlook
    if outlook is not None:
        assert 0 <= outlook.early_hours <= outlook.likely_hours <= outlook.late_hours
        assert outlook.span_hours == 100 * (len(values) - 1)
        assert ("not within" in str(outlook)) == (outlook.early_hours > outlook.span_hours)


@given(st.integers(1, 400), st.integers(0, 3000))
def test_hours_left_do_not_depend_on_where_the_meter_began(apart: int, start: int) -> None:
    pairs = [(apart * place, value) for place, value in enumerate((78, 77, 75, 75, 72, 70))]
    here = trend(psi(*pairs), FLOOR).value.outlook
    there = trend(psi(*((hours + start, value) for hours, value in pairs)), FLOOR).value.outlook
    assert here is not None
    assert there is not None
    assert there.likely_hours == pytest.approx(here.likely_hours, rel=1e-6)
    assert there.early_hours == pytest.approx(here.early_hours, rel=1e-6)


@given(st.floats(0.01, 100))
def test_hours_left_do_not_depend_on_the_unit_of_the_value(scale: float) -> None:
    values = (78, 77, 75, 75, 72, 70)
    readings = [Reading(Decimal(100 * n), v * scale, scale) for n, v in enumerate(values)]
    scaled = trend(readings, Limit(60 * scale, Worse.FALLING, scale)).value.outlook
    plain = found(*values).outlook
    assert scaled is not None
    assert plain is not None
    assert scaled.likely_hours == pytest.approx(plain.likely_hours, rel=1e-6)
    assert scaled.early_hours == pytest.approx(plain.early_hours, rel=1e-6)


def test_rising_and_falling_mirror_each_other() -> None:
    readings = [Reading(Decimal(100 * n), -v, 1) for n, v in enumerate((78, 77, 75, 75, 72, 70))]
    mirrored = trend(readings, Limit(-60, Worse.RISING, 1)).value.outlook
    assert mirrored == found(78, 77, 75, 75, 72, 70).outlook


def test_a_less_sure_gauge_brings_the_early_edge_nearer() -> None:
    edges = []
    for sd in (1.0, 1.5, 2.0):
        outlook = found(78, 76, 74, 72, 70, sd=sd).outlook
        assert outlook is not None
        edges.append(outlook.early_hours)
    assert edges[0] > edges[1] > edges[2]


def test_readings_luckier_than_their_gauge_keep_the_uncertainty_of_the_gauge() -> None:
    lucky = found(78, 76, 74, 72, 70).estimates
    assert lucky is not None
    assert lucky.line.slope_sd_from_scatter == pytest.approx(0, abs=1e-9)
    assert lucky.line.slope_sd > 0.002


@pytest.mark.parametrize(
    ("values", "why", "said"),
    [
        ((76, 75, 72), Why.TOO_FEW, "1 more needed"),
        ((76,), Why.TOO_FEW, "3 more needed"),
        ((), Why.TOO_FEW, "4 more needed"),
        ((74, 71, 75, 70, 74), Why.NO_DIRECTION, "by chance in 100 of 100"),
        ((66, 66, 65, 65, 78), Why.NO_DIRECTION, "by chance"),
        ((70, 72, 73, 75), Why.BETTER, "change of method"),
        ((76, 74, 66, 59), Why.PAST, "latest reading is beyond it"),
        ((59,), Why.PAST, "no forecast"),
        ((78, 78, 77, 77, 66), Why.JUMP, "inspect"),
        ((72, 71.9, 71.8, 71.7), Why.UNBOUNDED, "no end"),
    ],
)
def test_a_refusal_says_why(values: tuple[float, ...], why: Why, said: str) -> None:
    answer = found(*values)
    assert answer.outlook is None
    assert answer.why_not is why
    assert said in answer.said


def test_four_readings_carry_ninety_percent_and_not_ninety_five() -> None:
    assert found(78, 75, 72, 69).outlook is not None
    assert "1 more needed" in found(78, 75, 72, 69, confidence=0.95).said


def test_a_reading_at_the_limit_is_good_unless_reaching_it_counts() -> None:
    assert not FLOOR.past(60)
    assert FLOOR.past(59.9)
    half = Limit(0.05, Worse.FALLING, reached_is_past=True)
    assert half.past(0.05)
    assert not half.past(0.051)


def test_hours_missing_or_backwards_are_to_be_mended_first() -> None:
    backwards = trend(psi((0, 78), (200, 76), (100, 75), (300, 74)), FLOOR).value
    assert backwards.why_not is Why.HOURS
    assert "from 200 to 100" in backwards.said
    missing = trend([*psi((0, 78), (100, 77), (200, 76)), Reading(None, 75)], FLOOR).value
    assert missing.why_not is Why.HOURS
    assert "1 of 4" in missing.said


def test_of_readings_at_the_same_hours_the_last_counts() -> None:
    rerun = trend(psi((0, 78), (100, 76), (200, 74), (300, 61), (300, 72)), FLOOR).value
    once = trend(psi((0, 78), (100, 76), (200, 74), (300, 72)), FLOOR).value
    assert rerun == once


def test_the_working_shows_both_lines_the_chance_and_the_band() -> None:
    lines = "\n".join(as_lines(trend(psi((0, 78), (100, 76), (200, 74), (300, 72)), FLOOR).working))
    for words in (
        "least-squares line",
        "Theil-Sen",
        "Kendall",
        "Fieller",
        "early to late",
        "straight line",
        "- 2 for each 100 h",
    ):
        assert words in lines


def test_the_reading_that_pulls_the_two_lines_apart_is_named() -> None:
    values = [79 - n / 2 - odd for n, odd in enumerate((0,) * 9 + (4, 4, 5))]
    readings = [Reading(Decimal(100 * n), v, None, f"test {n + 1}") for n, v in enumerate(values)]
    lines = "\n".join(as_lines(trend(readings, FLOOR).working))
    assert "test 12 at 1100 h pulls them apart" in lines


@given(
    st.lists(st.tuples(st.integers(0, 50), st.integers(0, 800)), max_size=10),
    st.sampled_from([None, 1e-9, 0.5, 1.0, 50.0]),
    st.sampled_from([60.0, 0.0, 79.9]),
    st.sampled_from(list(Worse)),
)
def test_any_readings_give_either_an_outlook_or_a_reason(
    steps: list[tuple[int, int]], sd: float | None, limit: float, worse: Worse
) -> None:
    hours = 0
    readings = []
    for step, tenths in steps:
        hours += step
        readings.append(Reading(Decimal(hours), tenths / 10, sd))
    answer = trend(readings, Limit(limit, worse, sd)).value
    assert (answer.outlook is None) == (answer.why_not is not None)
    assert answer.said
    if answer.outlook is not None:
        assert answer.estimates is not None
        assert answer.estimates.g < 1
        assert answer.outlook.early_hours <= answer.outlook.late_hours


def test_an_order_that_chance_gives_too_often_is_no_direction_however_straight_it_looks() -> None:
    answer = found(78, 76.9, 77, 74.9, 75, sd=None)
    assert answer.estimates is not None
    assert answer.estimates.g < 0.5
    assert answer.estimates.order.chance == pytest.approx(0.2333, abs=1e-3)
    assert answer.why_not is Why.NO_DIRECTION


@given(st.floats(0.5, 3), st.floats(0.2, 3))
def test_at_both_edges_a_next_reading_could_just_stand_at_the_limit(sd: float, limit_sd: float) -> None:
    readings = psi(*((100 * n, 78 - 3 * n) for n in range(6)), sd=sd)
    estimates = trend(readings, Limit(60, Worse.FALLING, limit_sd)).value.estimates
    assert estimates is not None
    if estimates.reading_band is not None:
        line = estimates.line
        for edge in estimates.reading_band:
            variance = limit_sd**2 + 1 / line.weight + (edge - line.middle) ** 2 / line.spread
            assert abs(line.at(edge) - 60) == pytest.approx(estimates.t * line.sd * variance**0.5, rel=1e-6)
