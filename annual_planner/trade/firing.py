"""Firing order: intervals, magneto speed, and the polarity of every plug's spark.

Successive sparks of one magneto have opposite polarity, because its magnet's poles alternate. One cycle is
two turns of the crankshaft and as many sparks per magneto as there are cylinders. With an even count each
plug keeps its polarity, with an odd count it changes from cycle to cycle.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

from annual_planner.trade.answer import answer
from annual_planner.trade.engines import EngineType, Magneto, MagnetoPhase, Place, PolarityRule
from annual_planner.trade.refused import Refused
from annual_planner.trade.working import Input, Rule, Step, Worked, Working

REVERSAL = Rule(
    "FAA-H-8083-32 ch 4, magnetic circuit", "the flux in the coil reverses between one spark and the next"
)
RELATIVE = (
    "Signs are relative: + is what cylinder 1 of the order gets from the left magneto on an even cycle."
)


_PHASE_UNKNOWN = (
    "Nobody has found out whether both magnetos agree at a cylinder, so the polarities of the right magneto "
    "are unknown against those of the left; a meter or the wear of the plugs tells."
)


class Polarity(StrEnum):
    """The polarity of a plug's spark, relative to the first cylinder of the order on the left magneto."""

    SAME = "+"
    OPPOSITE = "-"
    ALTERNATES = "+/-"
    UNKNOWN = "?"


@dataclass(frozen=True, slots=True)
class SparkAt:
    """What fires one place: its magneto and the polarity of the spark."""

    place: Place
    magneto: Magneto
    polarity: Polarity


def checked_order(order: Sequence[int]) -> tuple[int, ...]:
    """Give a firing order back. Raises Refused unless it holds each cylinder from 1 on, once."""
    if len(order) < 2 or sorted(order) != list(range(1, len(order) + 1)):
        said = "-".join(str(each) for each in order) or "nothing"
        raise Refused(
            f"{said} is no firing order.", "Each cylinder, numbered from 1 on, must stand in it exactly once."
        )
    return tuple(order)


def next_firing(order: Sequence[int], cylinder: int, steps: int = 1) -> int:
    """The cylinder that fires `steps` after this one.

    >>> next_firing((1, 4, 5, 2, 3, 6), 6)
    1
    """
    return order[(order.index(cylinder) + steps) % len(order)]


def firing_interval_deg(cylinders: int) -> float:
    """Turn of the crankshaft between two firings, degrees: two turns shared out evenly.

    >>> firing_interval_deg(6)
    120.0
    """
    return 720 / cylinders


def magneto_speed(cylinders: int, poles: int) -> Worked[float]:
    """Turns of a magneto's rotor for one turn of the crankshaft: cylinders / (2 × poles of the rotor).

    Raises ValueError unless both are above 0. Source: FAA-H-8083-32, as recalled; it follows from one spark
    per reversal.

    >>> magneto_speed(6, 2).value
    1.5
    """
    if cylinders <= 0 or poles <= 0:
        raise ValueError(f"cylinders and poles must be above 0, not {cylinders} and {poles}")
    ratio = cylinders / (2 * poles)
    return answer(
        ratio,
        "Magneto speed to crankshaft speed",
        f"{ratio:.4g}",
        citation="FAA-H-8083-32 ch 4, from memory",
        says="one spark for each reversal of flux",
        inputs=[("cylinders", str(cylinders)), ("poles of the rotor", str(poles))],
        steps=[Step(f"{cylinders} / (2 × {poles})", f"{ratio:.4g}")],
    )


