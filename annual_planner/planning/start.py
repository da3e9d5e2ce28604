"""Moving the first day of a visit: the same requirements are weighed again, the decisions stay."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from annual_planner.library.shelf import Library, load_library
from annual_planner.planning.card_changes import ITEM, PACKAGE, open_package
from annual_planner.planning.weighed import Visit, hours_on, to_weigh, visit_from
from annual_planner.records.edits import Changed
from annual_planner.store.fleet_reads import aircraft_sheet
from annual_planner.store.packages import PackageDates, item_lines
from annual_planner.store.rows import AircraftSheet, ItemLine
from annual_planner.store.session import Work
from annual_planner.store.weighable import item_dues
from annual_planner.store.writing import change
from annual_planner.trade.weighing import Weighed, weigh

Proposal = tuple[bool, str, Decimal | None, int | None]
"""What was proposed for an item: do now, the reason, hours and days given up."""


@dataclass(frozen=True, slots=True)
class SetStart:
    """Start the visit on another day.

    What was looked at stays the same set; `TakeUp` adds what is due by the new horizon. `proposals`: what
    each item says afterwards, by id; empty weighs them again.
    """

    package_id: int
    saw: date
    wants: date
    library: Library | None = None
    proposals: tuple[tuple[int, Proposal], ...] = ()

    @property
    def says(self) -> str:
        """What the menu calls it."""
        return "start of the visit"

    def apply(self, work: Work, today: date) -> Changed:
        """Write the day, the horizon and the hours expected then, and what each item's reason is now."""
        dates = open_package(work, self.package_id)
        sheet = aircraft_sheet(work, dates.aircraft_id)
        visit = visit_from(self.wants)
        _change_dates(work, dates, self.saw, visit, sheet)
        items = item_lines(work, self.package_id)
        wanted = dict(self.proposals) or self._weighed(work, items, visit, sheet)
        for item in items:
            if item.item_id in wanted:
                _propose(work, item, wanted[item.item_id], dates.aircraft_id)
        before = tuple((item.item_id, _proposal(item)) for item in items)
        back = SetStart(self.package_id, self.wants, self.saw, self.library, before)
        return Changed(frozenset({"package", "card"}), back, dates.aircraft_id)

    def _weighed(
        self, work: Work, items: list[ItemLine], visit: Visit, sheet: AircraftSheet
    ) -> dict[int, Proposal]:
        library = self.library or load_library()
        things = item_dues(work, tuple(item.due.requirement_id for item in items))
        found = {}
        for item in items:
            asked = to_weigh(things[item.due.requirement_id], visit, sheet, library)
            found[item.item_id] = _of_weighed(weigh(asked, visit.start_on, visit.horizon_on).value)
        return found


def _change_dates(work: Work, dates: PackageDates, saw: date, visit: Visit, sheet: AircraftSheet) -> None:
    wants = {
        "start_on": visit.start_on,
        "horizon_on": visit.horizon_on,
        "hours_at_start": hours_on(sheet.hours_now, sheet, visit.start_on).value,
    }
    said = f"start of package {dates.number}"
    change(
        work, PACKAGE, dates.package_id, {"start_on": saw}, wants, aircraft_id=dates.aircraft_id, said=said
    )


def _proposal(item: ItemLine) -> Proposal:
    return item.proposed_now, item.reason, item.given_up_hours, item.given_up_days


def _of_weighed(value: Weighed) -> Proposal:
    return value.do_now, value.reason, value.given_up_hours, value.given_up_days


def _propose(work: Work, item: ItemLine, wants: Proposal, aircraft_id: int) -> None:
    names = ("proposed_now", "reason", "given_up_hours", "given_up_days")
    saw = dict(zip(names, _proposal(item), strict=True))
    values = dict(zip(names, wants, strict=True))
    if saw != values:
        said = f"proposal for '{item.due.title}'"
        change(work, ITEM, item.item_id, saw, values, aircraft_id=aircraft_id, said=said)
