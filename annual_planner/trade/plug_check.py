"""One look at a plug: clean, replace or replace soon, with every reason."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from math import isfinite, isnan

from annual_planner.trade.gaps import GapAction, GapChecked, gap_checked
from annual_planner.trade.plugs import (
    FIRST_SIGHT,
    Condition,
    ConditionSays,
    Damage,
    Electrode,
    PlugType,
    Verdict,
)
from annual_planner.trade.refused import Refused
from annual_planner.trade.working import Input, Rule, Step, Worked, Working

SHOP_RESISTANCE_OHM = 5000.0
"""Advice only: one plug maker's figure, taken up by the trade; no rule or standard was found for it."""

OPEN_OHM = 1_000_000.0
"""From here on the plug counts as open. Common practice, no source."""

SOON_SHARE = 0.2
"""With no more than this share of the wear left, it is replaced soon. Common practice, no source."""

_HALF = "US Army TM 9-4910-422-12 section I: about half of the original size; an engine maintenance manual"
_OVAL = "trade pages: an oval centre electrode whose short axis is half of its long one is at the same limit"
_DROPPED = "an engine maintenance manual: a plug that was dropped is never fitted; trade"


BEFORE, AFTER = "before cleaning", "after cleaning"
"""The two stages at which a plug that came out is looked at."""


@dataclass(frozen=True, slots=True)
class PlugSeen:
    """What was seen and measured on one plug; what wasn't measured is None or empty.

    `gaps_in`: one for each ground electrode. `electrode_in`: the least size of the centre electrode.
    `oval_in`: short and long axis of a massive centre electrode. `resistance_ohm`: infinite when open.
    `sparks_under_pressure`: what the bench tester said.
    """

    conditions: tuple[Condition, ...] = (Condition.NORMAL,)
    dropped: bool = False
    damage: tuple[Damage, ...] = ()
    gaps_in: tuple[float, ...] = ()
    electrode_in: float | None = None
    oval_in: tuple[float, float] | None = None
    resistance_ohm: float | None = None
    sparks_under_pressure: bool | None = None


@dataclass(frozen=True, slots=True)
class Reason:
    """Why a plug gets a verdict, and what that rests on."""

    verdict: Verdict
    said: str
    rule: Rule


@dataclass(frozen=True, slots=True)
class Decision:
    """What becomes of a plug.

    `discrepancies`: what to write up on its cylinder. `look_next`: where to look for the causes. `gap`: None
    where none was measured. `may_be_overruled`: false of a dropped plug. `overruled_because`: empty unless a
    person decided otherwise.
    """

    verdict: Verdict
    reasons: tuple[Reason, ...]
    discrepancies: tuple[str, ...]
    look_next: tuple[str, ...]
    gap: GapChecked | None
    may_be_overruled: bool
    overruled_because: str = ""


_WEIGHT = {Verdict.CLEAN: 0, Verdict.REPLACE_SOON: 1, Verdict.REPLACE: 2}


def decided(
    seen: PlugSeen,
    plug_type: PlugType,
    shop_resistance_ohm: float = SHOP_RESISTANCE_OHM,
    *,
    says: Mapping[Condition, ConditionSays],
) -> Worked[Decision]:
    """Decide what becomes of a plug from everything seen and measured on it; the gravest reason decides.

    `says`: what each condition says, as the library's table has it (Library.conditions_say).
    Raises Refused for what can't be together or can't be measured.
    """
    _refuse_impossible(seen, plug_type)
    gap = gap_checked(seen.gaps_in, plug_type) if seen.gaps_in else None
    found = [says[each] for each in seen.conditions]
    checked = gap.value if gap else None
    reasons = tuple(_reasons(seen, found, plug_type, checked, shop_resistance_ohm))
    verdict = max((each.verdict for each in reasons), key=_WEIGHT.__getitem__)
    value = Decision(
        verdict=verdict,
        reasons=reasons,
        discrepancies=tuple(each.discrepancy for each in found if each.discrepancy),
        look_next=tuple(text for each in found for text in each.look_next),
        gap=checked,
        may_be_overruled=not seen.dropped,
    )
    return Worked(value, _working(seen, plug_type, value, gap.working if gap else None))


