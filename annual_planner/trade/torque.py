"""Tightening torque of plugs: range, units, wrench with an adapter, and what a universal joint passes on.

Newton metres inside; other units come in and go out by `in_newton_meters` and `in_unit`.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from enum import StrEnum
from functools import cache
from math import cos, isfinite, radians, sin
from typing import TYPE_CHECKING

from annual_planner.trade.answer import answer
from annual_planner.trade.engines import EngineType, TorqueRange
from annual_planner.trade.plugs import Thread
from annual_planner.trade.refused import Refused
from annual_planner.trade.working import Input, Rule, Step, Worked, Working

if TYPE_CHECKING:
    import pint

ADAPTER_RULE = "US Army TM 1-1500-204-23-9; US Navy 14315; at an angle US Army TM 9-254"
JOINT_ANGLE_DEG = 15.0
"""Up to here a joint errs about as much as a wrench may: no note needed. Common practice, no source."""

STEEPEST_JOINT_DEG = 45.0
"""Beyond this a joint binds, and what it passes on can't be relied on. Common practice, no source."""


class TorqueUnit(StrEnum):
    """The units a torque wrench is marked in."""

    NEWTON_METER = "N·m"
    FOOT_POUND = "ft-lb"
    INCH_POUND = "in-lb"
    KILOGRAM_METER = "kgf·m"


_PINT_NAMES = {
    TorqueUnit.NEWTON_METER: "newton * meter",
    TorqueUnit.FOOT_POUND: "foot * force_pound",
    TorqueUnit.INCH_POUND: "inch * force_pound",
    TorqueUnit.KILOGRAM_METER: "kilogram_force * meter",
}


@cache
def _registry() -> pint.UnitRegistry[float]:
    import pint  # slow to import: only when a unit is converted

    return pint.UnitRegistry()


@cache
def _newton_meters_each(unit: TorqueUnit) -> float:
    return float(_registry().Quantity(1.0, _PINT_NAMES[unit]).to("newton * meter").magnitude)


def in_newton_meters(torque: float, unit: TorqueUnit) -> float:
    """A torque given in some unit, in N·m.

    >>> round(in_newton_meters(30, TorqueUnit.FOOT_POUND), 2)
    40.67
    """
    return torque * _newton_meters_each(unit)


def in_unit(torque_nm: float, unit: TorqueUnit) -> float:
    """A torque in N·m, in the unit of the wrench.

    >>> round(in_unit(27.116, TorqueUnit.INCH_POUND))
    240
    """
    return torque_nm / _newton_meters_each(unit)


def said_torque(torque_nm: float) -> str:
    """A torque in all units a shop's wrenches have.

    >>> said_torque(40.675)
    '40.7 N·m (30.0 ft-lb, 360 in-lb)'
    """
    feet, inches = in_unit(torque_nm, TorqueUnit.FOOT_POUND), in_unit(torque_nm, TorqueUnit.INCH_POUND)
    return f"{torque_nm:.1f} N·m ({feet:.1f} ft-lb, {inches:.0f} in-lb)"


class TorqueIs(StrEnum):
    """Where a torque lies against the range."""

    IN_RANGE = "in range"
    TOO_LOW = "too low"


_DAMAGE = {
    Thread.MM14: (
        "The thin shell of a 14 mm plug stretches: the seal of the insulator and the gap are disturbed, "
        "heat leaves the plug badly, and the thread or its insert comes out of the head with the plug."
    ),
    Thread.MM18: (
        "The shell stretches, the seal of the insulator and the gap are disturbed, and the insert may be "
        "pulled out of the head."
    ),
}
_COMMON = {
    Thread.MM14: (18.0, 22.0, "common practice, no source (MIL-S-7886B 4.6 agrees)"),
    Thread.MM18: (25.0, 35.0, "engine makers differ: 25-30 and 35 ft-lb as reported by the trade"),
}
_WRENCH_RULES = (
    "Wrench calibrated within a year and not dropped since; new gasket; compound off the first threads.",
    "By hand until the plug sits on its gasket, then one smooth pull; a wrench that chatters starts again.",
    "The engine maker's current instructions come first.",
)


def common_range(thread: Thread) -> TorqueRange:
    """What is usual for a thread where no engine type is known; the engine maker's number comes first."""
    low, high, source = _COMMON[thread]
    low_nm, high_nm = (in_newton_meters(each, TorqueUnit.FOOT_POUND) for each in (low, high))
    return TorqueRange(low_nm, high_nm, source)


