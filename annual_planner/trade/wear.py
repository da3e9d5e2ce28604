"""Wear of one plug by hours run: growth of its gap since the last setting, and its electrode's size.

A gap can be closed again, a thin electrode can't be helped: the electrode's size ends a plug's life.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from decimal import Decimal

from annual_planner.trade.lines import rate_from_origin
from annual_planner.trade.plugs import PlugType
from annual_planner.trade.trend_estimates import Limit, Reading, Worse
from annual_planner.trade.trends import Trend, Why, trend
from annual_planner.trade.working import Input, Rule, Step, Worked, Working

GAP_SD_IN = 0.0005
"""Standard deviation of a gap taken with round wires in steps of 0.001 in. Common practice, no source."""

ELECTRODE_SD_IN = 0.001
"""Standard deviation of an electrode measured with calipers. Common practice, no source."""

HALF_WORN = 0.5

HALF_SIZE = Rule(
    "US Army TM 9-4910-422-12 section I; an engine maintenance manual", "worn to about half of new: reject"
)
GAP_RULE = Rule("the plug type's own gap limits (MIL-S-7886B 3.4.1)", "the gap belongs to the plug type")


@dataclass(frozen=True, slots=True)
class PlugLook:
    """One look at a plug: hours it had run, the place it came out of, sizes in inches as far as measured.

    `gap_in`: as found. `set_gap_in`: as set afterwards, None where it was left. `next_place`: where it went,
    empty for the same place. A new plug's first look is at 0 h, with the gap it was fitted with.
    """

    hours: Decimal | None
    place: str
    gap_in: float | None = None
    set_gap_in: float | None = None
    electrode_in: float | None = None
    next_place: str = ""


@dataclass(frozen=True, slots=True)
class WearLimits:
    """Limits of a plug type, in: widest gap, electrode when new and worn out (half of new where not given).

    `electrode_in` is None where the type's original size isn't known.
    """

    gap_high_in: float
    electrode_in: float | None = None
    worn_out_in: float | None = None


def wear_limits(plug_type: PlugType) -> WearLimits:
    """Limits as the plug type has them."""
    return WearLimits(plug_type.gap_high_in, plug_type.electrode_in, plug_type.wear_limit_in)


@dataclass(frozen=True, slots=True)
class GapGrowth:
    """Growth of a gap: of the setting that runs now and over all settings, in per 100 h (None: unknown)."""

    trend: Trend
    began: str
    per_100_h_in: float | None
    life_per_100_h_in: float | None


@dataclass(frozen=True, slots=True)
class PlugWear:
    """One plug: its gap since the last setting, and its electrode over its life, which ends it."""

    gap: GapGrowth
    electrode: Trend


def plug_wear(plug: str, looks: Sequence[PlugLook], limits: WearLimits) -> Worked[PlugWear]:
    """Gap and electrode of one plug (its serial or shop tag) by hours run, each with band or reason."""
    gap = gap_growth(looks, limits)
    electrode = electrode_wear(looks, limits)
    working = Working(
        f"Wear of plug {plug}",
        f"worn out: {electrode.value.said}",
        wear_inputs(looks),
        (
            Step("gap at its widest", gap.value.trend.said),
            Step("electrode at its limit", electrode.value.said),
        ),
        (HALF_SIZE, GAP_RULE),
        ("A gap can be closed again; a thin electrode ends the plug.",),
        (gap.working, electrode.working),
    )
    return Worked(PlugWear(gap.value, electrode.value), working)


def gap_growth(looks: Sequence[PlugLook], limits: WearLimits) -> Worked[GapGrowth]:
    """Hours until the gap may be at its widest, since the last setting, or why nothing can be said.

    A setting or a change of place starts a new series: wear depends on place and polarity.
    """
    runs = gap_runs(looks)
    now = runs[-1] if runs else GapRun((), "")
    readings = [Reading(hours, gap, GAP_SD_IN, f"gap at {_at(hours)}") for hours, gap in now.gaps]
    answer = trend(
        readings,
        Limit(limits.gap_high_in, Worse.RISING, GAP_SD_IN),
        title="Growth of the gap since the last setting",
        unit="in",
        assumptions=(
            f"A gap is measured to {GAP_SD_IN:g} in (one standard deviation; common practice, no source).",
        ),
    )
    found = answer.value
    if found.why_not is Why.TOO_FEW and now.began:
        found = replace(found, said=f"{found.said} since {now.began}")
    value = GapGrowth(found, now.began, _rate(now.gaps), _life_rate(runs))
    steps = [Step("new series", run.began) for run in runs if run.began]
    steps += _rate_steps(value)
    working = replace(
        answer.working,
        result=found.said,
        steps=(*steps, *answer.working.steps),
        rules=(GAP_RULE, *answer.working.rules),
    )
    return Worked(value, working)


def electrode_wear(looks: Sequence[PlugLook], limits: WearLimits) -> Worked[Trend]:
    """Hours until an electrode may be worn to its limit, over the plug's life, or why nothing can be said.

    Setting a gap starts no new series here. A plug not measured when new counts as of its type's size at 0 h.
    """
    title = "Electrode over the plug's life"
    if limits.electrode_in is None:
        said = f"{Why.NO_LIMIT}: the plug type's original electrode size isn't known"
        return Worked(Trend(None, None, Why.NO_LIMIT, said), Working(title, said))
    sizes = [(each.hours, each.electrode_in) for each in looks if each.electrode_in is not None]
    spread = f"{ELECTRODE_SD_IN:g} in (one standard deviation; common practice, no source)"
    assumed = [f"An electrode is measured to {spread}."]
    if sizes and all(hours != 0 for hours, _ in sizes):
        sizes.insert(0, (Decimal(0), limits.electrode_in))
        assumed.append("When new the electrode had the size of its plug type.")
    readings = [Reading(hours, size, ELECTRODE_SD_IN, f"electrode at {_at(hours)}") for hours, size in sizes]
    lowest = limits.worn_out_in or limits.electrode_in * HALF_WORN
    limit = Limit(lowest, Worse.FALLING, ELECTRODE_SD_IN, reached_is_past=True)
    answer = trend(readings, limit, title=title, unit="in", assumptions=assumed)
    step = Step(f"{limits.electrode_in:g} in when new", f"limit {lowest:.4g} in")
    working = replace(
        answer.working, steps=(step, *answer.working.steps), rules=(HALF_SIZE, *answer.working.rules)
    )
    return Worked(answer.value, working)


@dataclass(frozen=True, slots=True)
class GapRun:
    """Hours and gaps of one setting in one place, and why it began (empty for the first)."""

    gaps: tuple[tuple[Decimal | None, float], ...]
    began: str


def gap_runs(looks: Sequence[PlugLook]) -> tuple[GapRun, ...]:
    """Cut the looks, in order, where a gap was set or the plug changed its place."""
    runs: list[GapRun] = []
    gaps: list[tuple[Decimal | None, float]] = []
    began = ""
    for look in looks:
        if look.gap_in is not None:
            gaps.append((look.hours, look.gap_in))
        reason = _new_run(look)
        if not reason:
            continue
        if gaps:
            runs.append(GapRun(tuple(gaps), began))
        left = look.set_gap_in if look.set_gap_in is not None else look.gap_in
        gaps, began = ([] if left is None else [(look.hours, left)]), f"{reason} at {_at(look.hours)}"
    return (*runs, GapRun(tuple(gaps), began)) if gaps or began else tuple(runs)


def _new_run(look: PlugLook) -> str:
    said = []
    if look.set_gap_in is not None and look.set_gap_in != look.gap_in:
        said.append(f"gap set to {look.set_gap_in:.3f} in")
    if look.next_place and look.next_place != look.place:
        said.append(f"moved from {look.place} to {look.next_place}")
    return " and ".join(said)


def _at(hours: Decimal | None) -> str:
    return "hours not known" if hours is None else f"{hours:f} h"


def _rate(gaps: Sequence[tuple[Decimal | None, float]]) -> float | None:
    """Growth per 100 h from the first gap of a run, which is known best: a line through it."""
    first = gaps[0] if gaps else (None, 0.0)
    if first[0] is None:
        return None
    since = [(float(hours - first[0]), gap - first[1]) for hours, gap in gaps[1:] if hours is not None]
    since = [(hours, grown) for hours, grown in since if hours > 0]
    if len(since) > 1:
        return 100 * rate_from_origin(*zip(*since, strict=True)).slope
    return 100 * since[0][1] / since[0][0] if since else None


def _life_rate(runs: Sequence[GapRun]) -> float | None:
    """Growth of all runs together over their hours, in per 100 h."""
    known = [
        (run.gaps[-1][0] - run.gaps[0][0], run.gaps[-1][1] - run.gaps[0][1])
        for run in runs
        if run.gaps and run.gaps[0][0] is not None and run.gaps[-1][0] is not None
    ]
    hours = float(sum(each for each, _ in known))
    return 100 * sum(grown for _, grown in known) / hours if hours > 0 else None


def _rate_steps(growth: GapGrowth) -> list[Step]:
    rates = (
        ("growth since the setting, without a band", growth.per_100_h_in),
        ("growth over all settings, without a band", growth.life_per_100_h_in),
    )
    return [Step(text, f"{rate:.4f} in per 100 h") for text, rate in rates if rate is not None]


def wear_inputs(looks: Sequence[PlugLook]) -> tuple[Input, ...]:
    """What was measured at each look, as a person reads it."""
    return tuple(Input(f"{look.place} at {_at(look.hours)}", _measured(look), "in") for look in looks)


def _measured(look: PlugLook) -> str:
    sizes = (("gap", look.gap_in), ("set to", look.set_gap_in), ("electrode", look.electrode_in))
    return ", ".join(f"{name} {size:.3f}" for name, size in sizes if size is not None) or "nothing measured"
