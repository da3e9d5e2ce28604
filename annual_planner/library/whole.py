"""The whole library: what ships with the program and a shop's own folders, or every fault in them at once."""

from __future__ import annotations

from dataclasses import dataclass
from importlib.resources.abc import Traversable

from annual_planner.library.airplane import FEATURES, ZONES
from annual_planner.library.appendix import ITEMS
from annual_planner.library.cards import CARDS
from annual_planner.library.cautions import CAUTIONS
from annual_planner.library.conditions import CONDITIONS
from annual_planner.library.crossings import Shelves, crossing_faults
from annual_planner.library.engines import ENGINES, PLUG_TYPES, values_of
from annual_planner.library.faults import refuse
from annual_planner.library.files import read_shelf, shipped
from annual_planner.library.requirements import REQUIREMENTS
from annual_planner.library.shop_floor import read_layouts
from annual_planner.trade.cards import CardTemplate, Caution, Feature, InspectionItem, Zone
from annual_planner.trade.engines import EngineType
from annual_planner.trade.plugs import ConditionSays, PlugType
from annual_planner.trade.requirements import RequirementTemplate
from annual_planner.trade.shop_floor import ShopFloor


@dataclass(frozen=True, slots=True)
class Library:
    """Everything the program knows from data files, in the order of the files."""

    zones: tuple[Zone, ...]
    features: tuple[Feature, ...]
    cautions: tuple[Caution, ...]
    items: tuple[InspectionItem, ...]
    requirements: tuple[RequirementTemplate, ...]
    cards: tuple[CardTemplate, ...]
    engines: tuple[EngineType, ...]
    plug_types: tuple[PlugType, ...]
    conditions: tuple[ConditionSays, ...]
    floor: ShopFloor


def load_library(*folders: Traversable) -> Library:
    """Read what ships with the program, then each of a shop's folders, whose rows add to or replace by key.

    Raises Refused with every fault of every file; then nothing is loaded.
    """
    return read_library(shipped(), *folders)


def read_library(*folders: Traversable) -> Library:
    """Read these folders only, later ones over earlier ones. Raises Refused like load_library."""
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
        zones=tuple(each.row.value() for each in shelves.zones.entries.values()),
        features=tuple(each.row.value() for each in shelves.features.entries.values()),
        cautions=tuple(each.row.value() for each in shelves.cautions.entries.values()),
        items=tuple(each.row.value() for each in shelves.items.entries.values()),
        requirements=tuple(each.row.value() for each in shelves.requirements.entries.values()),
        cards=tuple(each.row.value() for each in shelves.cards.entries.values()),
        engines=engines,
        plug_types=plug_types,
        conditions=tuple(each.row.value() for each in shelves.conditions.entries.values()),
        floor=layouts.floor(),
    )
