"""Edits that write a discrepancy down when it is found."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal
from typing import TYPE_CHECKING

from annual_planner.records.discrepancy_rows import ROW, STEP, AddStep, Taken, step_edits
from annual_planner.records.edits import Changed
from annual_planner.records.row_edits import AddRow, Subject, Together
from annual_planner.store.card_reads import place_of_card
from annual_planner.trade import discrepancy_life as life
from annual_planner.trade.discrepancy_life import Life
from annual_planner.trade.refused import Refused
from annual_planner.trade.said import said_date

if TYPE_CHECKING:
    from annual_planner.store.session import Work


@dataclass(frozen=True, slots=True)
class Found:
    """Write down a defect: what, where, how it was found, and what it may take to put it right."""

    aircraft_id: int
    on: date
    zone: str
    text: str
    at: datetime | None = None
    person_id: int | None = None
    how_found: str = ""
    cylinder: int | None = None
    assembly_id: int | None = None
    card_id: int | None = None
    package_id: int | None = None
    hours_estimate: Decimal | None = None
    parts: str = ""
    cost_estimate: Decimal | None = None

    @property
    def says(self) -> str:
        """What the menu calls it."""
        return f"discrepancy of {said_date(self.on)}"

    def apply(self, work: Work, today: date) -> Changed:
        """Write it down. Refused for an empty text, a future day, hours or cost below 0."""
        together = Together(work, Subject("discrepancy", self.says, self.aircraft_id))
        discrepancy_id = self.write(together, today)
        return together.settled(today, made_id=discrepancy_id)

    def write(self, together: Together, today: date) -> int:
        """Write it as a part of a greater edit; its id."""
        self._check(today)
        discrepancy_id = together.write(AddRow(together.of, ROW, self._values()))
        taken = Taken(life.FOUND, self.on, self.at, self.person_id, self.how_found)
        facts = {"text": self.text.strip(), "zone": self.zone, "card": self.card_id}
        together.write(AddStep(together.of, STEP, taken.values(discrepancy_id, facts)))
        return discrepancy_id

    def _values(self) -> dict[str, object]:
        return {
            "aircraft_id": self.aircraft_id,
            "found_on": self.on,
            "zone": self.zone,
            "text": self.text.strip(),
            "how_found": self.how_found.strip(),
            "cylinder": self.cylinder,
            "assembly_id": self.assembly_id,
            "card_id": self.card_id,
            "package_id": self.package_id,
            "hours_estimate": self.hours_estimate,
            "parts": self.parts.strip(),
            "cost_estimate": self.cost_estimate,
        }

    def _check(self, today: date) -> None:
        if not self.text.strip():
            raise Refused("A discrepancy needs a few words.", "Write down what was found, and where.")
        if self.on > today:
            raise Refused(f"{said_date(self.on)} is after today.", "Give the day it was found.")
        check_estimates({"hours_estimate": self.hours_estimate, "cost_estimate": self.cost_estimate})


def check_estimates(values: Mapping[str, object]) -> None:
    """Refused for hours or a cost below 0."""
    for name, unit in (("hours_estimate", " h of work"), ("cost_estimate", " as a cost")):
        value = values.get(name)
        if isinstance(value, Decimal) and (not value.is_finite() or value < 0):
            raise Refused(f"{value}{unit} can't be.", "Estimate 0 or more.")


@dataclass(frozen=True, slots=True)
class RaiseDiscrepancy:
    """Write down a defect found on a card: its place, engine and package are the card's."""

    card_id: int
    text: str
    person_id: int
    at: datetime
    airworthy: bool | None = None
    cylinder: int | None = None

    @property
    def says(self) -> str:
        """What the menu calls it."""
        return "discrepancy found on the card"

    def apply(self, work: Work, today: date) -> Changed:
        """Write it down, judged too where it is said whether it is airworthy. Refused as in Found."""
        place = place_of_card(work, self.card_id)
        found = Found(
            aircraft_id=place.aircraft_id,
            on=today,
            zone=place.zone,
            text=self.text,
            at=self.at,
            person_id=self.person_id,
            how_found=f"card {place.number} of {place.package}",
            cylinder=self.cylinder,
            assembly_id=place.assembly_id,
            card_id=self.card_id,
            package_id=place.package_id,
        )
        together = Together(work, Subject("discrepancy", self.says, place.aircraft_id))
        made_id = found.write(together, today)
        if self.airworthy is not None:
            taken = Taken(life.JUDGED, today, self.at, self.person_id)
            facts = {"airworthy": self.airworthy}
            together.write(step_edits(together.of, made_id, Life(), taken, facts)[0])
        changed = together.settled(today, made_id=made_id)
        return Changed(changed.kinds | {"work"}, changed.back, changed.aircraft_id, made_id)
