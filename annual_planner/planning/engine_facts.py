"""What follows from an engine's type alone: rotations, proposal, polarity, torque, restrictor, rule."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from functools import lru_cache

from annual_planner.library.compression import CompressionFacts, load_compression
from annual_planner.trade.compression import JudgingRule
from annual_planner.trade.engine_compression import judging_rule_of, restrictor_of
from annual_planner.trade.engines import EngineType, Place, TorqueRange
from annual_planner.trade.firing import SparkAt, polarities
from annual_planner.trade.rotation import Rotation, Scheme, rotation, schemes, stepping
from annual_planner.trade.rotation_search import Proposal, proposed
from annual_planner.trade.torque import plug_torque
from annual_planner.trade.working import Worked


@dataclass(frozen=True, slots=True)
class EngineFacts:
    """Everything that is the same for each engine of one type."""

    schemes: tuple[Worked[Rotation], ...]
    proposal: Worked[Proposal]
    sparks: Worked[tuple[SparkAt, ...]]
    torque: Worked[TorqueRange]
    restrictor: Worked[float]
    rule: JudgingRule

    def spark_at(self, place: Place) -> SparkAt:
        """Magneto and polarity of one place."""
        return next(each for each in self.sparks.value if each.place == place)


@lru_cache(maxsize=64)
def engine_facts(engine: EngineType) -> EngineFacts:
    """Work out once what an engine type says by itself; the search for a rotation takes its time."""
    proposal = proposed(engine)
    offered = {each.key: each for each in schemes(engine)}
    best = proposal.value.rotation.scheme
    offered.setdefault(best.key, best)
    return EngineFacts(
        schemes=tuple(rotation(engine, each) for each in offered.values()),
        proposal=proposal,
        sparks=polarities(engine),
        torque=plug_torque(engine),
        restrictor=restrictor_of(engine),
        rule=judging_rule_of(engine),
    )


def scheme_of(engine: EngineType, key: str) -> Scheme | None:
    """The scheme of that key for an engine: offered, or steps along the firing order. None for another."""
    offered = (each.value.scheme for each in engine_facts(engine).schemes)
    return next((each for each in (*offered, *_steps(engine)) if each.key == key), None)


def _steps(engine: EngineType) -> Iterable[Scheme]:
    for steps in range(1, engine.cylinder_count):
        yield stepping(engine, steps, change_row=False)
        if not engine.rows_differ:
            yield stepping(engine, steps, change_row=True)


@lru_cache(maxsize=1)
def compression_facts() -> CompressionFacts:
    """Leak paths and the recheck ladder as they ship; read once."""
    return load_compression()
