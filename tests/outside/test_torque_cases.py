"""Torque against figures published elsewhere.

Each case of torque_and_gap_cases.toml names its source: US Army TM 1-1500-204-23-9 and TM 9-254, US Navy
14315 and 14008, maintenance manuals, AC 43.13-1B 7-40. Test torques: MIL-S-7886B 4.6. Foot, inch and
pound are exact by definition.
"""

from __future__ import annotations

import tomllib
from pathlib import Path
from typing import Any

import pytest

from annual_planner.trade.plugs import Thread
from annual_planner.trade.torque import (
    JOINT_ANGLE_DEG,
    TorqueUnit,
    common_range,
    delivered_nm,
    in_newton_meters,
    in_unit,
    joint_band,
    joint_ratio,
    wrench_setting,
)

Facts = dict[str, Any]
CASES = tomllib.loads((Path(__file__).parent / "torque_and_gap_cases.toml").read_text(encoding="utf-8"))
UNITS = {"ft_lbf": TorqueUnit.FOOT_POUND, "in_lbf": TorqueUnit.INCH_POUND}


def name_of(case: Facts) -> str:
    words = ("source", "value", "unit", "wanted", "angle_deg", "beta_deg", "gap_in", "short_axis_in")
    return " ".join(str(case[each]) for each in words if each in case)


def test_units_of_torque_have_their_exact_size() -> None:
    units = CASES["units"]
    assert in_newton_meters(1, TorqueUnit.FOOT_POUND) == pytest.approx(units["ft_lbf_in_N_m"], rel=1e-12)
    assert in_newton_meters(1, TorqueUnit.INCH_POUND) == pytest.approx(units["in_lbf_in_N_m"], rel=1e-12)
    assert in_newton_meters(1, TorqueUnit.KILOGRAM_METER) == pytest.approx(units["kgf_m_in_N_m"], rel=1e-12)


@pytest.mark.parametrize("case", CASES["torque_conversion"], ids=name_of)
def test_a_torque_is_converted_as_the_case_says(case: Facts) -> None:
    torque_nm = in_newton_meters(case["value"], UNITS[case["unit"]])
    assert torque_nm == pytest.approx(case["N_m"], rel=1e-4)
    for name, unit in UNITS.items():
        assert in_unit(torque_nm, unit) == pytest.approx(case[name], rel=1e-4)


@pytest.mark.parametrize("case", CASES["torque_extension"], ids=name_of)
def test_the_wrench_is_set_as_the_case_says(case: Facts) -> None:
    unit = UNITS[case["unit"]]
    wanted_nm = in_newton_meters(case["wanted"], unit)
    drag_nm = in_newton_meters(case.get("friction_drag", 0.0), unit)
    lengths = (case["wrench_length_in"], case["extension_in"], case["angle_deg"])
    setting_nm = wrench_setting(wanted_nm, *lengths, drag_nm).value
    assert in_unit(setting_nm, unit) == pytest.approx(case["setting"], rel=1e-4)
    assert delivered_nm(setting_nm, *lengths) == pytest.approx(wanted_nm + drag_nm)
    if "source_rounds_to" in case:
        digits = len(str(case["source_rounds_to"]).partition(".")[2])
        assert round(in_unit(setting_nm, unit), digits) == case["source_rounds_to"]


@pytest.mark.parametrize("case", CASES["universal_joint"], ids=name_of)
def test_a_joint_passes_on_what_the_case_says(case: Facts) -> None:
    beta = case["beta_deg"]
    for theta, ratio in zip(case["theta_deg"], case["ratio"], strict=True):
        assert joint_ratio(beta, theta) == pytest.approx(ratio, rel=1e-4)
    band = joint_band(100, beta).value
    assert band.least_nm == pytest.approx(100 * case["ratio_min"], rel=1e-4)
    assert band.greatest_nm == pytest.approx(100 * case["ratio_max"], rel=1e-4)
    assert bool(band.caution) is (beta > JOINT_ANGLE_DEG)


@pytest.mark.parametrize(
    ("thread", "key"), [(Thread.MM14, "mm14_practice_ft_lbf"), (Thread.MM18, "mm18_practice_ft_lbf")]
)
def test_the_usual_range_of_a_thread_is_the_one_told(thread: Thread, key: str) -> None:
    limits = common_range(thread)
    told = [in_unit(each, TorqueUnit.FOOT_POUND) for each in (limits.low_nm, limits.high_nm)]
    assert told == pytest.approx(CASES["plug_torque"][key])


def test_the_usual_ranges_hold_the_torques_of_a_test_installation() -> None:
    told, small, large = CASES["plug_torque"], common_range(Thread.MM14), common_range(Thread.MM18)
    low, high = (in_newton_meters(each, TorqueUnit.INCH_POUND) for each in told["mm14_test_in_lbf"])
    assert small.low_nm <= low < high <= small.high_nm
    nominal = in_newton_meters(told["mm18_test_nominal_in_lbf"], TorqueUnit.INCH_POUND)
    assert large.low_nm <= nominal <= large.high_nm
