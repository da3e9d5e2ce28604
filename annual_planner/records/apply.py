"""The one door through which edits reach the fleet: one short transaction each."""

from __future__ import annotations

from datetime import date

from annual_planner.records.edits import Changed, Edit
from annual_planner.store.session import Fleet


def apply(fleet: Fleet, edit: Edit, by: str, today: date) -> Changed:
    """Apply an edit for a person: checks, rows, due state and audit lines together, all of it or nothing.

    Raises Refused when it can't be taken, ChangedMeanwhile when somebody else changed what was seen.
    """
    with fleet.work(by) as work:
        return edit.apply(work, today)
