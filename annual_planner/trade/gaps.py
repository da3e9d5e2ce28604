"""The gap of a plug: wire gauges as on the bench, measured numbers, and what may be done about it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum
from math import isfinite

from annual_planner.trade.plugs import Electrode, PlugType
from annual_planner.trade.refused import Refused
from annual_planner.trade.working import Input, Rule, Step, Worked, Working

MM_PER_IN = Decimal("25.4")
"""Exact by definition."""

BENCH_LIMIT_IN = 0.025
"""Greatest gap to put on the pressure tester: TM 9-4910-422-12 section VII."""

WIDEST_MEASURED_IN = 0.1
"""Above this a number is a slip of the pen, such as millimetres typed for inches."""


class GapIs(StrEnum):
    """How a gap stands against its limits."""

    TOO_SMALL = "too small"
    IN_LIMITS = "in limits"
    TOO_LARGE = "too large"


class GapAction(StrEnum):
    """What is done about a gap."""

    LEAVE = "leave"
    CLOSE = "close"
    REJECT = "reject"


@dataclass(frozen=True, slots=True)
class GapChecked:
    """What a check of a gap gave. `smallest_in`, `largest_in`: over all ground electrodes, inch.

    `by_gauge`: what the two wires would say; `by_number`: what the measured numbers say. They differ at the
    high limit itself, which a wire of that size still enters. `how`: what to do, said to the mechanic.
    """

    smallest_in: float
    largest_in: float
    by_gauge: GapIs
    by_number: GapIs
    action: GapAction
    how: str


def gap_mm(gap_in: Decimal) -> Decimal:
    """A gap in millimetres, exact.

    >>> gap_mm(Decimal("0.016"))
    Decimal('0.4064')
    """
    return gap_in * MM_PER_IN


def wire_enters(gap_in: float, wire_in: float) -> bool:
    """Whether a round wire enters a gap: it does up to exactly its size. Both inch."""
    return gap_in >= wire_in


def by_wires(*, go_enters: bool, no_go_enters: bool) -> GapIs:
    """What the low and the high wire say of one gap: the low one must pass, the high one must not.

    Raises Refused where the thicker wire passes and the thinner doesn't.
    """
    if no_go_enters and not go_enters:
        raise Refused(
            "The thick wire passed and the thin one didn't, which no gap does.",
            "See which wire is which and that the gap is clean, then try both again.",
        )
    if not go_enters:
        return GapIs.TOO_SMALL
    return GapIs.TOO_LARGE if no_go_enters else GapIs.IN_LIMITS


def gauged(gap_in: float, plug_type: PlugType) -> GapIs:
    """What the two wires of a plug type would say of a gap of this size, inch."""
    return by_wires(
        go_enters=wire_enters(gap_in, plug_type.gap_low_in),
        no_go_enters=wire_enters(gap_in, plug_type.gap_high_in),
    )


def measured(gap_in: float, plug_type: PlugType) -> GapIs:
    """How a measured number stands against the limits of the plug type, both of which are good, inch."""
    if gap_in < plug_type.gap_low_in:
        return GapIs.TOO_SMALL
    return GapIs.TOO_LARGE if gap_in > plug_type.gap_high_in else GapIs.IN_LIMITS


def gap_checked(gaps_in: Sequence[float], plug_type: PlugType) -> Worked[GapChecked]:
    """Check the gaps of one plug, inch, one for each ground electrode, against its type.

    The wires decide, being the stricter at the high limit. A gap too large is closed; one too small is never
    levered open, so its plug is set aside. Raises Refused where no gap was measured or one can't be.
    """
    _refuse_impossible(gaps_in)
    smallest, largest = min(gaps_in), max(gaps_in)
    gauge = _together(gauged(smallest, plug_type), gauged(largest, plug_type))
    number = _together(measured(smallest, plug_type), measured(largest, plug_type))
    action = _ACTION[gauge]
    value = GapChecked(smallest, largest, gauge, number, action, _how(action, plug_type))
    return Worked(value, _working(value, gaps_in, plug_type))


def _together(smallest: GapIs, largest: GapIs) -> GapIs:
    """One electrode too near spoils the plug whatever the others are; else the widest one counts."""
    return GapIs.TOO_SMALL if smallest is GapIs.TOO_SMALL else largest


def _refuse_impossible(gaps_in: Sequence[float]) -> None:
    if not gaps_in:
        raise Refused("No gap was measured.", "Enter the gap of each ground electrode, in inches.")
    for gap_in in gaps_in:
        if not (isfinite(gap_in) and 0 <= gap_in <= WIDEST_MEASURED_IN):
            raise Refused(
                f"A gap of {gap_in:g} in can't be.", f"Enter inches, from 0 to {WIDEST_MEASURED_IN:g}."
            )


_ACTION = {
    GapIs.TOO_SMALL: GapAction.REJECT,
    GapIs.IN_LIMITS: GapAction.LEAVE,
    GapIs.TOO_LARGE: GapAction.CLOSE,
}
_CLOSE = {
    Electrode.MASSIVE: (
        "Press each wide ground electrode in with the plug's own gap tool, never against the centre "
        "electrode, with the gauge wire out while pressing. Stop short and try the wires: too far can't be "
        "undone."
    ),
    Electrode.FINE_WIRE: (
        "Move the ground electrode only, once and a little, as the plug's maker says: the fine wire is "
        "brittle. Too far can't be undone."
    ),
}


def _how(action: GapAction, plug_type: PlugType) -> str:
    if action is GapAction.LEAVE:
        return "Nothing to set."
    if action is GapAction.CLOSE:
        return _CLOSE[plug_type.electrode]
    return "Set it aside: a gap that is too small is never levered open, which cracks the nose."


def _working(value: GapChecked, gaps_in: Sequence[float], plug_type: PlugType) -> Working:
    low, high = plug_type.gap_low_in, plug_type.gap_high_in
    steps = [
        Step(f"{low:.3f} in wire", _passes(wire_enters(value.smallest_in, low), "smallest gap")),
        Step(f"{high:.3f} in wire", _passes(wire_enters(value.largest_in, high), "largest gap")),
        Step("by the wires", value.by_gauge.value),
        Step("by the numbers", value.by_number.value),
    ]
    if value.largest_in > BENCH_LIMIT_IN:
        steps.append(Step(f"over {BENCH_LIMIT_IN:.3f} in", "not onto the pressure tester before it is set"))
    return Working(
        title=f"Gap, {plug_type.title}",
        result=f"{value.by_gauge.value}: {value.action.value}",
        inputs=(
            *(Input(f"gap {number}", f"{gap:.4g}", "in") for number, gap in enumerate(gaps_in, start=1)),
            Input("limits", f"{low:.3f} to {high:.3f}", "in", plug_type.source),
        ),
        steps=tuple(steps),
        rules=(
            Rule("MIL-S-7886B 3.4", "gap and limits belong to the plug type"),
            Rule("common practice, no source", "every gap of a plug is tried; closed, never levered open"),
        ),
        assumptions=(
            "Round wire gauges, no flat blade: a blade bridges a hollow and reads small.",
            value.how,
        ),
    )


def _passes(enters: bool, name: str) -> str:
    return f"enters the {name}" if enters else f"doesn't enter the {name}"
