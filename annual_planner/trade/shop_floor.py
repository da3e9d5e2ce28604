"""What laying out the work needs to know besides the cards: room in a zone, heat, curing, outside shops."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal


@dataclass(frozen=True, slots=True)
class HotWindow:
    """A card that must begin within some minutes after another ends, while things are hot."""

    card: str
    after: str
    within_min: int
    why: str
    source: str


@dataclass(frozen=True, slots=True)
class Cure:
    """Minutes by the clock that must pass after a card before anything that waits for it."""

    card: str
    minutes: int
    why: str
    source: str


@dataclass(frozen=True, slots=True)
class SameDay:
    """Work of up to so many hours is begun on a day on which it can be finished."""

    up_to_hours: Decimal
    source: str


@dataclass(frozen=True, slots=True)
class Defects:
    """What an annual may turn up, as long as the shop's own count says little.

    `hours` of putting one right (low, likely, high); with `part_chance` (0 to 1) a part is waited for,
    `part_days` (low, likely, high).
    """

    per_annual: float
    hours: tuple[float, float, float]
    part_chance: float
    part_days: tuple[float, float, float]
    source: str


@dataclass(frozen=True, slots=True)
class HourCosts:
    """What an hour of each costs, in the shop's own money."""

    inspector: Decimal
    mechanic: Decimal
    helper: Decimal
    owner: Decimal
    source: str

    def of(self, kind: str) -> HourCost:
        """What an hour of one kind costs: 'inspector', 'mechanic', 'helper' or 'owner'."""
        article = "an" if kind[0] in "aeiou" else "a"
        return HourCost(getattr(self, kind), f"as of {article} {kind} in layout.toml", self.source)


@dataclass(frozen=True, slots=True)
class HourCost:
    """What an hour of one person costs, in the shop's own money, and where that figure is from.

    `rests_on`: the source of the table it is from; empty where it is the person's own.
    """

    amount: Decimal
    source: str
    rests_on: str = ""


OWN_FIGURE = "written down in the set-up of the shop"
"""Where a figure is from that somebody wrote down for this person."""


@dataclass(frozen=True, slots=True)
class HolidaysOf:
    """Whose public holidays a shop keeps: codes of a country and, where wanted, of a part of it.

    `country`: ISO 3166-1 alpha-2; empty where none are kept. `subdivision`: a state, province or the like;
    empty for what the whole country keeps.
    """

    country: str = "US"
    subdivision: str = ""

    @property
    def said(self) -> str:
        """The codes as they are written together: 'DE, BY'; 'none' where none are kept."""
        return ", ".join(filter(None, (self.country, self.subdivision))) or "none"


@dataclass(frozen=True, slots=True)
class ShopFloor:
    """All of it. `room_for`: how many people a zone holds; `outside_days`: days a doer outside needs."""

    room_for: Mapping[str, int]
    hot: tuple[HotWindow, ...]
    cures: Mapping[str, Cure]
    outside_days: Mapping[str, int]
    same_day: SameDay
    defects: Defects
    hour_costs: HourCosts
