import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from annual_planner.trade.pressure import ambient_pressure, standard_pressure, station_pressure
from annual_planner.trade.refused import Refused
from annual_planner.trade.working import as_lines

fields = st.floats(-1000, 15000)


@given(fields)
def test_the_standard_setting_gives_the_standard_air(elevation_ft: float) -> None:
    setting = 101325 / 3386.389
    expected = standard_pressure(elevation_ft).value
    assert station_pressure(setting, elevation_ft).value == pytest.approx(expected, rel=1e-9)


@given(fields, st.floats(27, 31), st.floats(0.01, 1))
def test_a_higher_setting_is_denser_air_and_a_higher_field_thinner(
    elevation_ft: float, setting: float, more: float
) -> None:
    here = station_pressure(setting, elevation_ft).value
    assert station_pressure(setting + more, elevation_ft).value > here
    assert station_pressure(setting, elevation_ft + 100 * more).value < here


def test_without_a_setting_standard_air_is_assumed_and_said() -> None:
    answer = ambient_pressure(1200)
    assert answer.value == standard_pressure(1200).value
    assert any("standard pressure" in text for text in answer.working.assumptions)
    assert "altimeter setting = 30 inHg" in "\n".join(as_lines(ambient_pressure(1200, 30.0).working))


@pytest.mark.parametrize("elevation_ft", [-3000, 25000, math.nan])
def test_an_impossible_field_is_refused(elevation_ft: float) -> None:
    with pytest.raises(Refused, match="field elevation"):
        ambient_pressure(elevation_ft)


@pytest.mark.parametrize("setting", [1013.0, 3.01, math.nan])
def test_a_setting_in_other_units_is_refused(setting: float) -> None:
    with pytest.raises(Refused, match="inches of mercury"):
        ambient_pressure(0, setting)
