"""The restrictor that a cylinder of some bore is tested through."""

from __future__ import annotations

from annual_planner.trade.refused import Refused
from annual_planner.trade.working import Input, Rule, Step, Worked, Working

SMALL_RESTRICTOR_IN, LARGE_RESTRICTOR_IN = 0.040, 0.060
BORE_SPLIT_IN = 5.00
"""Bore from which on the large one is taken."""

RESTRICTOR = Rule("FAA AC 43.13-1B (change 1) 8-14", "0.040 in under 5.00 in of bore, 0.060 in from there up")


def restrictor_for(bore_in: float, makers_in: float | None = None) -> Worked[float]:
    """Restrictor diameter, in, for a bore in inches (above 0, else Refused); the maker's own goes first.

    >>> restrictor_for(4.99).value, restrictor_for(5.0).value, restrictor_for(5.25, makers_in=0.040).value
    (0.04, 0.06, 0.04)
    """
    if not bore_in > 0:
        raise Refused(f"A bore of {bore_in:g} in is not possible.", "Give the bore from the engine's manual.")
    by_bore = SMALL_RESTRICTOR_IN if bore_in < BORE_SPLIT_IN else LARGE_RESTRICTOR_IN
    value = by_bore if makers_in is None else makers_in
    steps = [Step(f"bore {bore_in:g} in against {BORE_SPLIT_IN:.2f} in", f"{by_bore:.3f} in")]
    rules = [RESTRICTOR]
    if makers_in is not None:
        steps.append(Step("the engine maker's own restrictor goes first", f"{makers_in:.3f} in"))
        rules.insert(0, Rule("engine type: its maker's instructions"))
    inputs = (Input("bore", f"{bore_in:g}", "in"),)
    return Worked(value, Working("Restrictor", f"{value:.3f} in", inputs, tuple(steps), tuple(rules)))
