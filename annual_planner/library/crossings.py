"""What one table says of another: zones, panels, features, cautions and cards that must exist, no loops."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from graphlib import CycleError, TopologicalSorter
from typing import Any

from annual_planner.library.airplane import FeatureRow, ZoneRow
from annual_planner.library.appendix import ItemRow
from annual_planner.library.by_key import nearest
from annual_planner.library.cards import CardRow
from annual_planner.library.cautions import CautionRow
from annual_planner.library.conditions import ConditionRow, missing_conditions
from annual_planner.library.engines import EngineRow, PlugTypeRow, plug_type_faults
from annual_planner.library.faults import Fault, short
from annual_planner.library.files import Shelf
from annual_planner.library.requirements import RequirementRow


@dataclass(frozen=True, slots=True)
class Shelves:
    """Everything that was read, by kind."""

    zones: Shelf[ZoneRow]
    features: Shelf[FeatureRow]
    cautions: Shelf[CautionRow]
    items: Shelf[ItemRow]
    requirements: Shelf[RequirementRow]
    cards: Shelf[CardRow]
    engines: Shelf[EngineRow]
    plug_types: Shelf[PlugTypeRow]
    conditions: Shelf[ConditionRow]

    def faults(self) -> list[Fault]:
        """Return the faults of single tables."""
        shelves: tuple[Shelf[Any], ...] = (
            self.zones, self.features, self.cautions, self.items, self.requirements, self.cards,
            self.engines, self.plug_types, self.conditions,
        )  # fmt: skip
        return [fault for shelf in shelves for fault in shelf.faults]


def crossing_faults(shelves: Shelves) -> Iterator[Fault]:
    """Find every reference that leads nowhere, panel named twice, loop, and card before its time."""
    yield from _panels_twice(shelves)
    for key, zone in shelves.zones.entries.items():
        needs = [feature for panel in zone.row.panels for feature in panel.needs]
        yield from _unknown(shelves.zones, key, "panels.needs", needs, shelves.features.named)
        yield from _unknown(shelves.zones, key, "cautions", zone.row.cautions, shelves.cautions.named)
    for key, item in shelves.items.entries.items():
        yield from _unknown(shelves.items, key, "applies_to", item.row.applies_to, shelves.features.named)
    for key, requirement in shelves.requirements.entries.items():
        for name in ("needs", "excludes"):
            values = getattr(requirement.row, name)
            yield from _unknown(shelves.requirements, key, name, values, shelves.features.named)
    for key in shelves.cards.entries:
        yield from _card_faults(shelves, key)
    yield from _loops(shelves.cards)
    yield from plug_type_faults(shelves.engines, shelves.plug_types)
    yield from missing_conditions(shelves.conditions)


def _unknown(
    shelf: Shelf[Any], key: str, name: str, values: Iterable[str], known: Iterable[str]
) -> Iterator[Fault]:
    for value in values:
        if value not in known:
            yield shelf.fault(key, name, f"a known key ({nearest(value, known)})", short(value))


def _card_faults(shelves: Shelves, key: str) -> Iterator[Fault]:
    cards, card = shelves.cards, shelves.cards.entries[key].row
    features = shelves.features.named
    for name, values, known in (
        ("zone", (card.zone,), shelves.zones.named),
        ("panels", card.panels, _panels(shelves, card)),
        ("cautions", card.cautions, shelves.cautions.named),
        ("needs", card.needs, features),
        ("excludes", card.excludes, features),
        ("measurements.needs", [key for each in card.measurements for key in each.needs], features),
        ("measurements.excludes", [key for each in card.measurements for key in each.excludes], features),
        ("covers", card.covers, shelves.items.named),
        ("settles", card.settles, shelves.requirements.named),
        ("after", card.after, cards.named),
    ):
        yield from _unknown(cards, key, name, values, known)
    for feature in set(card.needs) & set(card.excludes):
        yield cards.fault(key, "excludes", "no feature that needs has too", repr(feature))
    yield from _before_its_time(cards, key)


def _before_its_time(cards: Shelf[CardRow], key: str) -> Iterator[Fault]:
    card = cards.entries[key].row
    for earlier in card.after:
        entry = cards.entries.get(earlier)
        if entry is not None and entry.row.phase.order > card.phase.order:
            found = f"{earlier!r}, a card of phase {entry.row.phase}"
            yield cards.fault(key, "after", f"cards no later than phase {card.phase}", found)


def _panels(shelves: Shelves, card: CardRow) -> set[str]:
    """Every known panel; where a zone itself is at fault, the card's own are let pass until it is mended."""
    if shelves.zones.faults:
        return set(card.panels)
    return {panel.key for zone in shelves.zones.entries.values() for panel in zone.row.panels}


def _panels_twice(shelves: Shelves) -> Iterator[Fault]:
    homes: dict[str, str] = {}
    for key, zone in shelves.zones.entries.items():
        for panel in zone.row.panels:
            if panel.key in homes:
                found = f"{panel.key!r}, also in zone {homes[panel.key]!r}"
                yield shelves.zones.fault(key, "panels", "each panel in one zone, once", found)
            homes.setdefault(panel.key, key)


def _loops(cards: Shelf[CardRow]) -> Iterator[Fault]:
    graph = {key: [a for a in entry.row.after if a in cards.entries] for key, entry in cards.entries.items()}
    try:
        TopologicalSorter(graph).prepare()
    except CycleError as error:
        loop: list[str] = error.args[1]
        yield cards.fault(loop[0], "after", "no loop", " → ".join(reversed(loop)))
