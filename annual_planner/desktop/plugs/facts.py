"""What the place takes from the library once: conditions, safety steps, the ladder, cautions, types."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

from annual_planner.trade.cards import Caution
from annual_planner.trade.compression_safety import SAFETY_STEPS, SafetyStep
from annual_planner.trade.engines import EngineType
from annual_planner.trade.plugs import Condition, ConditionSays, PlugType
from annual_planner.trade.recheck import RecheckStep

if TYPE_CHECKING:
    from annual_planner.library.shelf import Library


@dataclass(frozen=True, slots=True)
class Facts:
    """Plain values of the library, by key where they are asked for by key."""

    says: Mapping[Condition, ConditionSays]
    safety: tuple[SafetyStep, ...]
    ladder: tuple[RecheckStep, ...]
    cautions: Mapping[str, Caution]
    engines: tuple[EngineType, ...]
    plug_types: tuple[PlugType, ...]

    def cautions_said(self, *keys: str, between: str = "\n") -> str:
        """These cautions in words, one on each line where nothing else is to stand between them."""
        found = (self.cautions[key] for key in keys if key in self.cautions)
        return between.join(f"▲ {each.title}: {each.text}" for each in found)


def read_facts(library: Library) -> Facts:
    """Gather them; takes a moment, so on a job's thread."""
    from annual_planner.library.compression import load_compression

    return Facts(
        says=library.conditions_say(),
        safety=SAFETY_STEPS,
        ladder=load_compression().ladder,
        cautions={each.key: each for each in library.cautions},
        engines=library.engines,
        plug_types=library.plug_types,
    )
