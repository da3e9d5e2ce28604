"""Air through two holes in a row: the tester's restrictor and the cylinder's leak.

The same air passes the restrictor, from regulated pressure to the cylinder, and the leak, from the cylinder
to the air of the day. The ideal-gas flow through a converging hole gives the leak's area in restrictors.
"""

from __future__ import annotations

import math

from annual_planner.trade.pressure import PA_PER_PSI, STANDARD_PSI_A
from annual_planner.trade.refused import Refused
from annual_planner.trade.working import Input, Rule, Step, Worked, Working

GAMMA = 1.4
"""Ratio of specific heats of air."""

AIR_J_PER_KG_K = 287.05287
STANDARD_K = 288.15

CRITICAL_RATIO: float = (2 / (GAMMA + 1)) ** (GAMMA / (GAMMA - 1))
"""Pressure behind a hole over pressure before it at which the flow chokes: 0.52828."""

CHOKED: float = math.sqrt(GAMMA) * (2 / (GAMMA + 1)) ** ((GAMMA + 1) / (2 * (GAMMA - 1)))
"""The flow function of a choked hole: 0.68473."""

REGULATED_PSI = 80.0
"""What a differential tester is regulated to: FAA AC 43.13-1B (change 1) 8-14 b(5)."""

LEAST_SD_PSI = 1.0
"""Gauge marks stand 1 to 2 psi apart: no reading is surer than this. Common practice, no source."""

NOZZLE = Rule("ideal gas through a converging hole (textbook formula)", "both holes pass the same air")


def flow_function(pressure_ratio: float) -> float:
    """Flow through a hole over area and upstream pressure, without dimension, 0 to 0.68473.

    Ratio: pressure behind over pressure before, 0 to 1, else ValueError. Choked below 0.52828.

    >>> round(flow_function(0.9), 5), round(flow_function(0.1), 5), flow_function(1)
    (0.42258, 0.68473, 0.0)
    """
    if not 0 <= pressure_ratio <= 1:
        raise ValueError(f"pressure_ratio must be 0 to 1, not {pressure_ratio}")
    if pressure_ratio <= CRITICAL_RATIO:
        return CHOKED
    squared = math.pow(pressure_ratio, 2 / GAMMA) - math.pow(pressure_ratio, (GAMMA + 1) / GAMMA)
    return math.sqrt(2 * GAMMA / (GAMMA - 1) * squared)


def area_ratio(
    reading_psi: float,
    regulated_psi: float = REGULATED_PSI,
    ambient_psi_a: float = STANDARD_PSI_A,
    temperature_ratio: float = 1.0,
) -> float:
    """Leak area over restrictor area, bare. Pressures as in `leak_ratio`, which gives it with its working.

    >>> round(area_ratio(60), 4)
    1.0586
    """
    _check(reading_psi, regulated_psi, ambient_psi_a)
    before, cylinder = regulated_psi + ambient_psi_a, reading_psi + ambient_psi_a
    restrictor = before * flow_function(cylinder / before)
    return restrictor / (cylinder * flow_function(ambient_psi_a / cylinder)) * math.sqrt(temperature_ratio)


def leak_ratio(
    reading_psi: float, regulated_psi: float = REGULATED_PSI, ambient_psi_a: float = STANDARD_PSI_A
) -> Worked[float]:
    """Leak of a cylinder as the number of restrictors that would lose as much; 0 at no loss, larger is worse.

    Reading and regulated pressure psi gauge, air of the day psi absolute. Refused for a reading above the
    regulated pressure (gauge error), or of nothing. Source: ideal gas through two holes in a row.

    >>> round(leak_ratio(72).value, 3)
    0.625
    """
    ratio = area_ratio(reading_psi, regulated_psi, ambient_psi_a)
    before, cylinder = regulated_psi + ambient_psi_a, reading_psi + ambient_psi_a
    steps = (
        Step("cylinder / regulated, absolute", f"{cylinder / before:.5f}, {_flows(cylinder / before)}"),
        Step(
            "air / cylinder, absolute", f"{ambient_psi_a / cylinder:.5f}, {_flows(ambient_psi_a / cylinder)}"
        ),
        Step("flow of the restrictor / flow of a leak of the same area", f"{ratio:.4f}"),
    )
    assumed = (
        "Air in the cylinder is as warm as in the tester; a hot head makes the reading a little higher.",
        "One round hole stands for the leak; rings, valves and cracks each leak in their own way.",
    )
    inputs = (
        Input("reading", f"{reading_psi:g}", "psi"),
        Input("regulated", f"{regulated_psi:g}", "psi"),
        Input("air of the day", f"{ambient_psi_a:.3f}", "psi absolute"),
    )
    return Worked(ratio, Working("Leak ratio", f"{ratio:.3f} restrictors", inputs, steps, (NOZZLE,), assumed))


def ratio_per_psi(
    reading_psi: float, regulated_psi: float = REGULATED_PSI, ambient_psi_a: float = STANDARD_PSI_A
) -> float:
    """Change of the leak ratio for one psi more of reading, per psi, below 0; minus infinity at no loss.

    >>> round(ratio_per_psi(79), 4), round(ratio_per_psi(60), 4)
    (-0.1077, -0.0329)
    """
    ratio = area_ratio(reading_psi, regulated_psi, ambient_psi_a)
    if reading_psi == regulated_psi:
        return -math.inf
    before, cylinder = regulated_psi + ambient_psi_a, reading_psi + ambient_psi_a
    restrictor = _log_slope(cylinder / before) / before
    leak = -_log_slope(ambient_psi_a / cylinder) * ambient_psi_a / cylinder**2
    return ratio * (restrictor - 1 / cylinder - leak)