def plug_torque(engine: EngineType) -> Worked[TorqueRange]:
    """The range to tighten a plug of this engine to, both ends allowed: its maker's."""
    limits = engine.torque
    working = Working(
        title=f"Plug torque of {engine.title}, {engine.thread.value} thread",
        result=_said_range(limits),
        inputs=(
            Input("lowest", f"{limits.low_nm:g}", "N·m", limits.source),
            Input("highest", f"{limits.high_nm:g}", "N·m", limits.source),
        ),
        steps=(Step("the maker's range, both ends allowed, in every unit", _said_range(limits)),),
        rules=(Rule(limits.source), Rule("AC 43.13-1B 7-40", "use and care of torque wrenches")),
        assumptions=_WRENCH_RULES,
    )
    return Worked(limits, working)


def _said_range(limits: TorqueRange) -> str:
    return f"{said_torque(limits.low_nm)} to {said_torque(limits.high_nm)}"


def torque_checked(torque_nm: float, thread: Thread, limits: TorqueRange) -> Worked[TorqueIs]:
    """Hold a torque that a plug would get, N·m, against the range.

    Raises Refused above the range, with the damage it does, and for what is no torque.
    """
    _refuse_unless_positive("torque", torque_nm)
    if torque_nm > limits.high_nm and not _alike(torque_nm, limits.high_nm):
        raise Refused(
            f"{said_torque(torque_nm)} is above the range for this {thread.value} thread, "
            f"{_said_range(limits)}. {_DAMAGE[thread]}",
            "Set the wrench within the range. A plug that already got more is scrapped, its hole inspected.",
        )
    low = torque_nm < limits.low_nm and not _alike(torque_nm, limits.low_nm)
    value = TorqueIs.TOO_LOW if low else TorqueIs.IN_RANGE
    return answer(
        value,
        f"Torque on a {thread.value} plug",
        f"{said_torque(torque_nm)}: {value.value}",
        citation=limits.source,
        inputs=[("torque", f"{torque_nm:.4g}", "N·m"), ("range", _said_range(limits))],
        steps=[Step("a loose plug leaks, can't shed its heat and overheats", "tighten")] if low else (),
        assumptions=_WRENCH_RULES,
    )


def _alike(first_nm: float, second_nm: float) -> bool:
    """Equal to one part in a thousand: what is left of a number that was converted and rounded."""
    return abs(first_nm - second_nm) <= 0.001 * second_nm


def wrench_setting(
    wanted_nm: float, wrench_in: float, extension_in: float, angle_deg: float = 0.0, drag_nm: float = 0.0
) -> Worked[float]:
    """What to set a wrench to, N·m, so that through an adapter the plug gets the wanted torque.

    `wrench_in`: centre of the grip to centre of the drive, above 0. `extension_in`: centre of the drive to
    centre of the plug, 0 or more. `angle_deg`: 0 straight out, 90 square to the wrench, 180 back along the
    handle. `drag_nm`: torque that merely turning takes, added first. Raises Refused where these can't be.

    >>> round(wrench_setting(300, 10, 4).value, 2)
    214.29
    """
    lever_in = effective_lever_in(wrench_in, extension_in, angle_deg)
    _refuse_unless_positive("wanted torque", wanted_nm)
    if not (isfinite(drag_nm) and drag_nm >= 0):
        raise Refused(f"A drag of {drag_nm:g} N·m can't be.", "Enter what turning the thread takes, or 0.")
    total_nm = wanted_nm + drag_nm
    setting_nm = total_nm * wrench_in / lever_in
    steps = [Step("wanted + drag", f"{total_nm:.4f} N·m")] if drag_nm else []
    steps += [
        Step(f"lever: {wrench_in:g} in + {extension_in:g} in × cos {angle_deg:g}°", f"{lever_in:.4f} in"),
        Step(f"{total_nm:.4f} N·m × {wrench_in:g} in / {lever_in:.4f} in", f"{setting_nm:.4f} N·m"),
    ]
    return answer(
        setting_nm,
        "Setting of the wrench with an adapter",
        said_torque(setting_nm),
        citation=ADAPTER_RULE,
        says="wanted × L / (L + E cos φ)",
        inputs=[
            ("wanted", f"{wanted_nm:.4g}", "N·m"),
            ("drag", f"{drag_nm:.4g}", "N·m"),
            ("wrench", f"{wrench_in:g}", "in"),
            ("adapter", f"{extension_in:g}", "in"),
            ("angle", f"{angle_deg:g}", "°"),
        ],
        steps=steps,
        assumptions=[
            "The hand stays on the grip where the length was measured; no pipe on the handle.",
            "A straight socket extension in line with the drive changes nothing.",
        ],
    )


def delivered_nm(setting_nm: float, wrench_in: float, extension_in: float, angle_deg: float = 0.0) -> float:
    """What the plug gets through an adapter, N·m, when the wrench clicks at its setting.

    Lengths and angle as for `wrench_setting`, and so are the refusals.
    """
    _refuse_unless_positive("setting", setting_nm)
    return setting_nm * effective_lever_in(wrench_in, extension_in, angle_deg) / wrench_in


