"""What the type of an engine puts on its cards: gaskets, torque, gaps, tools, restrictor, limits."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from annual_planner.planning.card_content import CardContent, ToMeasure
from annual_planner.trade.cards import Per
from annual_planner.trade.engine_compression import judging_rule_of, restrictor_of
from annual_planner.trade.engines import EngineType
from annual_planner.trade.flow import REGULATED_PSI
from annual_planner.trade.plugs import PlugType, Thread
from annual_planner.trade.torque import TorqueUnit, in_unit

Types = Mapping[int, EngineType]
"""The engine types of an airplane by the engine's position, from 1; an engine of unknown type is missing."""

UNKNOWN_TYPE = (
    "The type of this engine isn't set: torque, gap, restrictor and limits here are general figures. "
    "Choose the type on the page 'Plugs and cylinders', then plan again."
)

SOCKET, LEAD, ADAPTER = "deep plug socket", "lead wrench", "adapter for 14 or 18 mm thread"
GAUGES, TESTER = "gap tool and round wire gauges", "differential compression tester"
NEW_PLUG = "Spark plug of the type in the engine chart"
_THREADS = {Thread.MM14: "plugs_14mm", Thread.MM18: "plugs_18mm"}


def type_of(types: Types, engine: int, engines: int) -> EngineType | None:
    """The type a card goes by: its engine's, or the only engine's; None for a card of several engines."""
    if engine:
        return types.get(engine)
    return types.get(1) if engines == 1 else None


def typed_counts(counts: Mapping[str, int], types: Types, engines: int) -> dict[str, int]:
    """The airplane's counts with cylinders and plugs from its engine types, where all are known."""
    if len(types) < engines:
        return dict(counts)
    every = [types[place] for place in sorted(types)]
    return {**counts, **_counted(*every)}


def counts_of(engine: EngineType, counts: Mapping[str, int]) -> dict[str, int]:
    """The counts of one engine's card, its cylinders and plugs from its type."""
    return {**counts, **_counted(engine)}


def _counted(*engines: EngineType) -> dict[str, int]:
    return {
        "cylinders": sum(each.cylinder_count for each in engines),
        "plugs": sum(len(each.places) for each in engines),
    }


def typed_features(features: frozenset[str], engine: EngineType | None) -> frozenset[str]:
    """The features with the plug thread of the engine's type in place of what the sheet says."""
    if engine is None:
        return features
    return features - set(_THREADS.values()) | {_THREADS[engine.thread]}


def depends_on_type(content: CardContent) -> bool:
    """Say whether an engine's type would say anything on this card."""
    told = {SOCKET, LEAD, ADAPTER, GAUGES, TESTER}
    return (
        not told.isdisjoint(content.tools)
        or any(part.name == NEW_PLUG for part in content.parts)
        or any(_is_torque(each) or _is_gap(each) or _is_reading(each) for each in content.measurements)
    )


def by_type(content: CardContent, engine: EngineType) -> CardContent:
    """The content of an engine's card with what its type says; a card it doesn't touch stays as it is."""
    if not depends_on_type(content):
        return content
    return replace(
        content,
        tools=_tools(content, engine),
        parts=tuple(
            replace(part, name=f"Spark plug, {said_plugs(engine)}") if part.name == NEW_PLUG else part
            for part in content.parts
        ),
        measurements=tuple(_measured(each, engine) for each in content.measurements),
        references=tuple(dict.fromkeys((*content.references, f"engine type {engine.title}"))),
    )


def plug_types_of(engine: EngineType) -> tuple[PlugType, ...]:
    """Every plug type an engine takes, once, in the order of its rows."""
    return tuple({each.key: each for row in engine.rows for each in row.plug_types}.values())


def said_plugs(engine: EngineType) -> str:
    """The plug types an engine takes, by row where the rows differ."""
    if engine.rows_differ:
        return "; ".join(f"{row.row.words}: {_titles(row.plug_types)}" for row in engine.rows)
    return _titles(plug_types_of(engine))


def _titles(types: tuple[PlugType, ...]) -> str:
    return " or ".join(each.title for each in types)


def _tools(content: CardContent, engine: EngineType) -> tuple[str, ...]:
    tools: list[str] = []
    for tool in content.tools:
        tools += _instead(tool, engine)
    if any(_is_torque(each) for each in content.measurements):
        tools.append(f"thread chaser {engine.thread.value} (bushings; wire inserts get a round brush only)")
    return tuple(dict.fromkeys(tools))