def spark_rate(rpm: float) -> Worked[float]:
    """Sparks a second of one plug: one for two turns of the crankshaft.

    `rpm` not under 0, else ValueError. Source: FAA-H-8083-32 ch 4, about 17 a second at 2,100 rpm.

    >>> spark_rate(2100).value
    17.5
    """
    if rpm < 0:
        raise ValueError(f"rpm must not be under 0, not {rpm}")
    rate = rpm / 120
    return answer(
        rate,
        "Sparks of one plug",
        f"{rate:.4g} a second, {rate * 3600:,.0f} an hour",
        citation="FAA-H-8083-32 ch 4",
        says="about 17 sparks a second at 2,100 rpm",
        inputs=[("crankshaft speed", f"{rpm:g}", "rpm")],
        steps=[Step(f"{rpm:g} rpm / 60 s / 2 turns for each spark", f"{rate:.4g} a second")],
    )


def signs_of_cycle(order: Sequence[int], cycle: int = 1) -> dict[int, int]:
    """The sign, 1 or -1, of one magneto's spark at each cylinder in the given cycle, the first counting 1.

    The first spark of the first cycle is 1. Raises Refused for an order that is none.

    >>> signs_of_cycle((1, 3, 2, 4))
    {1: 1, 3: -1, 2: 1, 4: -1}
    """
    order = checked_order(order)
    before = (cycle - 1) * len(order)
    return {cylinder: (-1) ** ((before + index) % 2) for index, cylinder in enumerate(order)}


def keeps_polarity(order: Sequence[int]) -> bool:
    """Whether every plug gets the same sign in each cycle: true of an even count of cylinders."""
    return len(order) % 2 == 0


def polarity_at(engine: EngineType, at: Place) -> Polarity:
    """The polarity of the spark at one place. Raises Refused where the engine has no such place."""
    magneto = engine.magneto_at(at)
    rule = _effective_rule(engine)
    if rule is PolarityRule.ALTERNATING:
        return Polarity.ALTERNATES
    if rule is PolarityRule.ALL_ALIKE:
        return Polarity.SAME
    if rule is PolarityRule.UNKNOWN or (magneto is Magneto.RIGHT and engine.phase is MagnetoPhase.UNKNOWN):
        return Polarity.UNKNOWN
    turned = magneto is Magneto.RIGHT and engine.phase is MagnetoPhase.OPPOSED
    odd = (engine.firing_order.index(at.cylinder) + turned) % 2
    return Polarity.OPPOSITE if odd else Polarity.SAME


def _effective_rule(engine: EngineType) -> PolarityRule:
    """The rule in force: by firing index an odd count of cylinders alternates."""
    if engine.polarity is PolarityRule.BY_FIRING_INDEX and not keeps_polarity(engine.firing_order):
        return PolarityRule.ALTERNATING
    return engine.polarity


def polarities(engine: EngineType) -> Worked[tuple[SparkAt, ...]]:
    """Magneto and polarity of every place, in the order of the engine's places."""
    sparks = tuple(SparkAt(at, engine.magneto_at(at), polarity_at(engine, at)) for at in engine.places)
    unknown = sum(each.polarity is Polarity.UNKNOWN for each in sparks)
    result = f"{len(sparks)} places" + (f", {unknown} of them unknown" if unknown else "")
    working = Working(
        title=f"Spark polarity of {engine.title}",
        result=result,
        inputs=(
            Input("firing order", "-".join(str(each) for each in engine.firing_order)),
            Input("magnetos at one cylinder", engine.phase.value),
            Input("polarity rule", engine.polarity.value),
        ),
        steps=tuple(
            Step(f"{each.place}, {each.magneto.value} magneto", each.polarity.value) for each in sparks
        ),
        rules=(REVERSAL,),
        assumptions=(RELATIVE, *_unknown_because(engine)),
    )
    return Worked(sparks, working)


def _unknown_because(engine: EngineType) -> tuple[str, ...]:
    rule = _effective_rule(engine)
    if rule is PolarityRule.UNKNOWN:
        return ("The engine type doesn't say how its ignition alternates, so no polarity is known.",)
    if rule is PolarityRule.BY_FIRING_INDEX and engine.phase is MagnetoPhase.UNKNOWN:
        return (_PHASE_UNKNOWN,)
    return ()
