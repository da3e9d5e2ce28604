import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from annual_planner.trade.flow import (
    area_ratio,
    flow_function,
    leak_ratio,
    ratio_per_psi,
    ratio_sd,
    reading_of,
)
from annual_planner.trade.refused import Refused
from annual_planner.trade.working import as_lines

readings = st.floats(1, 79.5)
airs = st.floats(9, 16)


@given(readings, airs, st.floats(1e-3, 0.5))
def test_a_lower_reading_is_always_a_larger_leak(reading: float, air: float, less: float) -> None:
    assert area_ratio(reading - less, ambient_psi_a=air) > area_ratio(reading, ambient_psi_a=air)


@given(readings, airs)
def test_the_reading_of_a_leak_is_the_reading_it_came_from(reading: float, air: float) -> None:
    assert reading_of(area_ratio(reading, ambient_psi_a=air), ambient_psi_a=air) == pytest.approx(reading)


@given(readings, airs, st.floats(0.2, 5))
def test_all_pressures_in_another_unit_give_the_same_leak(reading: float, air: float, scale: float) -> None:
    scaled = area_ratio(reading * scale, 80 * scale, air * scale)
    assert scaled == pytest.approx(area_ratio(reading, 80, air), rel=1e-9)


@given(st.floats(15, 79), airs)
def test_the_change_per_psi_is_that_of_the_ratio(reading: float, air: float) -> None:
    step = 1e-5
    change = area_ratio(reading + step, 80, air) - area_ratio(reading - step, 80, air)
    assert ratio_per_psi(reading, 80, air) == pytest.approx(change / (2 * step), rel=1e-3)


@given(st.floats(0, 1), st.floats(0, 1))
def test_flow_never_grows_with_the_pressure_behind_the_hole(one: float, other: float) -> None:
    low, high = sorted((one, other))
    assert flow_function(low) >= flow_function(high) - 1e-12


@given(st.floats(15, 80), st.floats(0, 1))
def test_no_reading_is_taken_as_surer_than_one_psi(reading: float, claimed: float) -> None:
    assert ratio_sd(reading, claimed) == ratio_sd(reading, 1)


def test_no_loss_is_no_leak_and_still_has_a_finite_uncertainty() -> None:
    assert leak_ratio(80).value == 0
    assert ratio_per_psi(80) == -math.inf
    assert 0 < ratio_sd(80, 2) < 1


def test_a_reading_above_what_was_put_in_is_a_gauge_error_and_not_clamped() -> None:
    with pytest.raises(Refused, match="gauge error"):
        leak_ratio(80.5)
    with pytest.raises(Refused, match="holds nothing"):
        leak_ratio(0)
    with pytest.raises(Refused, match="Give both"):
        leak_ratio(60, ambient_psi_a=0)


def test_the_working_says_which_hole_chokes_and_what_was_assumed() -> None:
    lines = "\n".join(as_lines(leak_ratio(60).working))
    assert "0.78880, not choked" in lines
    assert "0.19674, choked" in lines
    assert "as warm as in the tester" in lines


@pytest.mark.parametrize("ratio", [-0.1, 1.1, math.nan])
def test_a_pressure_ratio_outside_0_to_1_is_a_fault_of_the_program(ratio: float) -> None:
    with pytest.raises(ValueError, match="pressure_ratio"):
        flow_function(ratio)