def overruled(decision: Decision, verdict: Verdict, because: str) -> Decision:
    """The same decision with another verdict that a person takes on themselves.

    Raises Refused without a reason, and always for a dropped plug.
    """
    if not decision.may_be_overruled:
        raise Refused(
            "A dropped plug is rejected, whether or not a crack shows; nobody can overrule that here.",
            "Scrap it and fit another.",
        )
    if not because.strip():
        raise Refused("Another verdict needs a reason.", "Say why, so that the next person can follow it.")
    return replace(decision, verdict=verdict, overruled_because=because.strip())


def _reasons(
    seen: PlugSeen,
    found: Sequence[ConditionSays],
    plug_type: PlugType,
    gap: GapChecked | None,
    shop_ohm: float,
) -> Iterator[Reason]:
    if seen.dropped:
        yield Reason(Verdict.REPLACE, "dropped: it may be cracked where nobody sees it", Rule(_DROPPED))
    for damage in seen.damage:
        yield Reason(Verdict.REPLACE, damage.value, Rule(FIRST_SIGHT))
    yield from (_by_condition(each) for each in found)
    yield from _by_size(seen, plug_type)
    yield from _by_gap(gap)
    yield from _by_resistance(seen.resistance_ohm, plug_type, shop_ohm)
    if seen.sparks_under_pressure is False:
        rule = Rule("US Army TM 9-4910-422-12 section VII", "the insulator is tried under air pressure")
        yield Reason(Verdict.REPLACE, "no steady spark on the pressure tester", rule)


def _by_condition(says: ConditionSays) -> Reason:
    return Reason(says.verdict, f"{says.condition.value} ({says.looks_like})", Rule(says.source))


def _by_size(seen: PlugSeen, plug_type: PlugType) -> Iterator[Reason]:
    if seen.electrode_in is not None:
        new, limit = plug_type.electrode_in, plug_type.wear_limit_in
        said = f"electrode {seen.electrode_in:.3g} in, {new:.3g} in when new, limit {limit:.3g} in"
        yield Reason(_worn(seen.electrode_in, new, limit), said, Rule(_HALF))
    if seen.oval_in is not None:
        short, long = seen.oval_in
        said = f"electrode oval, {short:.3g} by {long:.3g} in"
        yield Reason(_worn(short, long, long / 2), said, Rule(_OVAL))
    if Condition.WORN in seen.conditions and seen.electrode_in is None and seen.oval_in is None:
        rule = Rule("common practice, no source")
        yield Reason(Verdict.REPLACE_SOON, "worn by eye and not measured", rule)


def _worn(size_in: float, new_in: float, limit_in: float) -> Verdict:
    """At the limit is rejected; little above it is soon."""
    if size_in <= limit_in:
        return Verdict.REPLACE
    left = (size_in - limit_in) / (new_in - limit_in)
    return Verdict.REPLACE_SOON if left <= SOON_SHARE else Verdict.CLEAN


def _by_gap(gap: GapChecked | None) -> Iterator[Reason]:
    if gap is None:
        return
    verdict = Verdict.REPLACE if gap.action is GapAction.REJECT else Verdict.CLEAN
    low, high = _inches(gap.smallest_in), _inches(gap.largest_in)
    size = low if low == high else f"{low} to {high}"
    said = f"gap {size} in, {gap.by_gauge.value}: {gap.action.value}"
    yield Reason(verdict, said, Rule("MIL-S-7886B 3.4", "gap and limits belong to the plug type"))


def _inches(size_in: float) -> str:
    """A gap with three places, with a fourth where it has one."""
    whole = f"{size_in:.3f}"
    return whole if abs(float(whole) - size_in) < 1e-6 else f"{size_in:.4f}"


