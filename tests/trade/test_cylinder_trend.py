from __future__ import annotations

import math
from dataclasses import replace
from datetime import date, timedelta
from decimal import Decimal
from time import process_time

import pytest
from hypothesis import given
from hypothesis import strategies as st

from annual_planner.trade.compression import Conditions, JudgingRule
from annual_planner.trade.cylinder_trend import CylinderTrend, cylinder_trend
from annual_planner.trade.flow import area_ratio, ratio_sd
from annual_planner.trade.refused import Refused
from annual_planner.trade.series import ComparedBy, CylinderWork, TimedReading, series_of
from annual_planner.trade.trends import Why
from annual_planner.trade.working import as_lines

QUARTER = JudgingRule("q", "a quarter at most", "a rule", max_loss_fraction=0.25)
MASTER = JudgingRule("m", "not under the master", "a maker", master_floor=True)
SMALL = Conditions(restrictor_in=0.040)
DRIFT = (78, 77, 75, 75, 72, 70)


def taken(*readings: float, made: Conditions = SMALL, tester: str = "bench 1") -> list[TimedReading]:
    """Yearly tests a hundred hours apart."""
    return [
        TimedReading(date(2020 + n, 5, 4), Decimal(100 * n), psi, made, tester)
        for n, psi in enumerate(readings)
    ]


def trend_of(tests: list[TimedReading], *work: CylinderWork, **asked: object) -> CylinderTrend:
    return cylinder_trend(3, tests, QUARTER, work, **asked).value  # type: ignore[arg-type]


def test_a_drifting_cylinder_has_an_early_and_a_likely_hour() -> None:
    found = trend_of(taken(*DRIFT), reading_sd_psi=1)
    assert found.compared_by is ComparedBy.LEAK_RATIO
    assert found.trend.outlook is not None
    assert 0 < found.trend.outlook.early_hours < found.trend.outlook.likely_hours
    assert found.trend.said.startswith("could be reached from about ")


def test_by_pressure_the_limit_comes_later_than_by_leak_ratio() -> None:
    by_leak = trend_of(taken(*DRIFT), reading_sd_psi=1).trend.outlook
    by_psi = trend_of(taken(*DRIFT), reading_sd_psi=1, compared_by=ComparedBy.READING).trend.outlook
    assert by_leak is not None
    assert by_psi is not None
    assert by_psi.likely_hours > by_leak.likely_hours


@given(st.lists(st.sampled_from([0.040, 0.060, None]), min_size=1, max_size=9))
def test_tests_with_different_or_unknown_restrictors_never_share_a_line(sizes: list[float | None]) -> None:
    tests = [
        replace(test, made=replace(SMALL, restrictor_in=size))
        for test, size in zip(taken(*[75.0] * len(sizes)), sizes, strict=True)
    ]
    series, _ = series_of(tests)
    assert [test for run in series for test in run.tests] == tests
    for run in series:
        used = {test.made.restrictor_in for test in run.tests}
        assert len(used) == 1
        assert None not in used or len(run.tests) == 1


def test_another_tester_starts_anew_unless_masters_carry_it_over() -> None:
    tests = taken(*DRIFT)
    tests[3:] = [replace(test, tester="bench 2") for test in tests[3:]]
    found = trend_of(tests)
    assert [len(run.tests) for run in found.series] == [3, 3]
    assert found.trend.why_not is Why.TOO_FEW
    assert "tester changed from bench 1 to bench 2" in found.trend.said
    mastered = [replace(test, made=replace(SMALL, master_psi=43)) for test in tests]
    carried = trend_of(mastered, reading_sd_psi=1)
    assert len(carried.series) == 1
    assert carried.compared_by is ComparedBy.INDEX
    assert carried.trend.outlook is not None


def test_a_master_reading_missing_anywhere_in_the_run_keeps_another_tester_out() -> None:
    mastered = replace(SMALL, master_psi=43)
    first, second, third = taken(78, 77, 76)
    tests = [first, replace(second, made=mastered), replace(third, made=mastered, tester="bench 2")]
    assert [len(run.tests) for run in series_of(tests)[0]] == [2, 1]


def test_the_masters_own_uncertainty_goes_into_the_index() -> None:
    tests = taken(70, 66, 62, 58, made=replace(SMALL, master_psi=43))
    estimates = trend_of(tests).trend.estimates
    assert estimates is not None
    master, master_sd = area_ratio(43), ratio_sd(43, 2)
    sds = [
        math.hypot(ratio_sd(psi, 2), area_ratio(psi) / master * master_sd) / master
        for psi in (70, 66, 62, 58)
    ]
    assert estimates.line.weight == pytest.approx(sum(1 / sd**2 for sd in sds), rel=1e-9)


@pytest.mark.parametrize(("master", "limit"), [(65, 1.0), (43, 0.6545)])
def test_of_two_limits_the_stricter_counts(master: float, limit: float) -> None:
    both = replace(QUARTER, master_floor=True)
    tests = taken(78, 77, 76, 75, made=replace(SMALL, master_psi=master))
    inputs = {item.name: item.value for item in cylinder_trend(1, tests, both).working.inputs}
    assert float(inputs["limit"]) == pytest.approx(limit, rel=1e-3)


def test_the_latest_reading_as_taken_goes_before_what_is_computed() -> None:
    tests = taken(78, 74, 70, 66)
    tests[3] = replace(tests[3], reading_psi=58.45, made=replace(SMALL, regulated_psi=78))
    assert area_ratio(58.45, 78) < area_ratio(60)
    answer = cylinder_trend(1, tests, QUARTER)
    assert answer.value.trend.why_not is Why.PAST
    assert "as taken" in answer.working.result


