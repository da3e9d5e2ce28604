"""Figures printed on cards against the places they were published, each converted by pint.

80 psi in, less than 25 % lost: FAA AC 43.13-1B (change 1) 8-14 b(5). 20 psi to try the tester on itself: the
same, (e). 14 mm plugs 240 ± 20 in-lb and 18 mm plugs 330 in-lb nominal: MIL-S-7886B 4.6, torques of a test
installation (the sign before the 20 is lost in the scan). 18 to 22 ft-lb for 14 mm: common practice, no
source. 25 to 30 and 35 ft-lb for 18 mm: two engine makers as reported by the trade. 5 kΩ: one plug maker's
figure.
"""

from __future__ import annotations

import re

import pint
import pytest

from annual_planner.library.cards import MEASURE_UNITS
from annual_planner.library.shelf import load_library
from annual_planner.trade.cards import CardTemplate, Measurement, Per

UNITS: pint.UnitRegistry[float] = pint.UnitRegistry()
CARDS = {card.key: card for card in load_library().cards}
PINT_NAMES = {
    "in-lb": "inch * force_pound", "ft-lb": "foot * force_pound", "Ω": "ohm", "kΩ": "kiloohm",
    "mΩ": "milliohm", "°F": "degF", "qt": "quart", "kt": "knot", "%": "percent", "deg": "degree",
    "s": "second", "min": "minute", "h": "hour", "gal": "gallon", "lb": "pound", "mA": "milliampere",
    "A": "ampere", "V": "volt",
}  # fmt: skip


def measured(key: str, name: str) -> Measurement:
    [found] = [each for each in CARDS[key].measurements if each.name.startswith(name)]
    return found


def limits(measurement: Measurement, unit: str) -> tuple[float, float]:
    assert measurement.low is not None
    assert measurement.high is not None
    given = PINT_NAMES.get(measurement.unit, measurement.unit)
    low, high = (
        UNITS.Quantity(float(each), given).to(unit).magnitude for each in (measurement.low, measurement.high)
    )
    return low, high


def compression_readings() -> list[Measurement]:
    return [
        each
        for card in CARDS.values()
        for each in card.measurements
        if each.per is Per.CYLINDER and each.unit == "psi"
    ]


def test_every_unit_a_card_may_use_is_one_the_converter_knows() -> None:
    for unit in MEASURE_UNITS:
        UNITS.Unit(PINT_NAMES.get(unit, unit))


def test_compression_is_put_in_at_80_psi_exactly() -> None:
    supplied = measured(hot_key(), "Supply pressure")
    assert limits(supplied, "psi") == (80, 80)


def hot_key() -> str:
    return next(
        key for key, card in CARDS.items() if any(m.name == "Supply pressure" for m in card.measurements)
    )


def test_a_reading_on_the_good_side_keeps_three_quarters_of_what_was_put_in() -> None:
    readings = compression_readings()
    assert readings
    for reading in readings:
        low, high = limits(reading, "psi")
        assert (1 - low / 80, high) == (pytest.approx(0.25), 80)
        assert "AC 43.13-1B 8-14" in reading.note


def test_the_tester_is_tried_on_itself_at_20_psi() -> None:
    assert any("20 psi" in step for step in CARDS[hot_key()].steps)


def test_a_14_mm_plugs_torque_holds_the_specifications_test_torque_within_it() -> None:
    torque = measured("install_plugs", "Torque, 14 mm")
    nominal = UNITS.Quantity(240, "inch * force_pound").to("newton * meter").magnitude
    spread = UNITS.Quantity(20, "inch * force_pound").to("newton * meter").magnitude
    low, high = limits(torque, "newton * meter")
    assert low < nominal - spread < nominal + spread < high
    assert (nominal, low, high) == tuple(pytest.approx(x, abs=0.05) for x in (27.1, 24.4, 29.8))


def test_a_14_mm_plugs_torque_is_18_to_22_ft_lb_and_marked_common_practice() -> None:
    torque = measured("install_plugs", "Torque, 14 mm")
    assert limits(torque, "foot * force_pound") == (pytest.approx(18), pytest.approx(22))
    assert "common practice" in torque.note


def test_an_18_mm_plugs_torque_spans_both_makers_and_holds_the_specifications_nominal() -> None:
    torque = measured("install_plugs", "Torque, 18 mm")
    assert limits(torque, "foot * force_pound") == (pytest.approx(25), pytest.approx(35))
    low, high = limits(torque, "inch * force_pound")
    assert low < 330 < high


def test_figures_in_a_torques_note_are_its_limits_in_the_other_unit() -> None:
    for name in ("Torque, 14 mm", "Torque, 18 mm"):
        torque = measured("install_plugs", name)
        said = re.search(r"(\d+) to (\d+) ft-lb", torque.note)
        assert said is not None
        assert limits(torque, "foot * force_pound") == (
            pytest.approx(float(said[1])),
            pytest.approx(float(said[2])),
        )


def test_no_card_gives_a_gap_for_every_plug_because_the_plug_type_does() -> None:
    gaps = [each for card in CARDS.values() for each in card.measurements if each.name.endswith(" gap")]
    assert {each.name for each in gaps} == {"Smallest gap", "Largest gap"}
    for gap in gaps:
        assert (gap.low, gap.high, gap.unit, gap.per) == (None, None, "in", Per.PLUG)
        assert "plug type" in gap.note


def test_the_resistance_limit_is_told_as_one_makers_advice() -> None:
    resistance = measured("service_plugs", "Resistance")
    given = PINT_NAMES[resistance.unit]
    assert UNITS.Quantity(float(resistance.high or 0), given).to("ohm").magnitude == 5000
    assert "no rule sets one" in resistance.note


def test_radio_and_altimeter_cards_hold_the_rules_own_figures() -> None:
    # 14 CFR 91.171(b)(1), (c): 4 degrees on a ground signal or between two receivers; 43 App. E(c): 125 ft.
    assert limits(measured("records_vor", "Bearing error"), "degree") == (pytest.approx(-4), pytest.approx(4))
    reporting = measured("bought_pitot_static", "Altitude reporting")
    assert limits(reporting, "ft") == (pytest.approx(-125), pytest.approx(125))


def numbered(card: CardTemplate) -> list[Measurement]:
    return [each for each in card.measurements if each.low is not None or each.high is not None]


@pytest.mark.parametrize("key", [key for key, card in CARDS.items() if numbered(card)])
def test_a_limit_in_numbers_says_where_it_comes_from(key: str) -> None:
    for each in numbered(CARDS[key]):
        exact = each.low == each.high
        assert exact or each.note, f"{key}: {each.name}"
