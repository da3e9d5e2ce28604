"""What the place shows: one work package with the people there are, or the list of packages."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import TYPE_CHECKING

from annual_planner.planning.package_view import PackageView
from annual_planner.store.rows import CardLine, PackageLine, PersonLine
from annual_planner.store.session import Work
from annual_planner.trade.cards import Phase
from annual_planner.trade.package_states import CLOSED
from annual_planner.trade.refused import Refused

if TYPE_CHECKING:
    from annual_planner.library.shelf import Library
    from annual_planner.trade.cards import Caution

PHASE_WORDS: dict[str, str] = {
    Phase.RESEARCH.value: "Research",
    Phase.HOT_CHECKS.value: "Hot checks",
    Phase.OPEN.value: "Open",
    Phase.CLEAN.value: "Clean",
    Phase.INSPECT.value: "Inspect",
    Phase.SERVICE.value: "Service",
    Phase.REPAIR.value: "Repair",
    Phase.CLOSE.value: "Close",
    Phase.RUN_UP.value: "Run-up",
    Phase.RECORDS.value: "Records",
}


@dataclass(frozen=True, slots=True)
class Shown:
    """One package as the window shows it."""

    view: PackageView
    people: tuple[PersonLine, ...]
    zones: dict[str, str]
    """Words for zones by key."""
    cautions: dict[str, Caution]

    @property
    def every_card(self) -> tuple[CardLine, ...]:
        """Cards that are in, in the order of work, then those left out."""
        return (*self.view.cards, *self.view.left_out)

    def zone(self, key: str) -> str:
        """A zone in words."""
        return self.zones.get(key, key.replace("_", " "))


def read_shown(work: Work, package_id: int, library: Library, today: date, owner_id: int | None) -> Shown:
    """Read one package. Raises Refused when it is gone or belongs to another owner's airplane."""
    from annual_planner.planning.reading import read_package
    from annual_planner.store.fleet_reads import people

    view = read_package(work, package_id, library, today)
    if owner_id is not None and view.aircraft.owner_id != owner_id:
        raise Refused("This airplane belongs to somebody else.", "Pick one of your own in the fleet list.")
    return Shown(
        view=view,
        people=tuple(people(work)),
        zones={zone.key: zone.title for zone in library.zones},
        cautions={caution.key: caution for caution in library.cautions},
    )


def read_packages(work: Work, owner_id: int | None) -> list[PackageLine]:
    """Packages of the fleet, those still open first; an owner's own only."""
    from annual_planner.store.fleet_reads import fleet_ids, packages

    every = packages(work)
    if owner_id is not None:
        own = set(fleet_ids(work, owner_id=owner_id))
        every = [line for line in every if line.aircraft_id in own]
    return sorted(every, key=lambda line: line.state == CLOSED)


@dataclass(frozen=True, slots=True)
class Share:
    """What one person has been given."""

    name: str
    cards: int
    low: Decimal
    likely: Decimal
    high: Decimal


def shares(cards: Sequence[CardLine]) -> list[Share]:
    """Cards and hours of each person, the busiest first; what nobody was given comes last."""
    groups: dict[str, list[CardLine]] = {}
    for card in cards:
        groups.setdefault(card.assigned_name, []).append(card)
    made = [
        Share(
            name,
            len(given),
            sum((card.hours_low for card in given), Decimal(0)),
            sum((card.hours_likely for card in given), Decimal(0)),
            sum((card.hours_high for card in given), Decimal(0)),
        )
        for name, given in groups.items()
    ]
    return sorted(made, key=lambda share: (not share.name, -share.likely))


def phase_words(phase: str) -> str:
    """A phase in the words of the shop."""
    return PHASE_WORDS.get(phase, phase.replace("_", " "))