def setting_checked(
    engine: EngineType, setting_nm: float, wrench_in: float, extension_in: float, angle_deg: float = 0.0
) -> Worked[TorqueIs]:
    """Hold what a plug of this engine gets through an adapter, at this setting, against its range.

    Lengths and angle as for `wrench_setting`. Raises Refused above the range, with the damage it does.
    """
    torque_nm = delivered_nm(setting_nm, wrench_in, extension_in, angle_deg)
    checked = torque_checked(torque_nm, engine.thread, engine.torque)
    lever = Step(
        f"{setting_nm:.4g} N·m with {wrench_in:g} in and {extension_in:g} in at {angle_deg:g}°",
        f"{torque_nm:.4f} N·m at the plug",
    )
    working = checked.working
    rules = (*working.rules, Rule(ADAPTER_RULE, "wanted × L / (L + E cos φ)"))
    return Worked(checked.value, replace(working, steps=(lever, *working.steps), rules=rules))


def effective_lever_in(wrench_in: float, extension_in: float, angle_deg: float) -> float:
    """Length of the lever from the grip to the plug, measured along the wrench, inch.

    Raises Refused where the lengths can't be, or the adapter reaches back as far as the grip.
    """
    _refuse_unless_positive("wrench length", wrench_in)
    if not (isfinite(extension_in) and extension_in >= 0):
        raise Refused(f"An adapter {extension_in:g} in long can't be.", "Measure from drive to plug, or 0.")
    if not 0 <= angle_deg <= 180:
        raise Refused(
            f"An adapter at {angle_deg:g}° can't be.",
            "Enter 0 for straight out, 90 for square to the wrench, 180 for back along the handle.",
        )
    lever_in = wrench_in + extension_in * cos(radians(angle_deg))
    if lever_in <= 0:
        raise Refused("The adapter reaches back past the grip.", "Take a shorter adapter or a longer wrench.")
    return lever_in


def _refuse_unless_positive(name: str, value: float) -> None:
    if not (isfinite(value) and value > 0):
        raise Refused(f"A {name} of {value:g} can't be.", f"Enter a {name} above 0.")


@dataclass(frozen=True, slots=True)
class JointBand:
    """Least and greatest torque that comes through a joint, N·m; `caution` is empty where none is needed."""

    least_nm: float
    greatest_nm: float
    caution: str


def joint_ratio(joint_deg: float, cross_deg: float) -> float:
    """Share of the torque that a single joint at an angle passes on, by where its cross stands.

    >>> round(joint_ratio(30, 90), 4)
    1.1547
    """
    bend = radians(joint_deg)
    return (1 - sin(bend) ** 2 * cos(radians(cross_deg)) ** 2) / cos(bend)


def joint_band(applied_nm: float, joint_deg: float) -> Worked[JointBand]:
    """What comes through a universal joint or wobble end in line with the plug, by its angle.

    Between cos and 1/cos of the angle times what is applied: the joint passes force on unevenly as it turns.
    Raises Refused beyond 45° and for what is no torque. Source: statics of a single joint; that a wobble
    end is left uncorrected is common practice, no source.
    """
    _refuse_unless_positive("torque", applied_nm)
    if not 0 <= joint_deg <= STEEPEST_JOINT_DEG:
        raise Refused(
            f"A joint at {joint_deg:g}° can't be relied on.",
            f"Come straighter at the plug, within {STEEPEST_JOINT_DEG:g}°; best within {JOINT_ANGLE_DEG:g}°.",
        )
    least, greatest = joint_ratio(joint_deg, 0), joint_ratio(joint_deg, 90)
    caution = _joint_caution(least, greatest) if joint_deg > JOINT_ANGLE_DEG else ""
    band = JointBand(applied_nm * least, applied_nm * greatest, caution)
    return answer(
        band,
        "Torque through a universal joint",
        f"{said_torque(band.least_nm)} to {said_torque(band.greatest_nm)}",
        citation="statics of a single universal joint",
        says="between cos β and 1 / cos β of what is applied",
        inputs=[("applied", f"{applied_nm:.4g}", "N·m"), ("angle of the joint", f"{joint_deg:g}", "°")],
        steps=[Step(f"cos {joint_deg:g}°", f"{least:.5f}"), Step("1 / cos", f"{greatest:.5f}")],
        assumptions=[caution] if caution else ["Within what a wrench itself may be off; no note needed."],
    )


def _joint_caution(least: float, greatest: float) -> str:
    return (
        f"Above about {JOINT_ANGLE_DEG:g}° the plug may get {1 - least:.0%} less or {greatest - 1:.0%} more "
        "than the wrench says: come straighter at it."
    )
