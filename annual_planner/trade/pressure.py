"""Pressure of the air on the day: what a gauge reads against, from elevation or from an altimeter setting."""

from __future__ import annotations

from annual_planner.trade.refused import Refused
from annual_planner.trade.working import Input, Rule, Step, Worked, Working

PA_PER_PSI = 6894.757293168361
"""Pascals in one pound-force per square inch."""

PA_PER_INHG = 3386.389
"""Pascals in one conventional inch of mercury at 0 °C."""

STANDARD_PA = 101325.0
STANDARD_PSI_A = STANDARD_PA / PA_PER_PSI
"""Standard sea-level pressure, psi absolute: 14.696."""

LOWEST_FT, HIGHEST_FT = -2000.0, 20000.0
"""Elevations a field may have here."""

LOWEST_INHG, HIGHEST_INHG = 26.0, 32.0
"""Altimeter settings taken: a little more than was ever reported near an airfield."""

_METERS_PER_FT = 0.3048
_SEA_LEVEL_K = 288.15
_LAPSE_K_PER_M = 0.0065
_EXPONENT = 9.80665 / (287.05287 * _LAPSE_K_PER_M)

_ATMOSPHERE = Rule("ISO 2533 standard atmosphere (from memory)", "temperature falls 6.5 K per kilometer")


def standard_pressure(elevation_ft: float) -> Worked[float]:
    """Pressure of the standard atmosphere at an elevation, psi absolute.

    Elevation in geopotential feet, -2,000 to 20,000; Refused outside.
    Source: the standard atmosphere, ISO 2533 (from memory).

    >>> round(standard_pressure(5000).value, 3)
    12.228
    """
    _check_elevation(elevation_ft)
    factor = 1 - _LAPSE_K_PER_M * _meters(elevation_ft) / _SEA_LEVEL_K
    psi_a = STANDARD_PA * factor**_EXPONENT / PA_PER_PSI
    return _answer(
        psi_a,
        "Air of the standard atmosphere",
        (Input("field elevation", f"{elevation_ft:g}", "ft"),),
        (
            Step(
                f"101325 Pa × (1 - 0.0065 K/m × {_meters(elevation_ft):.1f} m / 288.15 K)^5.25588",
                _said(psi_a),
            ),
        ),
        ("The air of the day has standard pressure for the elevation; a setting or a barometer is better.",),
    )


def station_pressure(altimeter_setting_inhg: float, elevation_ft: float) -> Worked[float]:
    """Pressure of the air at the field, psi absolute, from the altimeter setting there.

    Setting in inches of mercury, 26 to 32; elevation in geopotential feet; Refused outside.
    Source: the standard atmosphere turned round (from memory).

    >>> round(station_pressure(30.42, 5000).value, 3)
    12.439
    """
    _check_elevation(elevation_ft)
    _check_setting(altimeter_setting_inhg)
    setting = altimeter_setting_inhg * PA_PER_INHG / STANDARD_PA
    factor = setting ** (1 / _EXPONENT) - _LAPSE_K_PER_M * _meters(elevation_ft) / _SEA_LEVEL_K
    psi_a = STANDARD_PA * factor**_EXPONENT / PA_PER_PSI
    return _answer(
        psi_a,
        "Air at the field",
        (
            Input("altimeter setting", f"{altimeter_setting_inhg:g}", "inHg"),
            Input("field elevation", f"{elevation_ft:g}", "ft"),
        ),
        (
            Step("setting / 101325 Pa", f"{setting:.5f}"),
            Step("101325 Pa × (that^0.190263 - 0.0065 K/m × elevation / 288.15 K)^5.25588", _said(psi_a)),
        ),
        (),
    )


def ambient_pressure(elevation_ft: float, altimeter_setting_inhg: float | None = None) -> Worked[float]:
    """Pressure of the air of the day, psi absolute: from the setting where there is one, else standard.

    Elevation in feet, setting in inches of mercury; Refused outside of what is possible.

    >>> round(ambient_pressure(5000).value, 3), round(ambient_pressure(5000, 29.42).value, 3)
    (12.228, 12.016)
    """
    if altimeter_setting_inhg is None:
        return standard_pressure(elevation_ft)
    return station_pressure(altimeter_setting_inhg, elevation_ft)


def _meters(elevation_ft: float) -> float:
    return elevation_ft * _METERS_PER_FT


def _said(psi_a: float) -> str:
    return f"{psi_a:.3f} psi absolute"


def _check_elevation(elevation_ft: float) -> None:
    if not LOWEST_FT <= elevation_ft <= HIGHEST_FT:
        raise Refused(
            f"A field elevation of {elevation_ft:g} ft is not possible here.",
            f"Give feet between {LOWEST_FT:,.0f} and {HIGHEST_FT:,.0f}.",
        )


def _check_setting(setting_inhg: float) -> None:
    if not LOWEST_INHG <= setting_inhg <= HIGHEST_INHG:
        raise Refused(
            f"{setting_inhg:g} inHg can't be an altimeter setting.",
            f"Give inches of mercury between {LOWEST_INHG:g} and {HIGHEST_INHG:g}, as the field reports it.",
        )


def _answer(
    psi_a: float, title: str, inputs: tuple[Input, ...], steps: tuple[Step, ...], assumed: tuple[str, ...]
) -> Worked[float]:
    return Worked(psi_a, Working(title, _said(psi_a), inputs, steps, (_ATMOSPHERE,), assumed))
