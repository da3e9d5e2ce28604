"""Gaps: the wires decide, closed is allowed and levered open never."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from annual_planner.trade.gaps import (
    WIDEST_MEASURED_IN,
    GapAction,
    GapIs,
    by_wires,
    gap_checked,
    gauged,
    measured,
)
from annual_planner.trade.plugs import Electrode
from annual_planner.trade.refused import Refused
from annual_planner.trade.working import as_lines
from tests.engine_types import plug_type

PLUG = plug_type()
gaps = st.floats(0, WIDEST_MEASURED_IN)


@given(gaps)
def test_wires_and_numbers_differ_at_the_high_limit_only(gap_in: float) -> None:
    assert (gauged(gap_in, PLUG) is measured(gap_in, PLUG)) or gap_in == PLUG.gap_high_in


def test_at_the_high_limit_the_wire_is_stricter_than_the_number() -> None:
    checked = gap_checked([PLUG.gap_high_in], PLUG).value
    assert (checked.by_number, checked.by_gauge) == (GapIs.IN_LIMITS, GapIs.TOO_LARGE)
    assert checked.action is GapAction.CLOSE


@given(st.lists(gaps, min_size=1, max_size=4))
def test_several_ground_electrodes_keep_smallest_and_largest(gaps_in: list[float]) -> None:
    checked = gap_checked(gaps_in, PLUG).value
    assert (checked.smallest_in, checked.largest_in) == (min(gaps_in), max(gaps_in))


@given(st.lists(gaps, min_size=1, max_size=4))
def test_a_plug_with_one_gap_too_small_is_set_aside_and_else_one_too_large_closed(
    gaps_in: list[float],
) -> None:
    action = gap_checked(gaps_in, PLUG).value.action
    if any(gap_in < PLUG.gap_low_in for gap_in in gaps_in):
        assert action is GapAction.REJECT
    elif any(gap_in >= PLUG.gap_high_in for gap_in in gaps_in):
        assert action is GapAction.CLOSE
    else:
        assert action is GapAction.LEAVE


def test_a_gap_too_small_is_never_levered_open() -> None:
    assert "never levered open" in gap_checked([0.012], PLUG).value.how


@pytest.mark.parametrize(
    ("electrode", "said"), [(Electrode.MASSIVE, "gap tool"), (Electrode.FINE_WIRE, "brittle")]
)
def test_how_to_close_a_gap_depends_on_the_electrodes(electrode: Electrode, said: str) -> None:
    assert said in gap_checked([0.024], plug_type(electrode=electrode)).value.how


def test_a_thick_wire_that_passes_where_the_thin_one_does_not_is_refused() -> None:
    with pytest.raises(Refused, match="no gap does"):
        by_wires(go_enters=False, no_go_enters=True)


@pytest.mark.parametrize("gaps_in", [[], [-0.001], [0.41], [math.nan], [math.inf], [0.018, -1]])
def test_a_gap_that_cannot_be_is_refused(gaps_in: list[float]) -> None:
    with pytest.raises(Refused) as caught:
        gap_checked(gaps_in, PLUG)
    assert "inches" in caught.value.remedy


def test_the_working_names_wires_limits_and_the_bench_tester() -> None:
    lines = "\n".join(as_lines(gap_checked([0.017, 0.026], PLUG).working))
    assert "0.016 in wire → enters the smallest gap" in lines
    assert "0.021 in wire → enters the largest gap" in lines
    assert "not onto the pressure tester" in lines
    assert "not onto" not in "\n".join(as_lines(gap_checked([0.017], PLUG).working))
