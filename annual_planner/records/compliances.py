"""Doings of requirements: written down, removed."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import TYPE_CHECKING

from annual_planner.records.edits import Changed
from annual_planner.records.row_edits import AddRow, RemoveRow, Subject, Together
from annual_planner.store.record_facts import Counted, counted, done_on_same_day, readings_around
from annual_planner.store.writing import field_of, values_of
from annual_planner.trade.refused import Refused
from annual_planner.trade.said import said_date, said_hours

if TYPE_CHECKING:
    from annual_planner.store.session import Work
    from annual_planner.trade.usage import Reading


@dataclass(frozen=True, slots=True)
class RecordCompliance:
    """Write down that a requirement was met.

    `done_hours` are those of what the requirement counts on; `enroute`: flown past the limit only on the way
    to the place of inspection.
    """

    requirement_id: int
    done_on: date
    done_hours: Decimal | None
    done_cycles: int | None = None
    method: str = ""
    entry: str = ""
    done_by: str = ""
    enroute: bool = False

    @property
    def says(self) -> str:
        """What the menu calls it."""
        return f"doing of {said_date(self.done_on)}"

    def apply(self, work: Work, today: date) -> Changed:
        """Check it and write it down. Raises Refused, with every fault found, when it can't have been so."""
        need = counted(work, self.requirement_id)
        together = Together(work, Subject("compliance", f"{need.title}, {self.says}", need.aircraft_id))
        self._check(work, need, today)
        made = together.write(AddRow(together.of, "compliance", self.values()))
        return together.settled(today, made_id=made)

    def _check(self, work: Work, need: Counted, today: date) -> None:
        faults = [*self.faults_of_day(need, today), *self.faults_of_numbers()]
        if done_on_same_day(work, need.requirement_id, self.done_on):
            faults.append(f"It is already down as done on {said_date(self.done_on)}.")
        if not faults and self.done_hours is not None:
            faults = self.faults_of_hours(need, *readings_around(work, need.aircraft_id, self.done_on))
        if faults:
            raise Refused(
                f"{need.title}: {' '.join(faults)}", "Look at the entry again and correct the day or hours."
            )

    def faults_of_day(self, need: Counted, today: date) -> list[str]:
        """What is wrong with the day, in sentences."""
        faults = []
        if self.done_on > today:
            faults.append(f"{said_date(self.done_on)} is after today, {said_date(today)}.")
        if need.year_built is not None and self.done_on.year < need.year_built:
            faults.append(
                f"{said_date(self.done_on)} is before the airplane was built, in {need.year_built}."
            )
        if need.terminated:
            faults.append(f"It no longer applies: {need.terminated}.")
        return faults

    def faults_of_numbers(self) -> list[str]:
        """What is wrong with the hours or cycles by themselves."""
        faults = []
        if self.done_hours is not None and (not self.done_hours.is_finite() or self.done_hours < 0):
            faults.append(f"{self.done_hours} h can't be.")
        if self.done_cycles is not None and self.done_cycles < 0:
            faults.append(f"{self.done_cycles} cycles can't be.")
        return faults

    def faults_of_hours(self, need: Counted, before: Reading | None, after: Reading | None) -> list[str]:
        """Hours must lie between those of the readings around the day, as far as there are any."""
        if self.done_hours is None or need.offset_hours is None:
            return []
        if need.fitted_on is not None and self.done_on < need.fitted_on:
            return []  # what counts was on another airplane then, or on a shelf
        if after is not None and self.done_hours > after.hours + need.offset_hours:
            most = said_hours(after.hours + need.offset_hours)
            return [f"{said_hours(self.done_hours)} is more than it had by {said_date(after.on)}: {most}."]
        if before is not None and self.done_hours < before.hours + need.offset_hours:
            least = said_hours(before.hours + need.offset_hours)
            return [f"{said_hours(self.done_hours)} is less than it had on {said_date(before.on)}: {least}."]
        return []

    def values(self) -> dict[str, object]:
        """The row as it is written down."""
        return {
            "requirement_id": self.requirement_id,
            "done_on": self.done_on,
            "done_hours": self.done_hours,
            "done_cycles": self.done_cycles,
            "method": self.method,
            "entry": self.entry,
            "done_by": self.done_by,
            "enroute": self.enroute,
        }


@dataclass(frozen=True, slots=True)
class RemoveCompliance:
    """Remove a doing that was written down by mistake."""

    compliance_id: int

    @property
    def says(self) -> str:
        """What the menu calls it."""
        return "removal of a doing"

    def apply(self, work: Work, today: date) -> Changed:
        """Remove it. Raises Refused when it is gone already."""
        held = values_of(work, "compliance", self.compliance_id, said="doing")
        need = counted(work, field_of(held, "requirement_id", int))
        of = Subject("compliance", f"{need.title}, {self.says}", need.aircraft_id)
        return RemoveRow(of, "compliance", self.compliance_id).apply(work, today)
