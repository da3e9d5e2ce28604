"""A discrepancy in one go: found, judged and decided upon. The steps of its life are written too.

What a page does step by step stands in `discrepancy_life`.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import TYPE_CHECKING

from annual_planner.records.discrepancy_found import Found
from annual_planner.records.discrepancy_rows import Taken, step_edits
from annual_planner.records.edits import Changed
from annual_planner.records.row_edits import Subject, Together
from annual_planner.trade import discrepancy_life as life
from annual_planner.trade.discrepancy_life import Life
from annual_planner.trade.refused import Refused
from annual_planner.trade.said import said_date

if TYPE_CHECKING:
    from annual_planner.store.session import Work


class _Chain:
    """Steps written one after the other on one discrepancy, within one edit."""

    def __init__(self, together: Together, discrepancy_id: int, now: Life) -> None:
        self.together, self.discrepancy_id, self.now = together, discrepancy_id, now

    def take(self, taken: Taken, **facts: object) -> None:
        edit, self.now = step_edits(self.together.of, self.discrepancy_id, self.now, taken, facts)
        self.together.write(edit)


@dataclass(frozen=True, slots=True)
class RecordDiscrepancy:
    """Write down a defect.

    `airworthy`: None while nobody has judged it. `disposition`: "" while none is chosen.
    """

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
        """Write it down. Refused for an empty text, an unknown disposition, a future day or hours below 0."""
        self._check_disposition()
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

    def _check_disposition(self) -> None:
        if self.disposition and self.disposition not in life.DISPOSITIONS:
            raise Refused(
                f"There is no disposition '{self.disposition}'.",
                f"Choose among {', '.join(life.DISPOSITIONS)}.",
            )
