"""What the set-up of the shop shows: everything written down about it, with what holds where nothing is."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from typing import TYPE_CHECKING

from annual_planner.store.shop_reads import Shop, shop

if TYPE_CHECKING:
    from annual_planner.library.shelf import Library
    from annual_planner.store.rows import PersonLine
    from annual_planner.store.session import Work
    from annual_planner.trade.shop_floor import HourCost

DAYS_SHOWN = 365
"""How far ahead public holidays are listed."""
PLANNED_WITH = frozenset({"mechanic", "helper", "owner"})


@dataclass(frozen=True, slots=True)
class Zone:
    """A zone of the airplane, and how many it holds by the program's own table."""

    key: str
    title: str
    usual: int


@dataclass(frozen=True, slots=True)
class ShopSeen:
    """The shop as it is written down; `tools`: each tool that cards ask for, and how many cards do."""

    place: Shop
    people: tuple[PersonLine, ...]
    zones: tuple[Zone, ...]
    holidays: Mapping[date, str]
    countries: tuple[tuple[str, str], ...]
    """Countries whose public holidays are known: code and name, by name."""
    subdivisions: tuple[tuple[str, str], ...]
    """Parts of the chosen country that keep holidays of their own: code and name, by name."""
    hour_costs: Mapping[int, HourCost]
    """What an hour of each who may be planned with costs where nothing is written down for them."""
    tools: Mapping[str, int]

    def who(self, person_id: int | None) -> str:
        """Whose hours or days off they are."""
        names = {each.person_id: each.name for each in self.people}
        return "The shop" if person_id is None else names.get(person_id, "somebody who is gone")

    @property
    def mechanics(self) -> tuple[int, ...]:
        """Ids of the mechanics."""
        return tuple(each.person_id for each in self.people if "mechanic" in each.roles)

    def asked_for(self, name: str) -> dict[str, int]:
        """The tools that equipment of this name stands for, each with how many cards ask for it."""
        from annual_planner.planning.card_jobs import same_thing

        return {tool: cards for tool, cards in self.tools.items() if same_thing(name, tool)}


def read_shop(work: Work, library: Library, today: date) -> ShopSeen:
    """Read all of it: some queries whatever the size of the fleet."""
    from annual_planner.desktop.shop.countries import named_countries, named_subdivisions
    from annual_planner.library.public_holidays import public_holidays
    from annual_planner.planning.card_jobs import USUAL_ROOM
    from annual_planner.store.fleet_reads import people

    place, room_for = shop(work), library.floor.room_for
    lines = people(work)
    return ShopSeen(
        place=place,
        people=tuple(lines),
        zones=tuple(Zone(zone.key, zone.title, room_for.get(zone.key, USUAL_ROOM)) for zone in library.zones),
        holidays=public_holidays(place.holidays_of, today, today + timedelta(days=DAYS_SHOWN)),
        countries=named_countries(),
        subdivisions=named_subdivisions(place.holidays_of.country),
        hour_costs=_usual_costs(work, lines, library),
        tools=_tools(library),
    )


def _usual_costs(work: Work, lines: Sequence[PersonLine], library: Library) -> dict[int, HourCost]:
    from annual_planner.planning.job_hands import usual_cost
    from annual_planner.store.fleet_reads import person_values

    known = person_values(work)
    return {
        each.person_id: usual_cost(
            library.floor.hour_costs,
            each.roles,
            known[each.person_id],
            owns="owner" in each.roles and "helper" not in each.roles,
        )
        for each in lines
        if not PLANNED_WITH.isdisjoint(each.roles)
    }


def _tools(library: Library) -> dict[str, int]:
    from annual_planner.planning.card_jobs import RUN_UP_PLACE
    from annual_planner.trade.cards import Phase

    counted: dict[str, int] = {}
    for card in library.cards:
        run_up = (RUN_UP_PLACE,) if card.phase is Phase.RUN_UP else ()
        for tool in {*card.tools, *run_up}:
            counted[tool] = counted.get(tool, 0) + 1
    return counted
