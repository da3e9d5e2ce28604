"""Filing papers: a PDF is kept byte for byte, so that it can be printed again as it was."""

from __future__ import annotations

import hashlib
from dataclasses import dataclass, field
from datetime import date, datetime
from typing import TYPE_CHECKING

from annual_planner.records.edits import Changed
from annual_planner.records.row_edits import AddRow, Subject
from annual_planner.store.audit import note_change
from annual_planner.store.signed_reads import last_link
from annual_planner.trade.refused import Refused

if TYPE_CHECKING:
    from annual_planner.store.session import Work

MOST_BYTES = 60_000_000
"""A paper larger than this isn't kept in the fleet."""


@dataclass(frozen=True, slots=True)
class FilePaper:
    """Keep a PDF with the newest seal beside it; `at` is the moment it was made. It is never changed."""

    title: str
    pdf: bytes = field(repr=False)
    pages: int
    at: datetime
    aircraft_id: int | None = None
    package_id: int | None = None

    @property
    def says(self) -> str:
        """What it is called."""
        return f"filed paper '{self.title}'"

    def apply(self, work: Work, today: date) -> Changed:
        """File it. Refused for what is no PDF, or too large to keep."""
        if not self.pdf.startswith(b"%PDF-"):
            raise Refused("What is to be filed is no PDF.", "Make the paper again.")
        if len(self.pdf) > MOST_BYTES:
            raise Refused(
                f"The paper has {len(self.pdf) // 1_000_000} MB; at most {MOST_BYTES // 1_000_000} are kept.",
                "Leave out photographs, or file it in parts.",
            )
        values = {
            "aircraft_id": self.aircraft_id,
            "package_id": self.package_id,
            "title": self.title,
            "made_at": self.at,
            "made_by": work.by,
            "pages": self.pages,
            "sha256": hashlib.sha256(self.pdf).hexdigest(),
            "last_seal": last_link(work).seal,
            "pdf": self.pdf,
        }
        made = AddRow(Subject("paper", self.says, self.aircraft_id), "filed_paper", values).apply(work, today)
        return Changed(made.kinds, None, made.aircraft_id, made.made_id)


@dataclass(frozen=True, slots=True)
class NotePaper:
    """Note in the trail that a plan went on paper; its pages are not kept, since it changes again."""

    title: str
    pdf: bytes = field(repr=False)
    pages: int
    way: str
    """'printed' or 'saved'."""
    package_id: int
    aircraft_id: int

    @property
    def says(self) -> str:
        """What it is called."""
        return f"{self.way} '{self.title}'"

    def apply(self, work: Work, today: date) -> Changed:
        """Write the line, with the paper's SHA-256 and the newest seal."""
        told = {
            "pages": self.pages,
            "sha256": hashlib.sha256(self.pdf).hexdigest(),
            "last_seal": last_link(work).seal,
        }
        note_change(work, "work_package", self.package_id, self.aircraft_id, self.says, {}, told)
        return Changed(frozenset({"paper"}), None, self.aircraft_id, None)
