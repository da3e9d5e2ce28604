"""What the set-up of the shop shows: everything written down about it, with what holds where nothing is."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from typing import TYPE_CHECKING

from annual_planner.store.shop_reads import Shop, shop

if TYPE_CHECKING:
    from annual_planner.library.shelf import Library
    from annual_planner.store.rows import PersonLine
    from annual_planner.store.session import Work

DAYS_SHOWN = 365
"""How far ahead public holidays are listed."""


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
    countries: tuple[str, ...]
    """Codes of the countries whose public holidays are known."""
    subdivisions: Mapping[str, str]
    """Names of the parts of the chosen country that keep holidays of their own, by code."""
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
    from annual_planner.library.public_holidays import countries, public_holidays, subdivisions
    from annual_planner.planning.card_jobs import USUAL_ROOM
    from annual_planner.store.fleet_reads import people

    place, room_for = shop(work), library.floor.room_for
    country = place.holidays_of.country
    return ShopSeen(
        place=place,
        people=tuple(people(work)),
        zones=tuple(Zone(zone.key, zone.title, room_for.get(zone.key, USUAL_ROOM)) for zone in library.zones),
        holidays=public_holidays(place.holidays_of, today, today + timedelta(days=DAYS_SHOWN)),
        countries=tuple(countries()),
        subdivisions=subdivisions(country) if country else {},
        tools=_tools(library),
    )


def _tools(library: Library) -> dict[str, int]:
    from annual_planner.planning.card_jobs import RUN_UP_PLACE
    from annual_planner.trade.cards import Phase

    counted: dict[str, int] = {}
    for card in library.cards:
        run_up = (RUN_UP_PLACE,) if card.phase is Phase.RUN_UP else ()
        for tool in {*card.tools, *run_up}:
            counted[tool] = counted.get(tool, 0) + 1
    return counted
