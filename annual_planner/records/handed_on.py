"""The trail says to whom the records of an airplane were handed over, and which file it was."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING

from annual_planner.records.edits import Changed
from annual_planner.store.audit import note_change
from annual_planner.store.signed_reads import last_link

if TYPE_CHECKING:
    from annual_planner.store.session import Work


@dataclass(frozen=True, slots=True)
class NoteHandedOver:
    """Note in the trail that a hand-over file was written; the airplane and its records stay as they are."""

    aircraft_id: int
    registration: str
    next_keeper: str
    sha256: str
    """Of the whole file."""
    signed: int
    on: date | None = None
    """From which day the next keeper has it."""
    signed_by: str = ""
    """Who signed the closing statement of the file; empty where nobody did."""

    @property
    def says(self) -> str:
        """What it is called."""
        return f"handed {self.registration} over to {self.next_keeper or 'its next keeper'}"

    def apply(self, work: Work, today: date) -> Changed:
        """Write the line, with the file's SHA-256 and the newest seal."""
        told: dict[str, object] = {
            "file SHA-256": self.sha256,
            "next keeper": self.next_keeper,
            "signed records": self.signed,
            "last_seal": last_link(work).seal,
            "closing statement signed by": self.signed_by,
        }
        if self.on is not None:
            told["handed on"] = self.on
        note_change(work, "aircraft", self.aircraft_id, self.aircraft_id, self.says, {}, told)
        return Changed(frozenset({"paper"}), None, self.aircraft_id)