def _instead(tool: str, engine: EngineType) -> list[str]:
    size = engine.thread.value
    if tool == SOCKET:
        return [f"short plug socket for {size} plugs"]
    if tool == LEAD:
        return [tool, "second wrench to hold the lead"]
    if tool == ADAPTER:
        return [f"adapter for {size} thread"]
    if tool == GAUGES:
        return [f"gap tool and round wire gauges {_wires(engine)}"]
    if tool == TESTER:
        hole = restrictor_of(engine).value
        return [tool, f"restrictor {hole:.3f} in for the tester (bore {engine.bore_in:g} in)"]
    return [tool]


def _wires(engine: EngineType) -> str:
    sizes = {size for each in plug_types_of(engine) for size in (each.gap_low_in, each.gap_high_in)}
    return ", ".join(f"{size:.3f}" for size in sorted(sizes)) + " in"


def _measured(each: ToMeasure, engine: EngineType) -> ToMeasure:
    if _is_torque(each):
        return _torque(each, engine)
    if _is_gap(each):
        return _gap(each, engine)
    if _is_reading(each):
        return _reading(each, engine)
    if each.per == Per.PLUG and each.unit == "kΩ":
        return _resistance(each, engine)
    return each


def _is_torque(each: ToMeasure) -> bool:
    units = {unit.value for unit in TorqueUnit}
    return each.per == Per.PLUG and each.unit in units and each.name.startswith("Torque")


def _is_gap(each: ToMeasure) -> bool:
    return each.per == Per.PLUG and each.unit == "in" and "gap" in each.name.lower()


def _is_reading(each: ToMeasure) -> bool:
    return each.per == Per.CYLINDER and each.unit == "psi"


def _torque(each: ToMeasure, engine: EngineType) -> ToMeasure:
    limits, unit = engine.torque, TorqueUnit(each.unit)
    low, high = (f"{round(in_unit(nm, unit), 1):g}" for nm in (limits.low_nm, limits.high_nm))
    if unit is TorqueUnit.INCH_POUND:
        low, high = (f"{in_unit(nm, unit):.0f}" for nm in (limits.low_nm, limits.high_nm))
    said = f"{engine.title}, {limits.low_nm:g} to {limits.high_nm:g} N·m: {limits.source}"
    return replace(each, name=f"Torque, {engine.thread.value} thread", low=low, high=high, note=said)


def _gap(each: ToMeasure, engine: EngineType) -> ToMeasure:
    """Limits where all plug types of the engine have the same; else each type's in the note, by row."""
    types = plug_types_of(engine)
    limits = {(f"{one.gap_low_in:.3f}", f"{one.gap_high_in:.3f}") for one in types}
    if len(limits) == 1:
        low, high = limits.pop()
        return replace(each, low=low, high=high, note=_titles(types))
    said = [_said_gaps(types)]
    if engine.rows_differ:
        said = [f"{row.row.words}: {_said_gaps(row.plug_types)}" for row in engine.rows]
    return replace(each, low=None, high=None, note="; ".join(said))


def _said_gaps(types: tuple[PlugType, ...]) -> str:
    return ", ".join(f"{one.title} {one.gap_low_in:.3f} to {one.gap_high_in:.3f} in" for one in types)


def _resistance(each: ToMeasure, engine: EngineType) -> ToMeasure:
    limits = [one.resistance_limit_ohm for one in plug_types_of(engine)]
    given = [limit for limit in limits if limit is not None]
    if len(given) < len(limits):
        return each
    return replace(each, high=f"{min(given) / 1000:g}", note="the plug type's own limit")


def _reading(each: ToMeasure, engine: EngineType) -> ToMeasure:
    rule = judging_rule_of(engine)
    low = (
        None if rule.max_loss_fraction is None else f"{round(REGULATED_PSI * (1 - rule.max_loss_fraction)):d}"
    )
    said = [f"{engine.title}: {rule.citation}"]
    if rule.master_floor:
        said.append("no reading under that of the master restrictor, read the same day")
    if rule.spread is not None:
        said.append(f"over {rule.spread.investigate_psi:g} psi between cylinders: investigate")
    return replace(each, low=low, note="; ".join(said))
