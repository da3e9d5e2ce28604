"""Everything a planner takes from the shelf: cards, requirements, rules, types of engines and plugs."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from annual_planner.library.by_key import by_key
from annual_planner.library.conditions import by_condition
from annual_planner.library.rules import load_rules
from annual_planner.library.whole import load_library as load_whole
from annual_planner.trade.cards import CardTemplate, Caution, Feature, InspectionItem, Panel, Zone
from annual_planner.trade.clauses import RuleSet
from annual_planner.trade.engines import EngineType
from annual_planner.trade.plugs import Condition, ConditionSays, PlugType
from annual_planner.trade.refused import Refused
from annual_planner.trade.requirements import RequirementTemplate
from annual_planner.trade.shop_floor import ShopFloor


@dataclass(frozen=True, slots=True)
class Library:
    """The library as planning uses it; made once and handed about."""

    cards: tuple[CardTemplate, ...]
    requirements: tuple[RequirementTemplate, ...]
    cautions: tuple[Caution, ...]
    items: tuple[InspectionItem, ...]
    rules: RuleSet
    features: tuple[Feature, ...]
    zones: tuple[Zone, ...]
    engines: tuple[EngineType, ...]
    plug_types: tuple[PlugType, ...]
    conditions: tuple[ConditionSays, ...]
    floor: ShopFloor
    """What laying out the work needs to know besides."""

    def panels(self) -> dict[str, tuple[Zone, Panel]]:
        """Every panel with its zone, by the panel's key."""
        return {panel.key: (zone, panel) for zone in self.zones for panel in zone.panels}

    def engine(self, key: str) -> EngineType:
        """The engine type of that key. Raises Refused, with the near keys, where there is none."""
        return by_key(self.engines, key, "engine type")

    def plug_type(self, key: str) -> PlugType:
        """The plug type of that key. Raises Refused, with the near keys, where there is none."""
        return by_key(self.plug_types, key, "plug type")

    def conditions_say(self) -> Mapping[Condition, ConditionSays]:
        """What each condition of a plug says, by the condition."""
        return by_condition(self.conditions)


def load_library(shop_folder: Path | None = None) -> Library:
    """Read what ships with the program, then a shop's own folder, whose rows add to or replace by key.

    Raises Refused with every fault of every file, and where the shop's folder is none.
    """
    if shop_folder is not None and not shop_folder.is_dir():
        raise Refused(f"There is no folder {shop_folder} with a shop's library.", "Choose the folder again.")
    whole = load_whole(*([shop_folder] if shop_folder is not None else []))
    return Library(
        cards=whole.cards,
        requirements=whole.requirements,
        cautions=whole.cautions,
        items=whole.items,
        rules=load_rules(),
        features=whole.features,
        zones=whole.zones,
        engines=whole.engines,
        plug_types=whole.plug_types,
        conditions=whole.conditions,
        floor=whole.floor,
    )
