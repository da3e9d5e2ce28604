"""The histories of the demo's engines: on which days what was done to plugs and cylinders."""

from __future__ import annotations

import random
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from annual_planner.library.shelf import Library
from annual_planner.trade.engines import EngineType
from annual_planner.trade.plugs import Condition, ConditionSays, PlugType
from demo_fleet.airplane import Build
from demo_fleet.compression_tests import compression_rows
from demo_fleet.history import stand_on
from demo_fleet.plugs import PlugSet
from demo_fleet.written import WrittenEngine


@dataclass(frozen=True, slots=True)
class Shop:
    """The library's types by key, as the histories need them."""

    engines: dict[str, EngineType]
    plug_types: dict[str, PlugType]
    says: dict[Condition, ConditionSays]


def shop_of(library: Library) -> Shop:
    """The types of a library by key."""
    return Shop(
        {each.key: each for each in library.engines},
        {each.key: each for each in library.plug_types},
        {each.condition: each for each in library.conditions},
    )


def engine_rows(build: Build, engines: Sequence[WrittenEngine], shop: Shop) -> None:
    """Add the plugs and tests of every engine of one airplane that the demo writes about."""
    for written in engines:
        if written.registration == build.written.registration:
            _one_engine(build, written, shop)


def _one_engine(build: Build, written: WrittenEngine, shop: Shop) -> None:
    assembly_id = build.assemblies["engine"][written.position - 1]
    engine = shop.engines[build.kind.engine.type_key]
    days = _days(build, assembly_id)
    draw = random.Random(f"{written.registration} engine {written.position}")
    plugs = PlugSet(build, written, engine, shop.plug_types[written.plug_type], shop.says, assembly_id, draw)
    if not days:
        return
    plugs.live(days)
    if written.looks_every_hours:
        plugs.look_between(*days[-1], written.looks_every_hours)
    compression_rows(build, written, engine, assembly_id, days, draw)


def _days(build: Build, assembly_id: int) -> list[tuple[date, Decimal]]:
    """The days of the annuals with the engine's hours; those before it was fitted are left out."""
    fitted = build.fitted_at[assembly_id]
    stood = [(on, stand_on(build.flown, on, build.written.hours_per_month).hours) for on in build.annuals]
    return [(on, hours - fitted) for on, hours in stood if hours >= fitted]
