"""Changing what is written about discrepancies: one at a time, or several as one edit."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime
from typing import TYPE_CHECKING

from annual_planner.records.discrepancy_found import check_estimates
from annual_planner.records.discrepancy_life import check_risk, check_waits, waiting_edit
from annual_planner.records.discrepancy_rows import ROW, Taken, aircraft_of, held
from annual_planner.records.edits import Changed
from annual_planner.records.row_edits import ChangeRow, RowEdit, Several, Subject
from annual_planner.store.writing import lock_aircraft
from annual_planner.trade.discrepancy_life import WAITING
from annual_planner.trade.refused import Refused

if TYPE_CHECKING:
    from annual_planner.store.session import Work

FIELDS = frozenset(
    {
        "text",
        "zone",
        "how_found",
        "cylinder",
        "parts",
        "hours_estimate",
        "cost_estimate",
        "package_id",
        "risk",
    }
)
"""What may be changed without a step."""
TOGETHER = frozenset({"risk", "waits_for", "package_id", "hours_estimate", "cost_estimate", "parts", "zone"})
"""What may be changed on several at once."""


@dataclass(frozen=True, slots=True)
class ChangeDiscrepancy:
    """Write other words, place or estimates; what its life settles is changed by steps."""

    discrepancy_id: int
    saw: Mapping[str, object]
    wants: Mapping[str, object]

    @property
    def says(self) -> str:
        """What the menu calls it."""
        return "change of a discrepancy"

    def apply(self, work: Work, today: date) -> Changed:
        """Write it. Refused for a field that steps settle, a closed one, or a value that can't be."""
        _check(self.wants, FIELDS)
        values = held(work, self.discrepancy_id)
        _check_not_closed(values)
        of = Subject("discrepancy", self.says, aircraft_of(values))
        return ChangeRow(of, ROW, self.discrepancy_id, self.saw, self.wants).apply(work, today)


@dataclass(frozen=True, slots=True)
class ChangeSeveral:
    """Write the same on several at once: `saw` by id what each held, `wants` what all shall hold."""

    saw: Mapping[int, Mapping[str, object]]
    wants: Mapping[str, object]
    at: datetime | None = None
    person_id: int | None = None

    @property
    def says(self) -> str:
        """What the menu calls it."""
        return f"change of {len(self.saw)} discrepancies"

    def apply(self, work: Work, today: date) -> Changed:
        """Write all or none, as one edit that is taken back as one. Refused as for a single one."""
        if not self.saw:
            raise Refused("No discrepancy is chosen.", "Choose some, then say what they shall hold.")
        _check(self.wants, TOGETHER)
        rows = {row_id: held(work, row_id) for row_id in sorted(self.saw)}
        for aircraft_id in sorted({aircraft_of(values) for values in rows.values()}):
            lock_aircraft(work, aircraft_id)
        edits = [edit for row_id, values in rows.items() for edit in self._edits(row_id, values, today)]
        return Several(Subject("discrepancy", self.says), tuple(edits)).apply(work, today)

    def _edits(self, row_id: int, values: Mapping[str, object], today: date) -> list[RowEdit]:
        _check_not_closed(values)
        of = Subject("discrepancy", self.says, aircraft_of(values))
        plain = {name: value for name, value in self.wants.items() if name != "waits_for"}
        saw = {name: value for name, value in self.saw[row_id].items() if name in plain}
        edits: list[RowEdit] = [ChangeRow(of, ROW, row_id, saw, plain)] if plain else []
        if "waits_for" in self.wants and self.wants["waits_for"] != values["waits_for"]:
            seen = {"waits_for": self.saw[row_id].get("waits_for", values["waits_for"])}
            edits.append(ChangeRow(of, ROW, row_id, seen, seen))
            taken = Taken(WAITING, today, self.at, self.person_id, "changed together with others")
            facts = {"for": self.wants["waits_for"]}
            edits.append(waiting_edit(of, row_id, values, today, taken, facts))
        return edits


def _check(wants: Mapping[str, object], allowed: frozenset[str]) -> None:
    if not wants or not allowed.issuperset(wants):
        odd = ", ".join(sorted(set(wants) - allowed)) or "nothing"
        raise Refused(f"Can't change: {odd}.", f"May be changed here: {', '.join(sorted(allowed))}.")
    if "text" in wants and not str(wants["text"]).strip():
        raise Refused("A discrepancy needs a few words.", "Write down what was found, and where.")
    check_estimates(wants)
    check_risk(str(wants.get("risk") or ""))
    check_waits(str(wants.get("waits_for") or ""))


def _check_not_closed(values: Mapping[str, object]) -> None:
    if values["closed_on"] is not None:
        raise Refused("A closed discrepancy stays as it is.", "Reopen it first, and say why.")
