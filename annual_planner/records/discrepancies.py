"""Discrepancies in one go: recorded, decided upon, closed. The steps of their life are written too.

What a page does step by step stands in `discrepancy_life`.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import TYPE_CHECKING

from annual_planner.records.discrepancy_life import Found
from annual_planner.records.discrepancy_rows import Taken, aircraft_of, check_day, held, held_life, step_edits
from annual_planner.records.edits import Changed
from annual_planner.records.row_edits import Subject, Together
from annual_planner.store.refusals import ChangedMeanwhile
from annual_planner.trade import discrepancy_life as life
from annual_planner.trade.answer import said_date
from annual_planner.trade.discrepancy_life import Life
from annual_planner.trade.refused import Refused

if TYPE_CHECKING:
    from annual_planner.store.session import Work

DISPOSITIONS = ("", *life.DISPOSITIONS)


class _Chain:
    """Steps written one after the other on one discrepancy, within one edit."""

    def __init__(self, together: Together, discrepancy_id: int, now: Life) -> None:
        self.together, self.discrepancy_id, self.now = together, discrepancy_id, now

    def take(self, taken: Taken, **facts: object) -> None:
        edit, self.now = step_edits(self.together.of, self.discrepancy_id, self.now, taken, facts)
        self.together.write(edit)


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
        _check_disposition(self.disposition)
        together = Together(work, Subject("discrepancy", self.says, self.aircraft_id))
        found = Found(
            self.aircraft_id, self.found_on, self.zone, self.text, hours_estimate=self.hours_estimate
        )
        made_id = found.write(together, today)
        chain = _Chain(together, made_id, Life())
        if self.airworthy is not None:
            chain.take(Taken(life.JUDGED, self.found_on), airworthy=self.airworthy)
        if self.disposition:
            chain.take(Taken(life.DECIDED, self.found_on), disposition=self.disposition)
        return together.settled(today, made_id=made_id)


@dataclass(frozen=True, slots=True)
class DecideDiscrepancy:
    """Judge a defect and decide upon it at once, if nobody decided otherwise meanwhile."""

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
        """Write it. Raises Refused for an unknown disposition or a closed one, ChangedMeanwhile as always."""
        _check_disposition(self.wants_disposition)
        values = held(work, self.discrepancy_id)
        now = held_life(values)
        self._check_seen(now)
        together = Together(work, Subject("discrepancy", self.says, aircraft_of(values)))
        chain = _Chain(together, self.discrepancy_id, now)
        if self.wants_airworthy != now.airworthy:
            chain.take(Taken(life.JUDGED, today), airworthy=self.wants_airworthy)
        if self.wants_disposition != chain.now.disposition:
            chain.take(Taken(life.DECIDED, today), disposition=self.wants_disposition)
        return together.settled(today)

    def _check_seen(self, now: Life) -> None:
        saw = {"airworthy": self.saw_airworthy, "disposition": self.saw_disposition}
        holds = {"airworthy": now.airworthy, "disposition": now.disposition}
        if saw != holds:
            wants = {"airworthy": self.wants_airworthy, "disposition": self.wants_disposition}
            raise ChangedMeanwhile("discrepancy", saw=saw, wants=wants, now=holds)
        if now.state in (life.CORRECTED, life.SIGNED):
            raise Refused(f"The discrepancy is {now.state}.", "Reopen it, then decide anew.")


@dataclass(frozen=True, slots=True)
class CloseDiscrepancy:
    """Close a defect that was dealt with: corrected and inspected in one go."""

    discrepancy_id: int
    closed_on: date

    @property
    def says(self) -> str:
        """What the menu calls it."""
        return "closing of a discrepancy"

    def apply(self, work: Work, today: date) -> Changed:
        """Close it. Raises Refused for a day after today or before it was found, or when it is closed."""
        values = held(work, self.discrepancy_id)
        now = held_life(values)
        try:
            check_day(self.closed_on, values, today)
        except Refused as refused:
            said = f"It can't have been closed on {said_date(self.closed_on)}."
            raise Refused(said, refused.remedy) from refused
        if now.closed_on is not None:
            raise Refused(f"It was closed on {said_date(now.closed_on)}.", "Reopen it if it is there again.")
        together = Together(work, Subject("discrepancy", self.says, aircraft_of(values)))
        chain = _Chain(together, self.discrepancy_id, now)
        if now.state != life.CORRECTED:
            chain.take(Taken(life.CORRECTED, self.closed_on, said="closed in one go"))
        chain.take(Taken(life.INSPECTED, self.closed_on, said="closed in one go"))
        return together.settled(today)


def _check_disposition(disposition: str) -> None:
    if disposition not in DISPOSITIONS:
        raise Refused(
            f"There is no disposition '{disposition}'.", f"Choose among {', '.join(DISPOSITIONS[1:])}."
        )