def _by_resistance(ohm: float | None, plug_type: PlugType, shop_ohm: float) -> Iterator[Reason]:
    if ohm is None:
        return
    limit = plug_type.resistance_limit_ohm
    if ohm >= OPEN_OHM:
        yield Reason(Verdict.REPLACE, "open circuit", Rule("trade", "the spark finds another way"))
    elif limit is not None:
        verdict = Verdict.REPLACE if ohm >= limit else Verdict.CLEAN
        yield Reason(verdict, f"{ohm:.0f} Ω, its maker's limit {limit:.0f} Ω", Rule(plug_type.source))
    else:
        verdict = Verdict.REPLACE_SOON if ohm >= shop_ohm else Verdict.CLEAN
        rule = Rule("one plug maker's figure, common in the trade", "advice; another maker disputes it")
        yield Reason(verdict, f"{ohm:.0f} Ω, the shop's figure {shop_ohm:.0f} Ω", rule)


def _refuse_impossible(seen: PlugSeen, plug_type: PlugType) -> None:
    if not seen.conditions:
        raise Refused("Nobody said what the plug looks like.", "Choose at least one condition, or normal.")
    if Condition.NORMAL in seen.conditions and len(seen.conditions) > 1:
        others = ", ".join(each.value for each in seen.conditions if each is not Condition.NORMAL)
        raise Refused(f"A plug can't be normal and {others} at once.", "Take one of them back.")
    if seen.electrode_in is not None:
        _refuse_size(seen.electrode_in, plug_type)
    if seen.oval_in is not None:
        _refuse_oval(seen.oval_in, plug_type)
    ohm = seen.resistance_ohm
    if ohm is not None and (isnan(ohm) or ohm < 0):
        raise Refused(f"A resistance of {ohm:g} Ω can't be.", "Enter ohms, or say that it is open.")


def _refuse_size(size_in: float, plug_type: PlugType) -> None:
    """A new plug may measure a little over its nominal size; far over is another plug or a slip."""
    if not (isfinite(size_in) and 0 <= size_in <= plug_type.electrode_in * 1.1):
        raise Refused(
            f"An electrode of {size_in:g} in can't be one of type {plug_type.title}.",
            f"It has {plug_type.electrode_in:g} in when new; measure again, or mend the plug's type.",
        )


def _refuse_oval(oval_in: tuple[float, float], plug_type: PlugType) -> None:
    short, long = oval_in
    if plug_type.electrode is not Electrode.MASSIVE:
        raise Refused("The oval limit is for massive electrodes.", "Measure the fine wire's own size.")
    if not (isfinite(long) and 0 < short <= long):
        raise Refused(
            f"An oval of {short:g} by {long:g} in can't be.", "Enter the short axis first, both above 0."
        )


def _working(seen: PlugSeen, plug_type: PlugType, value: Decision, gap: Working | None) -> Working:
    return Working(
        title=f"Plug check, {plug_type.title}",
        result=f"{value.verdict.value}: {'; '.join(_deciding(value))}",
        inputs=(
            Input("looks", ", ".join(each.value for each in seen.conditions)),
            Input("dropped", "yes" if seen.dropped else "no"),
        ),
        steps=tuple(Step(each.said, each.verdict.value) for each in value.reasons),
        rules=tuple(dict.fromkeys(each.rule for each in value.reasons)),
        assumptions=(
            "The gravest reason decides.",
            *(f"Not measured: {each}." for each in _unmeasured(seen)),
        ),
        parts=(gap,) if gap else (),
    )


def _deciding(value: Decision) -> list[str]:
    return [each.said for each in value.reasons if each.verdict is value.verdict]


def _unmeasured(seen: PlugSeen) -> list[str]:
    measured = {
        "gap": bool(seen.gaps_in),
        "size of the electrode": seen.electrode_in is not None or seen.oval_in is not None,
        "resistance": seen.resistance_ohm is not None,
        "spark under pressure": seen.sparks_under_pressure is not None,
    }
    return [name for name, done in measured.items() if not done]
