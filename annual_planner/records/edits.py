"""Edits: what a person saw and what they want, as values, applied in one short transaction."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Protocol

if TYPE_CHECKING:
    from datetime import date

    from annual_planner.store.session import Work


KINDS = frozenset(
    {
        *("aircraft", "reading", "requirement", "compliance", "due"),
        *("package", "card", "work", "result", "discrepancy", "photograph", "view"),
        *("plug", "compression", "entry", "signature", "paper"),
        *("person", "calendar", "layout", "visit"),
    }
)
"""Every kind that an edit can touch."""


@dataclass(frozen=True, slots=True)
class Changed:
    """What an edit touched, and the edit that takes it back (None when it can't be taken back)."""

    kinds: frozenset[str]
    """Some of KINDS."""
    back: Edit | None
    aircraft_id: int | None = None
    made_id: int | None = None
    """The id of the row that the edit made, if it made one."""


class Edit(Protocol):
    """One change a person wants. Applying it checks, writes, refreshes the due state and the audit trail."""

    @property
    def says(self) -> str:
        """What the menu calls it after 'Undo': 'reading of N012AP'."""
        ...

    def apply(self, work: Work, today: date) -> Changed:
        """Write it down within the given transaction.

        Raises Refused when it can't be taken, ChangedMeanwhile when somebody else changed what was seen.
        """
        ...