def ratio_sd(
    reading_psi: float,
    reading_sd_psi: float,
    regulated_psi: float = REGULATED_PSI,
    ambient_psi_a: float = STANDARD_PSI_A,
) -> float:
    """Standard deviation of the leak ratio, from that of the reading (psi, taken as at least 1).

    Close to the regulated pressure the slope has no end; there the change over one deviation counts.

    >>> round(ratio_sd(60, 1), 4), round(ratio_sd(80, 1), 4)
    (0.0329, 0.2133)
    """
    sd_psi = max(reading_sd_psi, LEAST_SD_PSI)
    lower = max(reading_psi - sd_psi, reading_psi / 2)
    change = area_ratio(lower, regulated_psi, ambient_psi_a) - area_ratio(
        reading_psi, regulated_psi, ambient_psi_a
    )
    if reading_psi > regulated_psi - sd_psi:
        return change
    return -ratio_per_psi(reading_psi, regulated_psi, ambient_psi_a) * sd_psi


def reading_of(
    ratio: float,
    regulated_psi: float = REGULATED_PSI,
    ambient_psi_a: float = STANDARD_PSI_A,
    temperature_ratio: float = 1.0,
) -> float:
    """Reading, psi gauge, that a leak of so many restrictors (above 0, else ValueError) would give.

    `temperature_ratio`: absolute temperature in the cylinder over that at the tester.

    >>> round(reading_of(1.0586), 1), round(reading_of(1.05856, temperature_ratio=1.2), 1)
    (60.0, 62.8)
    """
    if ratio < 0:
        raise ValueError(f"ratio must not be below 0, not {ratio}")
    low, high = 0.0, regulated_psi
    for _ in range(80):
        middle = (low + high) / 2
        if middle in (low, high):  # nothing lies between them any more
            break
        if area_ratio(middle, regulated_psi, ambient_psi_a, temperature_ratio) > ratio:
            low = middle
        else:
            high = middle
    return (low + high) / 2


def reading_on_other_restrictor(
    reading_psi: float, fitted_in: float, other_in: float, ambient_psi_a: float = STANDARD_PSI_A
) -> float:
    """Reading, psi, the same leak would give with another restrictor; to show why the two never share a line.

    Restrictor diameters in inches, above 0. Regulated to 80 psi with both.

    >>> round(reading_on_other_restrictor(60, 0.040, 0.060), 1)
    75.3
    """
    ratio = area_ratio(reading_psi, ambient_psi_a=ambient_psi_a)
    return reading_of(ratio * (fitted_in / other_in) ** 2, ambient_psi_a=ambient_psi_a)


def equal_hole_in(ratio: float, restrictor_in: float) -> float:
    """Diameter, in, of one round hole like the restrictor that would leak as much.

    >>> round(equal_hole_in(1.0586, 0.040), 3)
    0.041
    """
    return restrictor_in * math.sqrt(ratio)


def air_kg_per_s(
    restrictor_in: float,
    reading_psi: float,
    regulated_psi: float = REGULATED_PSI,
    ambient_psi_a: float = STANDARD_PSI_A,
) -> float:
    """Air through the tester, kg/s, at 15 °C with a discharge coefficient of 1 (multiply by the real one).

    >>> round(air_kg_per_s(0.040, 60), 6)
    0.001052
    """
    _check(reading_psi, regulated_psi, ambient_psi_a)
    before = regulated_psi + ambient_psi_a
    area_m2 = math.pi / 4 * (restrictor_in * 0.0254) ** 2
    share = flow_function((reading_psi + ambient_psi_a) / before)
    return area_m2 * before * PA_PER_PSI * share / math.sqrt(AIR_J_PER_KG_K * STANDARD_K)


def standard_liters_per_minute(kg_per_s: float) -> float:
    """Liters per minute of air at 15 °C and 101,325 Pa for a mass flow in kg/s.

    >>> round(standard_liters_per_minute(0.0010523), 1)
    51.5
    """
    return kg_per_s * AIR_J_PER_KG_K * STANDARD_K / 101325.0 * 60_000


def _log_slope(pressure_ratio: float) -> float:
    """Slope of the logarithm of the flow function; 0 where choked."""
    if pressure_ratio <= CRITICAL_RATIO:
        return 0.0
    power = 2 / GAMMA * math.pow(pressure_ratio, 2 / GAMMA - 1)
    power -= (GAMMA + 1) / GAMMA * math.pow(pressure_ratio, 1 / GAMMA)
    return GAMMA / (GAMMA - 1) * power / flow_function(pressure_ratio) ** 2


def _flows(pressure_ratio: float) -> str:
    return "choked" if pressure_ratio <= CRITICAL_RATIO else "not choked"


def _check(reading_psi: float, regulated_psi: float, ambient_psi_a: float) -> None:
    if not (regulated_psi > 0 and ambient_psi_a > 0):
        raise Refused(
            "A leak can't be worked out without a regulated pressure and the pressure of the air.",
            "Give both, above 0 psi.",
        )
    if reading_psi > regulated_psi:
        raise Refused(
            f"A reading of {reading_psi:g} psi is above the {regulated_psi:g} psi put in: a gauge error.",
            "Check the tester on itself and read again, or correct the regulated pressure.",
        )
    if not reading_psi > 0:
        raise Refused(
            f"A reading of {reading_psi:g} psi gives no leak: the cylinder holds nothing.",
            "Look for a valve held open or a hose off, come up to top center again and read again.",
        )
