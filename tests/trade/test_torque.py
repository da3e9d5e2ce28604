"""Torque of plugs: refused where it does damage, and computed through adapters and joints."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from annual_planner.library.engines import load_engines
from annual_planner.trade.engines import TorqueRange
from annual_planner.trade.plugs import Thread
from annual_planner.trade.refused import Refused
from annual_planner.trade.torque import (
    TorqueIs,
    TorqueUnit,
    common_range,
    delivered_nm,
    in_newton_meters,
    in_unit,
    joint_band,
    joint_ratio,
    plug_torque,
    setting_checked,
    torque_checked,
    wrench_setting,
)
from annual_planner.trade.working import as_lines

LIMITS = TorqueRange(24.4, 29.8, "made up")
torques = st.floats(0.1, 1000)
lengths = st.floats(1, 100)


@given(torques, st.sampled_from(TorqueUnit))
def test_a_torque_comes_back_from_any_unit(torque_nm: float, unit: TorqueUnit) -> None:
    assert in_newton_meters(in_unit(torque_nm, unit), unit) == pytest.approx(torque_nm)


@given(torques, lengths, st.floats(0, 0.9), st.floats(0, 180))
def test_the_plug_gets_what_was_wanted_through_any_adapter(
    wanted_nm: float, wrench_in: float, share: float, angle_deg: float
) -> None:
    extension_in = wrench_in * share
    setting_nm = wrench_setting(wanted_nm, wrench_in, extension_in, angle_deg).value
    assert delivered_nm(setting_nm, wrench_in, extension_in, angle_deg) == pytest.approx(wanted_nm)


@given(torques, lengths, lengths)
def test_an_adapter_straight_out_is_set_lower_and_one_square_to_the_wrench_the_same(
    wanted_nm: float, wrench_in: float, extension_in: float
) -> None:
    assert wrench_setting(wanted_nm, wrench_in, extension_in).value < wanted_nm
    assert wrench_setting(wanted_nm, wrench_in, extension_in, 90).value == pytest.approx(wanted_nm)


@given(st.floats(0, 45), st.floats(0, 360))
def test_no_stand_of_the_cross_leaves_the_band_of_the_joint(joint_deg: float, cross_deg: float) -> None:
    band = joint_band(1, joint_deg).value
    assert band.least_nm - 1e-12 <= joint_ratio(joint_deg, cross_deg) <= band.greatest_nm + 1e-12
    assert band.least_nm * band.greatest_nm == pytest.approx(1)


def test_a_joint_is_cautioned_about_only_above_fifteen_degrees() -> None:
    assert joint_band(40, 15).value.caution == ""
    steep = joint_band(40, 30)
    assert "13% less or 15% more" in steep.value.caution
    assert steep.value.caution in steep.working.assumptions


@pytest.mark.parametrize("joint_deg", [-1, 46, math.nan])
def test_a_joint_too_steep_is_refused(joint_deg: float) -> None:
    with pytest.raises(Refused, match="relied on"):
        joint_band(40, joint_deg)


def test_above_the_range_of_a_14_mm_thread_is_refused_with_the_damage() -> None:
    with pytest.raises(Refused, match=r"14 mm plug stretches.*insert") as caught:
        torque_checked(40.7, Thread.MM14, LIMITS)
    assert "scrapped" in caught.value.remedy


def test_above_the_range_of_an_18_mm_thread_is_refused_too() -> None:
    with pytest.raises(Refused, match="insert may be pulled"):
        torque_checked(60, Thread.MM18, common_range(Thread.MM18))


@pytest.mark.parametrize(
    ("torque_nm", "expected"),
    [
        (24.4, TorqueIs.IN_RANGE),
        (29.8, TorqueIs.IN_RANGE),
        (24.0, TorqueIs.TOO_LOW),
    ],
)
def test_both_ends_of_the_range_are_allowed(torque_nm: float, expected: TorqueIs) -> None:
    assert torque_checked(torque_nm, Thread.MM14, LIMITS).value is expected


def test_an_end_of_the_range_is_allowed_though_its_conversion_was_rounded() -> None:
    end_nm = in_newton_meters(22, TorqueUnit.FOOT_POUND)
    assert end_nm > LIMITS.high_nm
    assert torque_checked(end_nm, Thread.MM14, LIMITS).value is TorqueIs.IN_RANGE


@pytest.mark.parametrize("torque_nm", [0, -1, math.nan, math.inf])
def test_what_is_no_torque_is_refused(torque_nm: float) -> None:
    with pytest.raises(Refused, match="can't be"):
        torque_checked(torque_nm, Thread.MM14, LIMITS)


@pytest.mark.parametrize(
    ("wrench_in", "extension_in", "angle_deg", "said"),
    [
        (0, 1, 0, "wrench length"),
        (10, -1, 0, "adapter -1 in"),
        (10, 1, 190, "190°"),
        (10, 10, 180, "past the grip"),
    ],
)
def test_a_wrench_that_cannot_be_is_refused(
    wrench_in: float, extension_in: float, angle_deg: float, said: str
) -> None:
    with pytest.raises(Refused, match=said):
        wrench_setting(30, wrench_in, extension_in, angle_deg)


def test_a_negative_drag_is_refused() -> None:
    with pytest.raises(Refused, match="drag of -1"):
        wrench_setting(30, 10, 2, drag_nm=-1)


def test_the_working_of_a_setting_shows_lever_and_rule() -> None:
    lines = "\n".join(as_lines(wrench_setting(100, 12, 6, 45, drag_nm=5).working))
    assert "wanted + drag → 105.0000 N·m" in lines
    assert "12 in + 6 in × cos 45° → 16.2426 in" in lines
    assert "rule: US Army" in lines


def test_a_setting_that_was_fine_without_the_adapter_is_refused_with_it() -> None:
    engine = load_engines().engine("pellworm_l4")
    assert setting_checked(engine, 27, 12, 0).value is TorqueIs.IN_RANGE
    with pytest.raises(Refused, match="14 mm"):
        setting_checked(engine, 27, 12, 3)


def test_a_setting_worked_out_for_the_adapter_is_in_range_and_shows_what_arrives() -> None:
    engine = load_engines().engine("pellworm_l4")
    setting_nm = wrench_setting(27, 12, 3).value
    worked = setting_checked(engine, setting_nm, 12, 3)
    assert worked.value is TorqueIs.IN_RANGE
    assert "27.0000 N·m at the plug" in "\n".join(as_lines(worked.working))


@pytest.mark.parametrize("engine", load_engines().engines, ids=lambda each: each.key)
def test_every_shipped_engine_tells_a_range_its_thread_can_take(engine) -> None:  # type: ignore[no-untyped-def]
    limits = plug_torque(engine)
    usual = common_range(engine.thread)
    assert usual.low_nm <= limits.value.low_nm * 1.001
    assert limits.value.high_nm <= usual.high_nm * 1.001
    assert engine.torque.source in limits.working.rules[0].citation
