"""Why the blade is held: what regulated air behind a piston does to the propeller."""

from __future__ import annotations

import math

from annual_planner.trade.working import Input, Rule, Step, Worked, Working


def hub_torque_ft_lbf(
    pressure_psi: float, bore_in: float, stroke_in: float, rod_in: float, past_top_deg: float
) -> Worked[float]:
    """Torque at the propeller hub, ft-lbf, from air behind one piston so many degrees past top center.

    Pressure psi gauge; bore, stroke and rod length in inches above 0, the rod longer than half the stroke,
    else ValueError. No friction. Source: slider and crank (textbook).

    >>> round(hub_torque_ft_lbf(80, 5.0, 4.0, 7.0, 10).value, 1)
    58.3
    """
    crank_in, angle = stroke_in / 2, math.radians(past_top_deg)
    if not (bore_in > 0 and 0 < crank_in < rod_in):
        raise ValueError("bore and stroke must be above 0 and the rod longer than half the stroke")
    push = pressure_psi * math.pi / 4 * bore_in**2
    side = crank_in * math.sin(angle)
    lever_in = side * (1 + crank_in * math.cos(angle) / math.sqrt(rod_in**2 - side**2))
    torque = push * lever_in / 12
    working = Working(
        "Torque of the air at the propeller hub",
        f"{torque:.0f} ft-lb",
        (
            Input("air behind the piston", f"{pressure_psi:g}", "psi"),
            Input("bore, stroke, rod", f"{bore_in:g}, {stroke_in:g}, {rod_in:g}", "in"),
            Input("past top center", f"{past_top_deg:g}", "deg"),
        ),
        (
            Step("push on the piston: pressure × area", f"{push:.0f} lbf"),
            Step("lever of the crank at this angle", f"{lever_in:.3f} in"),
        ),
        (Rule("slider and crank (textbook)"),),
        ("No friction; both valves shut.",),
    )
    return Worked(torque, working)
