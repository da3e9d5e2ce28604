"""Taking an airplane in on trial: into an empty fleet that is thrown away, to see what comes of it."""

from __future__ import annotations

import tempfile
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Any

from annual_planner.records.due_state import refresh
from annual_planner.records.standing import changed_since
from annual_planner.store.fleet_reads import due_page
from annual_planner.store.hand_over_rows import FILES, HandedOver, SentChain
from annual_planner.store.opening import open_fleet
from annual_planner.store.taking_writes import Ids, take_rows
from annual_planner.trade.refused import Refused

if TYPE_CHECKING:
    from annual_planner.store.rows import DueLine
    from annual_planner.store.session import Work

_REMEDY = "Nothing was recorded. Ask the keeper who handed over for the file again."
ODD = (ValueError, ArithmeticError, LookupError, TypeError, AttributeError)
"""What arithmetic and readers raise over rows that no program of ours wrote."""


@dataclass(frozen=True, slots=True)
class Trial:
    """What came of it."""

    changed: tuple[str, ...]
    """What the last keeper's rows no longer say as it was signed."""
    dues: tuple[DueLine, ...]
    """The due list, first things first."""


def tried(records: HandedOver, today: date) -> Trial:
    """Record everything under the ids it came with, work the due list out, and throw it all away.

    Raises Refused for records that can't be recorded.
    """
    with (
        tempfile.TemporaryDirectory(prefix="annual-planner-trial-") as folder,
        open_fleet(Path(folder) / "trial.fleet", create=True) as fleet,
        fleet.work("a trial") as work,
    ):
        take_rows(work, records, _columns, keep_ids=True)
        aircraft_id = int(records.aircraft["id"])
        keep_due(work, aircraft_id, today)
        dues = tuple(due_page(work, aircraft_id=aircraft_id, limit=1000))
        return Trial(tuple(_changed(work, records.chains[-1])), dues)


def keep_due(work: Work, aircraft_id: int, today: date) -> None:
    """Work out the due state; Refused for records out of which none follows: they are no airplane's."""
    try:
        refresh(work, aircraft_id, today)
    except (Refused, *ODD) as fault:
        raise cant_take(f"no due list follows from its records ({fault!s:.120})") from fault


def cant_take(said: str) -> Refused:
    """The one line for a hand-over file that can't be taken in."""
    return Refused(f"This hand-over file can't be taken in: {said}.", _REMEDY)


def _columns(table: str, row: Mapping[str, Any], ids: Ids) -> dict[str, Any]:
    """The columns that a hand-over leaves out, empty: nobody looks at them here."""
    empty: dict[str, dict[str, Any]] = {
        "person": {"roles": [], "contact": ""},
        "aircraft": {"owner_id": None},
        "spark_plug": {"spare": False},
        "photograph": {"jpeg": b"", "thumbnail": b""},
        "filed_paper": {"pdf": b""},
    }
    assert set(FILES) <= set(empty)
    return empty.get(table, {})


def _changed(work: Work, chain: SentChain) -> Iterator[str]:
    """Rows that differ from what was signed about them last; the numbers are those of that keeper."""
    newest = {(each.link.sealed.subject_table, each.row_id): each.link for each in chain.links if each.row_id}
    for (table, row_id), link in newest.items():
        assert row_id is not None, "only links about rows that came along are looked at"
        try:
            names = changed_since(work, table, row_id, link.content)
        except (Refused, *ODD):
            names = ("it can't be read",)
        if names:
            of = f"link {link.sealed.link}, signed by {link.person}"
            yield f"{of}: the {link.sealed.kind} was changed after it was signed: {', '.join(names)}"
