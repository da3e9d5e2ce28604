"""Visits in the shop's weeks are moved and pinned; what owners wish for is written down and changed."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING

from annual_planner.records.edits import Changed
from annual_planner.records.row_edits import AddRow, ChangeRow, RemoveRow, Subject
from annual_planner.records.shop import WEEKDAYS, check_days
from annual_planner.store.writing import field_of, values_of
from annual_planner.trade.refused import Refused
from annual_planner.trade.said import said_date

if TYPE_CHECKING:
    from annual_planner.store.session import Work


@dataclass(frozen=True, slots=True)
class ChangeVisit:
    """Move a visit, pin it or give it another bay; `saw` and `wants`: week_on, bay, pinned, note."""

    visit_id: int
    saw: Mapping[str, object]
    wants: Mapping[str, object]

    @property
    def says(self) -> str:
        """What the menu calls it."""
        return "change of a visit"

    def apply(self, work: Work, today: date) -> Changed:
        """Write it. Refused for a day that is no Monday, ChangedMeanwhile as every change."""
        after = {**values_of(work, "planned_visit", self.visit_id, said="visit"), **self.wants}
        week_on = field_of(after, "week_on", date)
        if week_on.weekday() != 0:
            day = WEEKDAYS[week_on.weekday()]
            raise Refused(f"{said_date(week_on)} is a {day}.", "Name the week's Monday.")
        of = Subject("visit", self.says, field_of(after, "aircraft_id", int))
        return ChangeRow(of, "planned_visit", self.visit_id, self.saw, self.wants).apply(work, today)


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
        check_days(field_of(after, "first_on", date), field_of(after, "last_on", date))
        of = Subject("visit", self.says, field_of(after, "aircraft_id", int))
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
        held = values_of(work, "owner_wish", self.wish_id, said="wish")
        of = Subject("visit", self.says, field_of(held, "aircraft_id", int))
        return RemoveRow(of, "owner_wish", self.wish_id).apply(work, today)
