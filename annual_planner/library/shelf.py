"""The whole library: what ships with the program and a shop's own folder, or every fault in them at once."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from importlib.resources.abc import Traversable
from pathlib import Path

from annual_planner.library.airplane import FEATURES, ZONES
from annual_planner.library.appendix import ITEMS
from annual_planner.library.by_key import by_key
from annual_planner.library.cards import CARDS
from annual_planner.library.cautions import CAUTIONS
from annual_planner.library.conditions import CONDITIONS, by_condition
from annual_planner.library.crossings import Shelves, crossing_faults
from annual_planner.library.engines import ENGINES, PLUG_TYPES, values_of
from annual_planner.library.faults import refuse
from annual_planner.library.files import read_shelf, shipped, unread
from annual_planner.library.requirements import REQUIREMENTS
from annual_planner.library.rules import load_rules
from annual_planner.library.shop_floor import FILE as LAYOUT
from annual_planner.library.shop_floor import read_layouts
from annual_planner.trade.cards import CardTemplate, Caution, Feature, InspectionItem, Panel, Zone
from annual_planner.trade.clauses import RuleSet
from annual_planner.trade.engines import EngineType
from annual_planner.trade.plugs import Condition, ConditionSays, PlugType
from annual_planner.trade.refused import Refused
from annual_planner.trade.requirements import RequirementTemplate
from annual_planner.trade.shop_floor import ShopFloor


@dataclass(frozen=True, slots=True)
class Library:
    """Everything the program knows from data files, in the order of the files; made once and handed about."""

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

    Raises Refused with every fault of every file, or where the shop's folder is none; nothing is loaded then.
    """
    if shop_folder is None:
        return _read((shipped(),))
    if not shop_folder.is_dir():
        raise Refused(f"There is no folder {shop_folder} with a shop's library.", "Choose the folder again.")
    _check_names(shop_folder)
    return _read((shipped(), shop_folder))


_READ = tuple(
    kind.folder
    for kind in (CARDS, REQUIREMENTS, CAUTIONS, ZONES, FEATURES, ITEMS, ENGINES, PLUG_TYPES, CONDITIONS)
)
"""What a shop may have of its own, besides its layout."""


def _check_names(folder: Path) -> None:
    """Refuse a folder with files that nothing reads, or with none that anything reads: it is another one."""
    refuse(unread(folder, _READ, (LAYOUT,)))
    if not any((folder / name).exists() for name in (LAYOUT, *_READ, *(f"{kind}.toml" for kind in _READ))):
        raise Refused(
            f"Nothing in the folder {folder} belongs to a shop's library.",
            f"Name the folder that holds {LAYOUT} or a folder such as {_READ[0]}, or leave --shop away.",
        )


def _read(folders: Sequence[Traversable]) -> Library:
    shelves = Shelves(
        zones=read_shelf(ZONES, folders),
        features=read_shelf(FEATURES, folders),
        cautions=read_shelf(CAUTIONS, folders),
        items=read_shelf(ITEMS, folders),
        requirements=read_shelf(REQUIREMENTS, folders),
        cards=read_shelf(CARDS, folders),
        engines=read_shelf(ENGINES, folders),
        plug_types=read_shelf(PLUG_TYPES, folders),
        conditions=read_shelf(CONDITIONS, folders),
    )
    layouts = read_layouts(folders)
    faults = layouts.faults(shelves.zones.named, shelves.cards.named)
    refuse([*shelves.faults(), *crossing_faults(shelves), *faults])
    engines, plug_types = values_of(shelves.engines, shelves.plug_types)
    return Library(
        cards=tuple(each.row.value() for each in shelves.cards.entries.values()),
        requirements=tuple(each.row.value() for each in shelves.requirements.entries.values()),
        cautions=tuple(each.row.value() for each in shelves.cautions.entries.values()),
        items=tuple(each.row.value() for each in shelves.items.entries.values()),
        rules=load_rules(),
        features=tuple(each.row.value() for each in shelves.features.entries.values()),
        zones=tuple(each.row.value() for each in shelves.zones.entries.values()),
        engines=engines,
        plug_types=plug_types,
        conditions=tuple(each.row.value() for each in shelves.conditions.entries.values()),
        floor=layouts.floor(),
    )
