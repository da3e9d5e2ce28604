"""Flow, pressure and statistics against libraries that were written by others.

fluids 1.3 (critical pressure, API 520 relief areas) and scipy (least squares, Theil and Sen's slope,
Kendall's tau, Student's t). Neither is a part of the program.

Two published tables have no place in this program's arithmetic, and so nothing to be held against them: the
torque of plain fasteners (AC 43.13-1B table 7-1: the program says torque of spark plugs only, for which that
table is not meant), and the 125 % of torque at which plug makers proof for leaks (MIL-S-7886B: a test of
the factory, which a shop doesn't make).
"""

from __future__ import annotations

import math

import fluids
import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from scipy import stats

from annual_planner.trade.chance import kendall, student_t
from annual_planner.trade.flow import CRITICAL_RATIO, GAMMA, STANDARD_K, air_kg_per_s, area_ratio
from annual_planner.trade.lines import fitted_line, median_line
from annual_planner.trade.pressure import PA_PER_PSI, STANDARD_PSI_A

REGULATED_PSI_A = 80 + STANDARD_PSI_A
AIR_G_PER_MOL = 28.9652


def test_a_hole_chokes_where_the_reference_library_says() -> None:
    assert fluids.P_critical_flow(1.0, GAMMA) == pytest.approx(CRITICAL_RATIO, rel=1e-12)


def relief_area_m2(kg_per_s: float, before_psi_a: float, behind_psi_a: float) -> float:
    """The area API 520 gives for a flow, through a perfect hole."""
    return float(
        fluids.API520_A_g(
            m=kg_per_s, T=STANDARD_K, Z=1.0, MW=AIR_G_PER_MOL, k=GAMMA, P1=before_psi_a * PA_PER_PSI,
            P2=behind_psi_a * PA_PER_PSI, Kd=1.0, Kb=1.0, Kc=1.0,
        )
    )  # fmt: skip


@settings(max_examples=200)
@given(st.floats(1, 79.5))
def test_the_leak_in_restrictors_is_what_relief_areas_for_the_same_flow_say(reading_psi: float) -> None:
    """API 520's constants are rounded: they agree to within 0.2 %."""
    flow = air_kg_per_s(0.040, reading_psi)
    restrictor = relief_area_m2(flow, REGULATED_PSI_A, reading_psi + STANDARD_PSI_A)
    leak = relief_area_m2(flow, reading_psi + STANDARD_PSI_A, STANDARD_PSI_A)
    assert area_ratio(reading_psi) == pytest.approx(leak / restrictor, rel=2e-3)


@pytest.mark.parametrize("reading_psi", [5.0, 20.0, 35.0])
def test_the_mass_flow_through_a_choked_restrictor_is_that_of_a_relief_valve(reading_psi: float) -> None:
    area_m2 = math.pi / 4 * (0.040 * 0.0254) ** 2
    flow = air_kg_per_s(0.040, reading_psi)
    assert relief_area_m2(flow, REGULATED_PSI_A, reading_psi + STANDARD_PSI_A) == pytest.approx(
        area_m2, rel=2e-3
    )


POINTS = st.lists(
    st.tuples(st.integers(0, 4000), st.integers(200, 800)),
    min_size=4,
    max_size=12,
    unique_by=lambda each: each[0],
).map(sorted)


@settings(max_examples=100)
@given(POINTS)
def test_the_straight_line_is_the_reference_librarys(points: list[tuple[int, int]]) -> None:
    hours = [float(x) for x, _ in points]
    values = [y / 10 for _, y in points]
    ours, theirs = fitted_line(hours, values), stats.linregress(hours, values)
    assert ours.slope == pytest.approx(theirs.slope, rel=1e-7, abs=1e-9)
    assert ours.intercept == pytest.approx(theirs.intercept, rel=1e-7, abs=1e-7)
    assert ours.slope_sd_from_scatter == pytest.approx(theirs.stderr, rel=1e-5, abs=1e-9)


@settings(max_examples=100)
@given(POINTS, st.data())
def test_the_weighted_line_is_the_reference_librarys(
    points: list[tuple[int, int]], data: st.DataObject
) -> None:
    hours = [float(x) for x, _ in points]
    values = [y / 10 for _, y in points]
    sds = data.draw(st.lists(st.sampled_from([0.5, 1.0, 2.0, 4.0]), min_size=len(hours), max_size=len(hours)))
    slope, intercept = np.polyfit(hours, values, 1, w=[1 / sd for sd in sds])
    ours = fitted_line(hours, values, sds)
    assert ours.slope == pytest.approx(float(slope), rel=1e-6, abs=1e-8)
    assert ours.intercept == pytest.approx(float(intercept), rel=1e-6, abs=1e-6)


@settings(max_examples=100)
@given(POINTS)
def test_the_median_slope_is_the_reference_librarys(points: list[tuple[int, int]]) -> None:
    hours = [float(x) for x, _ in points]
    values = [y / 10 for _, y in points]
    theirs = stats.theilslopes(values, hours, method="separate")
    ours = median_line(hours, values)
    assert ours.slope == pytest.approx(theirs.slope, rel=1e-9, abs=1e-12)
    assert ours.separate_intercept == pytest.approx(theirs.intercept, rel=1e-9, abs=1e-9)


@settings(max_examples=100)
@given(st.lists(st.integers(400, 800), min_size=4, max_size=9, unique=True))
def test_the_exact_chance_of_an_order_is_the_reference_librarys(values: list[int]) -> None:
    ours = kendall([value / 10 for value in values])
    theirs = stats.kendalltau(range(len(values)), values, method="exact")
    assume(len(values) > 3)
    assert ours.chance == pytest.approx(theirs.pvalue, rel=1e-9)
    assert ours.steps == round(theirs.statistic * len(values) * (len(values) - 1) / 2)


@pytest.mark.parametrize("freedom", [1, 2, 3, 5, 10, 30])
@pytest.mark.parametrize("confidence", [0.8, 0.9, 0.95])
def test_students_t_is_the_reference_librarys(confidence: float, freedom: int) -> None:
    assert student_t(confidence, freedom) == pytest.approx(
        stats.t.ppf((1 + confidence) / 2, freedom), rel=1e-6
    )