def test_another_regulated_pressure_and_another_field_stay_on_the_line() -> None:
    tests = taken(*DRIFT)
    tests[2] = replace(tests[2], reading_psi=73, made=replace(SMALL, regulated_psi=78))
    tests[4] = replace(tests[4], made=replace(SMALL, ambient_psi_a=12.228))
    assert len(trend_of(tests).series) == 1


def test_work_on_the_cylinder_starts_anew_and_is_named() -> None:
    found = trend_of(taken(*DRIFT), CylinderWork(date(2021, 5, 4), "exhaust valve replaced"))
    assert [len(run.tests) for run in found.series] == [2, 4]
    assert found.series[1].began == "exhaust valve replaced on 4 May 2021"
    again = taken(*DRIFT)
    again[3] = replace(again[3], after_work="new rings")
    assert trend_of(again).series[1].began == "new rings before the test of 4 May 2023"


def test_a_stay_without_flying_starts_anew() -> None:
    tests = taken(*DRIFT)
    tests[4:] = [replace(test, hours=test.hours - 97) for test in tests[4:] if test.hours is not None]
    found = trend_of(tests)
    assert [len(run.tests) for run in found.series] == [4, 2]
    assert (
        "366 days with 3 h flown" in found.series[1].began
        or "365 days with 3 h flown" in found.series[1].began
    )


def test_a_cold_test_is_left_out_by_name() -> None:
    tests = taken(*DRIFT)
    tests[2] = replace(tests[2], reading_psi=55, cold=True)
    answer = cylinder_trend(3, tests, QUARTER)
    assert answer.value.left_out == (tests[2],)
    assert "test of 4 May 2022 left out → made cold" in "\n".join(as_lines(answer.working))
    warm = [test for test in tests if not test.cold]
    assert answer.value.trend == cylinder_trend(3, warm, QUARTER).value.trend


def test_a_latest_reading_beyond_the_limit_has_no_forecast() -> None:
    assert trend_of(taken(78, 74, 70, 66, 59)).trend.why_not is Why.PAST
    assert trend_of(taken(78, 74, 70, 65, 60)).trend.why_not is not Why.PAST
    assert trend_of(taken(59)).trend.why_not is Why.PAST


def test_the_masters_rule_needs_its_reading_at_every_test() -> None:
    tests = taken(60, 56, 52, 48, made=replace(SMALL, master_psi=43))
    assert cylinder_trend(1, tests, MASTER, reading_sd_psi=1).value.trend.outlook is not None
    tests[1] = replace(tests[1], made=SMALL)
    found = cylinder_trend(1, tests, MASTER).value
    assert found.trend.why_not is Why.NO_LIMIT
    asked = cylinder_trend(1, taken(*DRIFT), QUARTER, compared_by=ComparedBy.INDEX).value
    assert asked.trend.why_not is Why.NO_LIMIT


@given(st.lists(st.integers(61, 79), min_size=4, max_size=8), st.integers(1, 500))
def test_hours_left_do_not_depend_on_the_hours_before_the_first_test(psi: list[int], start: int) -> None:
    tests = taken(*psi)
    later = [replace(test, hours=test.hours + start) for test in tests if test.hours is not None]
    here, there = trend_of(tests).trend, trend_of(later).trend
    assert here.why_not == there.why_not
    if here.outlook is not None and there.outlook is not None:
        assert here.outlook.likely_hours == pytest.approx(there.outlook.likely_hours, rel=1e-6)


def test_no_tests_and_hours_that_are_missing_are_said() -> None:
    assert trend_of([]).trend.why_not is Why.TOO_FEW
    tests = taken(*DRIFT)
    tests[2] = replace(tests[2], hours=None)
    assert trend_of(tests).trend.why_not is Why.HOURS


def test_a_reading_that_cannot_be_is_refused_with_its_day() -> None:
    with pytest.raises(Refused, match=r"Test of 4 May 2021: .*gauge error"):
        trend_of(taken(78, 82, 75, 74))


def test_the_working_names_every_test_and_what_was_assumed() -> None:
    lines = "\n".join(as_lines(cylinder_trend(3, taken(*DRIFT), QUARTER).working))
    assert "4 May 2025, 70/80 at 500 h" in lines
    assert "standard deviation of 2 psi" in lines
    assert "a rule: a quarter at most" in lines


def test_a_master_reading_that_wanders_is_news_about_the_tester() -> None:
    tests = taken(78, 77, 75, 74, made=replace(SMALL, master_psi=43))
    assert "look at bench 1" not in "\n".join(as_lines(cylinder_trend(1, tests, QUARTER).working))
    tests[2] = replace(tests[2], made=replace(SMALL, master_psi=46))
    lines = "\n".join(as_lines(cylinder_trend(1, tests, QUARTER).working))
    assert "look at bench 1 → master reading between 43 and 46 psi" in lines


def test_all_cylinders_of_a_big_engine_are_quick() -> None:
    tests = [
        TimedReading(date(2010, 5, 4) + timedelta(365 * n), Decimal(100 * n), 79 - n, SMALL)
        for n in range(12)
    ]
    cylinder_trend(1, tests, QUARTER)
    start = process_time()
    for cylinder in range(1, 10):
        cylinder_trend(cylinder, tests, QUARTER)
    assert process_time() - start < 0.05
