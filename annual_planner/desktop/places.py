"""The places on the rail, in the order of the work."""

from __future__ import annotations

from collections.abc import Iterator
from importlib import import_module
from typing import NamedTuple

from annual_planner.desktop.desk import Desk
from annual_planner.desktop.page import Page
from annual_planner.desktop.who import Role


class Place(NamedTuple):
    """One place: where its page is written, its words and its drawing."""

    name: str
    title: str
    written_in: str
    tip: str
    rail_words: str = ""
    """How the rail calls it where the title is too long for it."""
    of_shop: bool = False
    """The shop's own: an owner isn't shown it."""
    parts: tuple[str, ...] = ()
    """Modules of what is made on its page when it is first turned to."""

    @property
    def on_rail(self) -> str:
        """The words under its drawing."""
        return self.rail_words or self.title

    def bring_in(self) -> object:
        """The page's class, imported where it isn't yet."""
        module, _, name = self.written_in.partition(":")
        return getattr(import_module(module), name)

    def steps(self) -> Iterator[str]:
        """The modules that its page and what is made there later still need, in the order of their import."""
        from annual_planner.desktop.modules_in_turn import not_yet_imported

        for module in (self.written_in.partition(":")[0], *self.parts):
            yield from not_yet_imported(module)

    def make(self, desk: Desk) -> Page:
        """The page, imported on first use."""
        kind = self.bring_in()
        made = kind(desk) if callable(kind) else None
        if not isinstance(made, Page):
            raise TypeError(f"{self.written_in} is no page")
        return made


_HERE = "annual_planner.desktop"
PLACES = (
    Place(
        "fleet",
        "Fleet",
        f"{_HERE}.fleet_page:FleetPage",
        "Airplanes by what comes first",
        parts=(f"{_HERE}.working_panel",),
    ),
    Place(
        "aircraft",
        "Aircraft",
        f"{_HERE}.aircraft.page:AircraftPage",
        "One airplane: times and what is due",
        parts=(f"{_HERE}.aircraft.requirement_form", f"{_HERE}.aircraft.new_airplane"),
    ),
    Place(
        "annual",
        "Annual",
        f"{_HERE}.annual.page:AnnualPage",
        "One annual: what goes in, who does it, the order",
        parts=(
            f"{_HERE}.annual.timeline.tab",
            f"{_HERE}.annual.in_work.tab",
            f"{_HERE}.annual.closing_tab",
            f"{_HERE}.signing.dialog",
        ),
    ),
    Place(
        "plugs",
        "Plugs and cylinders",
        f"{_HERE}.plugs.page:PlugsPage",
        "The plug tray, rotation, compression and trends",
        "Plugs,\ncylinders",
    ),
    Place(
        "discrepancies",
        "Discrepancies",
        f"{_HERE}.discrepancies.page:DiscrepanciesPage",
        "What was found across the fleet: age, risk, who is waited for",
        parts=(
            f"{_HERE}.discrepancies.tabs",
            f"{_HERE}.discrepancies.deferral_form",
            f"{_HERE}.discrepancies.why",
        ),
    ),
    Place(
        "weeks",
        "Shop weeks",
        f"{_HERE}.weeks.page:WeeksPage",
        "The fleet's annuals against bays and weeks",
        "Shop\nweeks",
        of_shop=True,
    ),
    Place(
        "records",
        "Records",
        f"{_HERE}.records.page:RecordsPage",
        "Entries, signatures and filed papers",
    ),
    Place(
        "library",
        "Library",
        f"{_HERE}.library_page:LibraryPage",
        "Cards, requirements, rules and cautions",
        parts=(f"{_HERE}.ask_rule",),
    ),
)


def open_to(place: Place, role: Role) -> bool:
    """Say whether that person is shown that place."""
    return not place.of_shop or role != "owner"
