"""Lines, chances and bands against certified or separately reckoned figures; each case names its source."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

import pytest

from annual_planner.trade.chance import kendall, one_way_chance
from annual_planner.trade.lines import fitted_line, median_line, rate_from_origin
from annual_planner.trade.trend_estimates import Limit, Reading, Worse, estimated
from annual_planner.trade.trends import Why, trend
from tests.outside.cylinder_cases import TABLES, named

Case = dict[str, Any]


def close(value: Any, relative: float = 1e-4) -> Any:
    return pytest.approx(value, rel=relative)


def readings_of(case: Case) -> list[Reading]:
    sds = case.get("sd", [None] * len(case["hours"]))
    return [
        Reading(Decimal(str(hours)), value, sd)
        for hours, value, sd in zip(case["hours"], case["values"], sds, strict=True)
    ]


def limit_of(case: Case) -> Limit:
    return Limit(case["limit"], Worse.FALLING if case["limit"] == 60 else Worse.RISING)


def each_trend() -> Any:
    return pytest.mark.parametrize("case", TABLES["trend"], ids=lambda case: case["name"])


@pytest.mark.parametrize("case", TABLES["monotone_chance"], ids=named)
def test_readings_all_one_way(case: Case) -> None:
    count = case["n"]
    assert one_way_chance(count) == close(case["two_sided_p"])
    assert kendall(range(count)).chance == close(case["two_sided_p"])
    assert 1 - one_way_chance(count) == close(case["max_interval_confidence"], 1e-5)


@each_trend()
def test_both_lines(case: Case) -> None:
    line, medians = (fit(case["hours"], case["values"]) for fit in (fitted_line, median_line))
    assert line.intercept == close(case["ols_intercept"])
    assert line.slope == close(case["ols_slope"])
    assert line.scatter == close(case["residual_sd"])
    assert line.slope_sd == close(case["slope_sd"])
    assert medians.slope == close(case["theil_sen_slope"])
    assert medians.intercept == close(case["theil_sen_intercept_median_residual"])
    assert medians.separate_intercept == close(case["theil_sen_intercept_separate_medians"])


@each_trend()
def test_chance_and_band(case: Case) -> None:
    found = estimated(readings_of(case), limit_of(case), case["confidence_two_sided"])
    assert found.order.steps == case["kendall_S"]
    assert found.order.chance == close(case["kendall_p_two_sided_by_enumeration"])
    assert found.t == close(case["t_quantile"])
    assert found.g == close(case["fieller_g"])
    assert found.hours_at_limit == close(case["hours_at_limit"])
    assert (found.reading_band is not None) == (found.line_band is not None) == case["bounded"]
    if case["bounded"]:
        assert found.reading_band == close(tuple(case["prediction_band_hours"]))
        assert found.line_band == close(tuple(case["mean_line_band_hours"]))


@each_trend()
def test_forecast_or_refusal(case: Case) -> None:
    found = trend(readings_of(case), limit_of(case), confidence=case["confidence_two_sided"]).value
    assert (found.outlook is None) == (case["decision"] == "refuse")
    if found.outlook is None:
        assert found.why_not in (Why.TOO_FEW, Why.NO_DIRECTION)
    else:
        assert found.outlook.likely_hours == close(case["remaining_from_last"])


@pytest.mark.parametrize("case", TABLES["trend_weighted"], ids=lambda case: case["name"])
def test_weighted_line(case: Case) -> None:
    line = fitted_line(case["hours"], case["values"], case["sd"])
    assert line.intercept == close(case["intercept"])
    assert line.slope == close(case["slope"])
    assert line.slope_sd_from_scatter == close(case["slope_sd_from_scatter"])
    assert line.slope_sd == close(case["slope_sd_from_stated_sd"])
    assert line.scatter == close(case["reduced_chi_root"])
    limit = next(each["limit"] for each in TABLES["trend"] if "leak ratio" in each["name"])
    assert (limit - line.intercept) / line.slope == close(case["hours_at_limit"])


def test_the_certified_line_of_36_points() -> None:
    norris = TABLES["nist_norris"]
    line = fitted_line(norris["x"], norris["y"])
    certified = norris["rel_tol"]
    assert line.count == norris["n"]
    assert line.intercept == close(norris["intercept"], certified)
    assert line.intercept_sd == close(norris["intercept_sd"], certified)
    assert line.slope == close(norris["slope"], certified)
    assert line.slope_sd == close(norris["slope_sd"], certified)
    assert line.scatter == close(norris["residual_sd"], certified)
    squares = line.scatter**2 * (line.count - 2)
    assert squares == close(norris["residual_sum_of_squares"], certified)
    explained = line.slope**2 * line.spread
    assert explained / (explained + squares) == close(norris["r_squared"], certified)
    assert (line.slope / line.slope_sd) ** 2 == close(norris["f_statistic"], certified)


def test_the_certified_line_through_the_origin() -> None:
    case = TABLES["nist_noint2"]
    rate = rate_from_origin(case["x"], case["y"])
    assert rate.slope == close(case["slope"], 1e-12)
    assert rate.slope_sd == close(case["slope_sd"], 1e-12)
    assert rate.residual_sd == close(case["residual_sd"], 1e-12)
