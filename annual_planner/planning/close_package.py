"""Closing a package: what was done counts from that day on, and the package becomes a record."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING

from annual_planner.library.shelf import Library
from annual_planner.planning.closing import ClosingState, closing_state
from annual_planner.planning.weighed import DONE_BY_THE_WHOLE
from annual_planner.records.compliances import RecordCompliance
from annual_planner.records.edits import Changed
from annual_planner.records.row_edits import AddRow, ChangeRow, Subject, Together
from annual_planner.store.closing_reads import closing_cards
from annual_planner.store.packages import item_lines, package_dates
from annual_planner.store.record_facts import done_on_same_day
from annual_planner.store.rows import ItemLine
from annual_planner.store.session import Work
from annual_planner.store.weighable import item_dues
from annual_planner.store.writing import lock_aircraft
from annual_planner.trade.card_states import DONE
from annual_planner.trade.package_states import CLOSED
from annual_planner.trade.refused import Refused
from annual_planner.trade.said import said_date

if TYPE_CHECKING:
    from annual_planner.store.weighable import Weighable

APPROVED, NOT_APPROVED = "approved", "not approved"


@dataclass(frozen=True, slots=True)
class ClosePackage:
    """Close a package from which nothing is missing. It can't be taken back: its entries are signed."""

    package_id: int
    library: Library
    closed_on: date

    @property
    def says(self) -> str:
        """What it is called."""
        return "closing of the package"

    def apply(self, work: Work, today: date) -> Changed:
        """Write the doings down and close it. Refused, with what is missing, while anything is."""
        lock_aircraft(work, package_dates(work, self.package_id).aircraft_id)
        dates = package_dates(work, self.package_id, lock=True)  # from here on nothing missing can come in
        if dates.state == CLOSED:
            raise Refused(f"Package {dates.number} is closed already.", "Look at its entries in the records.")
        state = closing_state(work, self.package_id, self.library, today).value
        if state.lacking:
            said = " ".join(each.said for each in state.lacking[:5])
            more = f" And {len(state.lacking) - 5} more." if len(state.lacking) > 5 else ""
            raise Refused(f"Package {dates.number} can't be closed yet. {said}{more}", "Settle these first.")
        together = Together(work, Subject("compliance", self.says, dates.aircraft_id))
        for edit in self._doings(work, state):
            together.write(edit)
        result = APPROVED if state.approved else NOT_APPROVED
        saw = {"state": dates.state}
        wants = {"state": CLOSED, "closed_on": self.closed_on, "result": result}
        together.write(ChangeRow(together.of, "work_package", self.package_id, saw, wants))
        changed = together.settled(today)
        kinds = changed.kinds | {"package", "card", "discrepancy", "entry"}
        return Changed(kinds, None, dates.aircraft_id, self.package_id)

    def _doings(self, work: Work, state: ClosingState) -> Iterator[AddRow]:
        """A doing of every requirement that was to be met now and whose cards are done."""
        items = [item for item in item_lines(work, self.package_id) if item.do_now]
        things = item_dues(work, tuple(item.due.requirement_id for item in items))
        met = _met(work, self.package_id)
        entry = ", ".join(f"entry {each.entry_id}" for each in state.entries if each.kind == "inspection")
        for item in items:
            need = item.due.requirement_id
            whole = item.due.key in DONE_BY_THE_WHOLE
            if not (whole or met.get(need)) or done_on_same_day(work, need, self.closed_on):
                continue
            yield self._doing(work, item, things[need], entry if whole else "", state.approved)

    def _doing(self, work: Work, item: ItemLine, thing: Weighable, entry: str, approved: bool) -> AddRow:
        method = "" if approved else f"inspected, not approved; list of {said_date(self.closed_on)}"
        done = RecordCompliance(
            requirement_id=item.due.requirement_id,
            done_on=self.closed_on,
            done_hours=thing.hours_now,
            method=method or f"package {package_dates(work, self.package_id).number}",
            entry=entry,
            done_by=work.by,
        )
        of = Subject("compliance", f"{item.due.title}, {done.says}", item.due.aircraft_id)
        return AddRow(of, "compliance", done.values())


def _met(work: Work, package_id: int) -> dict[int, bool]:
    """Whether every card that was made for a requirement is done."""
    met: dict[int, bool] = {}
    for card in closing_cards(work, package_id):
        for need in card.content.get("requirements", ()):
            met[need] = met.get(need, True) and card.state == DONE
    return met
