"""What must be done at an interval, before it belongs to any airplane: rules, directives, limits, advice."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from annual_planner.trade.periods import Force, Interval


class CountsOn(StrEnum):
    """Whose hours and cycles an interval counts."""

    AIRFRAME = "airframe"
    ENGINE = "engine"
    PROPELLER = "propeller"
    NONE = "none"


class Use(StrEnum):
    """The use of an airplane on which a requirement bites."""

    ANY = "any"
    HIRE = "hire"
    INSTRUCTION = "instruction"
    IFR = "ifr"


@dataclass(frozen=True, slots=True)
class RequirementTemplate:
    """What a requirement of one airplane is made from.

    `interval` is None where it is written elsewhere, airplane by airplane (a directive, a life limit, a
    maker's overhaul period); the note says where. `bites_on`: uses of which one at least is meant.
    """

    key: str
    title: str
    citation: str
    force: Force
    source: str
    interval: Interval | None
    counts_on: CountsOn
    bites_on: tuple[Use, ...] = (Use.ANY,)
    needs: tuple[str, ...] = ()
    excludes: tuple[str, ...] = ()
    on_event: bool = False
    """Taken on only when something happens, such as a unit taken out for work; not with the airplane."""
    note: str = ""

    def applies(self, features: frozenset[str], uses: frozenset[str]) -> bool:
        """Say whether it bites on an airplane with these features flown for these uses."""
        fits = features.issuperset(self.needs) and features.isdisjoint(self.excludes)
        return fits and (Use.ANY in self.bites_on or any(use in uses for use in self.bites_on))
