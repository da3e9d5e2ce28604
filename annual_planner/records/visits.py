"""Visits in the shop's weeks and what owners wish for: written down and changed."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING

from annual_planner.records.edits import Changed
from annual_planner.records.row_edits import AddRow, ChangeRow, RemoveRow, Subject
from annual_planner.records.shop import WEEKDAYS, check_days
from annual_planner.store.writing import values_of
from annual_planner.trade.answer import said_date
from annual_planner.trade.refused import Refused

if TYPE_CHECKING:
    from annual_planner.store.session import Work


@dataclass(frozen=True, slots=True)
class PlanVisit:
    """Put an airplane's annual into one of the shop's weeks."""

    aircraft_id: int
    week_on: date
    bay: str = ""
    weeks: int = 1
    pinned: bool = False
    note: str = ""

    @property
    def says(self) -> str:
        """What the menu calls it."""
        return f"visit in the week of {said_date(self.week_on)}"

    def apply(self, work: Work, today: date) -> Changed:
        """Write it down. Refused for a day that is no Monday, or fewer weeks than one."""
        check_visit(self.week_on, self.weeks)
        values = {
            "aircraft_id": self.aircraft_id,
            "week_on": self.week_on,
            "bay": self.bay,
            "weeks": self.weeks,
            "pinned": self.pinned,
            "note": self.note,
        }
        of = Subject("visit", self.says, self.aircraft_id)
        return AddRow(of, "planned_visit", values).apply(work, today)


def check_visit(week_on: date, weeks: int) -> None:
    """Raise Refused for a day that is no Monday, or fewer weeks than one."""
    if week_on.weekday() != 0:
        raise Refused(f"{said_date(week_on)} is a {WEEKDAYS[week_on.weekday()]}.", "Name the week's Monday.")
    if weeks < 1:
        raise Refused(f"A visit of {weeks} weeks can't be.", "Give it a week or more.")


@dataclass(frozen=True, slots=True)
class ChangeVisit:
    """Move a visit, pin it or give it another bay; `saw` and `wants`: week_on, bay, weeks, pinned, note."""

    visit_id: int
    saw: Mapping[str, object]
    wants: Mapping[str, object]

    @property
    def says(self) -> str:
        """What the menu calls it."""
        return "change of a visit"

    def apply(self, work: Work, today: date) -> Changed:
        """Write it. Refused as when it is planned, ChangedMeanwhile as every change."""
        after = {**values_of(work, "planned_visit", self.visit_id, said="visit"), **self.wants}
        week_on, weeks, aircraft_id = after["week_on"], after["weeks"], after["aircraft_id"]
        assert isinstance(week_on, date)
        assert isinstance(weeks, int)
        assert isinstance(aircraft_id, int)
        check_visit(week_on, weeks)
        of = Subject("visit", self.says, aircraft_id)
        return ChangeRow(of, "planned_visit", self.visit_id, self.saw, self.wants).apply(work, today)


@dataclass(frozen=True, slots=True)
class RemoveVisit:
    """Take a visit out of the shop's weeks."""

    visit_id: int

    @property
    def says(self) -> str:
        """What the menu calls it."""
        return "removal of a visit"

    def apply(self, work: Work, today: date) -> Changed:
        """Remove it."""
        aircraft_id = values_of(work, "planned_visit", self.visit_id, said="visit")["aircraft_id"]
        assert isinstance(aircraft_id, int)
        of = Subject("visit", self.says, aircraft_id)
        return RemoveRow(of, "planned_visit", self.visit_id).apply(work, today)


@dataclass(frozen=True, slots=True)
class WishDays:
    """Write down days an owner wishes for, or (blocked) can't spare the airplane."""

    aircraft_id: int
    first_on: date
    last_on: date
    blocked: bool = False
    why: str = ""

    @property
    def says(self) -> str:
        """What the menu calls it."""
        return "blocked days" if self.blocked else "wish of the owner"

    def apply(self, work: Work, today: date) -> Changed:
        """Write them down. Refused when the last day is before the first."""
        check_days(self.first_on, self.last_on)
        values = {
            "aircraft_id": self.aircraft_id,
            "first_on": self.first_on,
            "last_on": self.last_on,
            "blocked": self.blocked,
            "why": self.why.strip(),
        }
        return AddRow(Subject("visit", self.says, self.aircraft_id), "owner_wish", values).apply(work, today)


@dataclass(frozen=True, slots=True)
class ChangeWish:
    """Give a wish other days or words; `saw` and `wants`: first_on, last_on, blocked, why."""

    wish_id: int
    saw: Mapping[str, object]
    wants: Mapping[str, object]

    @property
    def says(self) -> str:
        """What the menu calls it."""
        return "change of a wish"

    def apply(self, work: Work, today: date) -> Changed:
        """Write it. Refused when the last day is before the first, ChangedMeanwhile as every change."""
        after = {**values_of(work, "owner_wish", self.wish_id, said="wish"), **self.wants}
        first_on, last_on, aircraft_id = after["first_on"], after["last_on"], after["aircraft_id"]
        assert isinstance(first_on, date)
        assert isinstance(last_on, date)
        assert isinstance(aircraft_id, int)
        check_days(first_on, last_on)
        of = Subject("visit", self.says, aircraft_id)
        return ChangeRow(of, "owner_wish", self.wish_id, self.saw, self.wants).apply(work, today)


@dataclass(frozen=True, slots=True)
class RemoveWish:
    """Take an owner's wish or blocked days away."""

    wish_id: int

    @property
    def says(self) -> str:
        """What the menu calls it."""
        return "removal of a wish"

    def apply(self, work: Work, today: date) -> Changed:
        """Remove it."""
        aircraft_id = values_of(work, "owner_wish", self.wish_id, said="wish")["aircraft_id"]
        assert isinstance(aircraft_id, int)
        return RemoveRow(Subject("visit", self.says, aircraft_id), "owner_wish", self.wish_id).apply(
            work, today
        )
