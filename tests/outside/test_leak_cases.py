"""Air of the day, flow and leak area against figures reckoned elsewhere; each case names its source."""

from __future__ import annotations

import math
from typing import Any

import pytest

from annual_planner.trade import flow, pressure
from annual_planner.trade.flow import area_ratio, leak_ratio, reading_of
from tests.outside.cylinder_cases import TABLES, named

FLOW = TABLES["flow"]
Case = dict[str, Any]


def close(value: float, relative: float = 1e-4) -> Any:
    return pytest.approx(value, rel=relative, abs=1e-12)


def cases(table: str) -> Any:
    return pytest.mark.parametrize("case", TABLES[table], ids=named)


def test_units_are_those_of_their_definitions() -> None:
    units = TABLES["units"]
    assert close(units["psi_in_Pa"], 1e-15) == pressure.PA_PER_PSI
    assert close(units["atm_in_psi"], 1e-12) == pressure.STANDARD_PSI_A
    assert units["inHg_conventional_in_Pa"] == pressure.PA_PER_INHG


def test_a_hole_chokes_where_the_reference_says() -> None:
    assert close(FLOW["critical_pressure_ratio"], 1e-6) == flow.CRITICAL_RATIO
    assert close(FLOW["psi_choked"], 1e-6) == flow.CHOKED
    air = pressure.STANDARD_PSI_A
    assert air / flow.CRITICAL_RATIO - air == close(FLOW["leak_chokes_above_psi_g"])
    assert (80 + air) * flow.CRITICAL_RATIO - air == close(FLOW["orifice_chokes_below_psi_g"])
    assert (FLOW["gamma"], FLOW["R_J_per_kg_K"]) == (flow.GAMMA, flow.AIR_J_PER_KG_K)


@cases("flow_function")
def test_flow_function(case: Case) -> None:
    assert flow.flow_function(case["pressure_ratio"]) == close(case["psi"])


@cases("leak_ratio")
def test_leak_ratio_and_the_hole_it_stands_for(case: Case) -> None:
    reading = case["reading_psi_g"]
    ratio = leak_ratio(reading)
    assert ratio.value == close(case["ratio"])
    assert flow.equal_hole_in(ratio.value, 0.040) == close(case["hole_040_in"])
    assert flow.equal_hole_in(ratio.value, 0.060) == close(case["hole_060_in"])
    assert flow.ratio_per_psi(reading) == close(case["per_psi"])
    assert ("not" in ratio.working.steps[0].result) == (case["regime"] == "sub")


@cases("leak_ratio")
def test_the_formula_for_water_is_not_used(case: Case) -> None:
    reading = case["reading_psi_g"]
    assert math.sqrt((80 - reading) / reading) == close(case["incompressible"])
    assert area_ratio(reading) > 1.3 * case["incompressible"]


@cases("leak_ratio_crosscheck")
def test_leak_ratio_against_valve_areas_and_real_air(case: Case) -> None:
    ratio = area_ratio(case["reading_psi_g"])
    assert ratio == close(case["api520"], 2e-3)
    assert ratio == close(case["real_air"], 2e-3)


@cases("mass_flow")
def test_air_through_the_tester(case: Case) -> None:
    kg_per_s = flow.air_kg_per_s(case["orifice_in"], case["reading_psi_g"])
    assert kg_per_s == close(case["kg_per_s"])
    assert flow.standard_liters_per_minute(kg_per_s) == close(case["standard_L_per_min"])
    assert kg_per_s == close(case["real_air_kg_per_s"], 3.2e-3)


@cases("leak_regulator")
def test_another_regulated_pressure(case: Case) -> None:
    reading, regulated, air = case["reading_psi_g"], case["regulated_psi_g"], case["ambient_psi_a"]
    ratio = area_ratio(reading, regulated, air)
    assert ratio == close(case["ratio"])
    assert reading_of(ratio) == close(case["reading_at_80_psi_g"])
    assert reading * 80 / regulated == close(case["linear"])


@cases("leak_elevation")
def test_another_elevation(case: Case) -> None:
    air = pressure.standard_pressure(case["elevation_ft"]).value
    assert air == close(case["ambient_psi_a"])
    ratio = area_ratio(case["reading_psi_g"], ambient_psi_a=air)
    assert ratio == close(case["ratio"])
    assert reading_of(ratio) == close(case["sea_level_reading_psi_g"])


@cases("orifice_swap")
def test_the_same_leak_on_the_other_restrictor(case: Case) -> None:
    keys = [key for key in case if key.startswith("reading")]
    fitted, other = (float(key.removeprefix("reading_").removesuffix("_psi_g")) / 1000 for key in keys)
    given, wanted = (case[key] for key in keys)
    assert flow.reading_on_other_restrictor(given, fitted, other) == close(wanted)


@cases("hot_cylinder")
def test_warm_air_in_the_cylinder(case: Case) -> None:
    ratio = area_ratio(case["cold_reading_psi_g"])
    assert reading_of(ratio, temperature_ratio=case["t_ratio"]) == close(case["reading_psi_g"])


@cases("isa_pressure")
def test_standard_air(case: Case) -> None:
    psi_a = pressure.standard_pressure(case["elevation_ft"]).value
    assert psi_a * pressure.PA_PER_PSI == close(case["Pa"], 1e-6)
    assert psi_a == close(case["psi_a"])
    assert psi_a * pressure.PA_PER_PSI / pressure.PA_PER_INHG == close(case["inHg"])


@cases("station_pressure")
def test_air_at_the_field(case: Case) -> None:
    psi_a = pressure.station_pressure(case["altimeter_setting_inHg"], case["elevation_ft"]).value
    assert psi_a == close(case["station_psi_a"])
    assert psi_a * pressure.PA_PER_PSI / pressure.PA_PER_INHG == close(case["station_inHg"])
