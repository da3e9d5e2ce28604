"""Building a work package for a visit: what goes in, its cards, who may do them, in the order of work."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from annual_planner.library.shelf import Library
from annual_planner.planning.card_changes import CARD_CHANGED
from annual_planner.planning.entitled import owner_person
from annual_planner.planning.experience import experience
from annual_planner.planning.layout import lay_out, new_item
from annual_planner.planning.package_engines import engine_types
from annual_planner.planning.weighed import hours_on, visit_from, weighed_items
from annual_planner.records.edits import Changed
from annual_planner.store.audit import note_change
from annual_planner.store.fleet_reads import aircraft_sheet, discrepancies, packages
from annual_planner.store.package_writes import (
    NewPackage,
    StoredPackage,
    add_cards,
    add_items,
    add_package,
    put_back_package,
    take_out_package,
)
from annual_planner.store.packages import package_dates
from annual_planner.store.session import Work
from annual_planner.store.weighable import weighables
from annual_planner.store.writing import lock_aircraft
from annual_planner.trade.package_states import CLOSED, PLANNING
from annual_planner.trade.refused import Refused
from annual_planner.trade.said import said_date


@dataclass(frozen=True, slots=True)
class BuildPackage:
    """Plan a visit: everything due before the next annual would end is weighed, and the cards laid out."""

    aircraft_id: int
    start_on: date
    title: str
    library: Library

    @property
    def says(self) -> str:
        """What the menu calls it."""
        return f"new package '{self.title}'"

    def apply(self, work: Work, today: date) -> Changed:
        """Write the package with its items and cards down. Refused when it can't be laid out."""
        if not self.title.strip():
            raise Refused("The package has no title.", "Say what it is, such as 'Annual inspection'.")
        lock_aircraft(work, self.aircraft_id)
        sheet = aircraft_sheet(work, self.aircraft_id)
        visit = visit_from(self.start_on)
        self._check_alone(work)
        items = weighed_items(weighables(work, self.aircraft_id), visit, sheet, self.library)
        found, owner = discrepancies(work, self.aircraft_id), owner_person(work, sheet)
        types = engine_types(work, self.aircraft_id, self.library)
        cards = lay_out(items, sheet, found, self.library, self.start_on, owner, types, experience(work))
        package_id = add_package(
            work,
            NewPackage(
                aircraft_id=self.aircraft_id,
                title=self.title.strip(),
                start_on=visit.start_on,
                horizon_on=visit.horizon_on,
                hours_at_start=hours_on(sheet.hours_now, sheet, visit.start_on).value,
            ),
        )
        add_items(work, package_id, [new_item(thing, weighed) for thing, weighed in items])
        add_cards(work, package_id, cards)
        after = {"title": self.title, "start_on": self.start_on, "items": len(items), "cards": len(cards)}
        note_change(work, "work_package", package_id, self.aircraft_id, "planned a package", {}, after)
        return Changed(CARD_CHANGED, RemovePackage(package_id), self.aircraft_id, package_id)

    def _check_alone(self, work: Work) -> None:
        """Two benches may plan the same visit: the second is shown to the first one's package."""
        for line in packages(work, aircraft_id=self.aircraft_id):
            if line.start_on == self.start_on and line.state != CLOSED:
                raise Refused(
                    f"A visit on {said_date(self.start_on)} is planned already: package {line.number},"
                    f" '{line.title}'.",
                    "Open that one, or choose another start.",
                )


@dataclass(frozen=True, slots=True)
class RemovePackage:
    """Take a package that is still being planned away, with its items and cards."""

    package_id: int

    @property
    def says(self) -> str:
        """What the menu calls it."""
        return "removal of the package"

    def apply(self, work: Work, today: date) -> Changed:
        """Remove it. Refused when it is gone or work on it has begun."""
        dates = package_dates(work, self.package_id)
        if dates.state != PLANNING:
            raise Refused(
                f"Package {dates.number} is {dates.state}; its cards are records now.",
                "Leave single cards out of it instead.",
            )
        stored = take_out_package(work, self.package_id)
        before = {"number": dates.number, "title": dates.title, "cards": len(stored.cards)}
        note_change(work, "work_package", self.package_id, dates.aircraft_id, "removed a package", before, {})
        return Changed(CARD_CHANGED, PutBackPackage(self.package_id, stored), dates.aircraft_id)


@dataclass(frozen=True, slots=True)
class PutBackPackage:
    """Put a removed package back as it was."""

    package_id: int
    stored: StoredPackage

    @property
    def says(self) -> str:
        """What the menu calls it."""
        return "return of the package"

    def apply(self, work: Work, today: date) -> Changed:
        """Write its rows again under their old ids."""
        put_back_package(work, self.stored)
        dates = package_dates(work, self.package_id)
        after = {"number": dates.number, "title": dates.title, "cards": len(self.stored.cards)}
        note_change(work, "work_package", self.package_id, dates.aircraft_id, "put a package back", {}, after)
        return Changed(CARD_CHANGED, RemovePackage(self.package_id), dates.aircraft_id, self.package_id)
