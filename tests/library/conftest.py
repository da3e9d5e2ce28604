"""The library as it ships, and airplanes of many kinds by their features."""

from __future__ import annotations

import pytest

from annual_planner.library.shelf import Library, load_library

AIRPLANES = {
    "fixed-gear four": (
        "metal_skin high_wing strut_braced flaps fixed_gear nosewheel wheels wheel_fairings spring_gear oleo "
        "hydraulic_brakes opposed carburetor oil_filter magnetos starter cabin_heat fixed_pitch vacuum "
        "electrical alternator position_lights landing_light pitot_heat trim_tab radios tray_radio vor "
        "transponder elt "
        "fire_extinguisher shoulder_harness"
    ),
    "retractable six": (
        "metal_skin low_wing flaps retractable nosewheel wheels oleo hydraulic_brakes hydraulic_gear "
        "gear_electrics hydraulic_reservoir opposed fuel_injected turbocharged oil_filter magnetos starter "
        "fuel_pump cabin_heat constant_speed prop_deice vacuum electrical alternator radios transponder elt "
        "oxygen autopilot airframe_deice carbon_monoxide_detector trim_tab"
    ),
    "fabric radial": (
        "fabric steel_tube wooden_structure wire_braced fixed_gear tailwheel wheels bungee mechanical_brakes "
        "radial carburetor chip_detector magnetos fixed_pitch wooden_propeller"
    ),
    "floatplane": (
        "metal_skin high_wing strut_braced flaps floats opposed carburetor oil_filter magnetos fixed_pitch "
        "electrical alternator radios elt hydraulic_reservoir"
    ),
    "skiplane": "fabric steel_tube skis bungee opposed carburetor magnetos fixed_pitch",
}  # fmt: skip


@pytest.fixture(scope="module")
def library() -> Library:
    return load_library()


@pytest.fixture(params=AIRPLANES, scope="module")
def features(request: pytest.FixtureRequest) -> frozenset[str]:
    return frozenset(AIRPLANES[request.param].split())
