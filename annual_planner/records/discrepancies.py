"""Discrepancies: found, decided upon, closed."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import TYPE_CHECKING

from annual_planner.records.edits import Changed
from annual_planner.records.row_edits import AddRow, ChangeRow, Subject
from annual_planner.store.writing import values_of
from annual_planner.trade.answer import said_date
from annual_planner.trade.refused import Refused

if TYPE_CHECKING:
    from annual_planner.store.session import Work

DISPOSITIONS = ("", "correct now", "defer", "watch", "owner declined")


@dataclass(frozen=True, slots=True)
class RecordDiscrepancy:
    """Write down a defect; `airworthy` None while nobody has judged it."""

    aircraft_id: int
    found_on: date
    zone: str
    text: str
    airworthy: bool | None = None
    hours_estimate: Decimal | None = None
    disposition: str = ""

    @property
    def says(self) -> str:
        """What the menu calls it."""
        return f"discrepancy of {said_date(self.found_on)}"

    def apply(self, work: Work, today: date) -> Changed:
        """Write it down. Raises Refused for an empty text, a future day or hours below 0."""
        self._check(today)
        values: dict[str, object] = {
            "aircraft_id": self.aircraft_id,
            "found_on": self.found_on,
            "zone": self.zone,
            "text": self.text.strip(),
            "airworthy": self.airworthy,
            "disposition": self.disposition,
            "hours_estimate": self.hours_estimate,
        }
        return AddRow(Subject("discrepancy", self.says, self.aircraft_id), "discrepancy", values).apply(
            work, today
        )

    def _check(self, today: date) -> None:
        if not self.text.strip():
            raise Refused("A discrepancy needs a few words.", "Write down what was found, and where.")
        if self.found_on > today:
            raise Refused(f"{said_date(self.found_on)} is after today.", "Give the day it was found.")
        if self.hours_estimate is not None and self.hours_estimate < 0:
            raise Refused(f"{self.hours_estimate} h of work can't be.", "Estimate 0 h or more.")
        _check_disposition(self.disposition)


@dataclass(frozen=True, slots=True)
class DecideDiscrepancy:
    """Write down what was decided about a defect, if nobody decided otherwise meanwhile."""

    discrepancy_id: int
    saw_airworthy: bool | None
    saw_disposition: str
    wants_airworthy: bool | None
    wants_disposition: str

    @property
    def says(self) -> str:
        """What the menu calls it."""
        return "decision on a discrepancy"

    def apply(self, work: Work, today: date) -> Changed:
        """Write it. Raises Refused for an unknown disposition, ChangedMeanwhile as every change does."""
        _check_disposition(self.wants_disposition)
        saw = {"airworthy": self.saw_airworthy, "disposition": self.saw_disposition}
        wants = {"airworthy": self.wants_airworthy, "disposition": self.wants_disposition}
        of = Subject("discrepancy", self.says, _aircraft_of(work, self.discrepancy_id))
        return ChangeRow(of, "discrepancy", self.discrepancy_id, saw, wants).apply(work, today)


@dataclass(frozen=True, slots=True)
class CloseDiscrepancy:
    """Close a defect that was dealt with."""

    discrepancy_id: int
    closed_on: date

    @property
    def says(self) -> str:
        """What the menu calls it."""
        return "closing of a discrepancy"

    def apply(self, work: Work, today: date) -> Changed:
        """Close it. Raises Refused for a day after today or before it was found."""
        held = values_of(work, "discrepancy", self.discrepancy_id, said="discrepancy")
        found_on = held["found_on"]
        if self.closed_on > today or (isinstance(found_on, date) and self.closed_on < found_on):
            raise Refused(
                f"It can't have been closed on {said_date(self.closed_on)}.",
                "Give a day between its finding and today.",
            )
        of = Subject("discrepancy", self.says, _aircraft_of(work, self.discrepancy_id))
        saw, wants = {"closed_on": None}, {"closed_on": self.closed_on}
        return ChangeRow(of, "discrepancy", self.discrepancy_id, saw, wants).apply(work, today)


def _aircraft_of(work: Work, discrepancy_id: int) -> int:
    aircraft_id = values_of(work, "discrepancy", discrepancy_id, said="discrepancy")["aircraft_id"]
    assert isinstance(aircraft_id, int)
    return aircraft_id


def _check_disposition(disposition: str) -> None:
    if disposition not in DISPOSITIONS:
        raise Refused(
            f"There is no disposition '{disposition}'.", f"Choose among {', '.join(DISPOSITIONS[1:])}."
        )
