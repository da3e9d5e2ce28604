"""Parts that a package waits for: written down and changed."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING

from annual_planner.records.edits import Changed
from annual_planner.records.row_edits import AddRow, ChangeRow, RemoveRow, Subject
from annual_planner.store.writing import field_of, values_of
from annual_planner.trade.refused import Refused

if TYPE_CHECKING:
    from annual_planner.store.session import Work


@dataclass(frozen=True, slots=True)
class ExpectPart:
    """Write down a part that a package, or one card of it, waits for; without a day it isn't ordered yet."""

    package_id: int
    name: str
    arrives_on: date | None
    card_id: int | None = None

    @property
    def says(self) -> str:
        """What the menu calls it."""
        return f"awaited part '{self.name}'"

    def apply(self, work: Work, today: date) -> Changed:
        """Write it down. Refused for an empty name."""
        if not self.name.strip():
            raise Refused("The part has no name.", "Say what is waited for.")
        values = {
            "package_id": self.package_id,
            "card_id": self.card_id,
            "name": self.name.strip(),
            "arrives_on": self.arrives_on,
        }
        return AddRow(_of_package(work, self.package_id, self.says), "part_arrival", values).apply(
            work, today
        )


@dataclass(frozen=True, slots=True)
class ChangePart:
    """Write another day of arrival, or that it is here; `saw` and `wants`: name, arrives_on, arrived_on."""

    part_id: int
    saw: Mapping[str, object]
    wants: Mapping[str, object]

    @property
    def says(self) -> str:
        """What the menu calls it."""
        return "change of an awaited part"

    def apply(self, work: Work, today: date) -> Changed:
        """Write it. ChangedMeanwhile as every change."""
        held = values_of(work, "part_arrival", self.part_id, said="awaited part")
        of = _of_package(work, field_of(held, "package_id", int), self.says)
        return ChangeRow(of, "part_arrival", self.part_id, self.saw, self.wants).apply(work, today)


@dataclass(frozen=True, slots=True)
class RemovePart:
    """Take an awaited part away."""

    part_id: int

    @property
    def says(self) -> str:
        """What the menu calls it."""
        return "removal of an awaited part"

    def apply(self, work: Work, today: date) -> Changed:
        """Remove it."""
        held = values_of(work, "part_arrival", self.part_id, said="awaited part")
        of = _of_package(work, field_of(held, "package_id", int), self.says)
        return RemoveRow(of, "part_arrival", self.part_id).apply(work, today)


def _of_package(work: Work, package_id: int, said: str) -> Subject:
    held = values_of(work, "work_package", package_id, said="package")
    return Subject("layout", said, field_of(held, "aircraft_id", int))
