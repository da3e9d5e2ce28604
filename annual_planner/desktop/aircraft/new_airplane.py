"""Adding an airplane by hand: one page that explains what is wrong beside each field."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from annual_planner.desktop.aircraft.particulars import (
    COUNTS,
    count_fields,
    feature_groups,
    keeping_fields,
    own_fields,
    owner_choices,
)
from annual_planner.desktop.aircraft.record_forms import Done, Leave, day_field
from annual_planner.desktop.desk import Desk
from annual_planner.desktop.fields import ChoiceField, TextField, TicksField
from annual_planner.desktop.form import Form, Values
from annual_planner.desktop.typed import read_count, read_decimal
from annual_planner.records.edits import Changed
from annual_planner.store.fleet_reads import people

if TYPE_CHECKING:
    from annual_planner.desktop.aircraft.page import AircraftPage
    from annual_planner.library.shelf import Library

USUAL = {"engines": "1", "cylinders": "4", "plugs": "8", "wheels": "3"}
FITTED = ("engine", "propeller")


class AirplaneForm(Form):
    """Everything the first plan needs of an airplane."""

    def __init__(self, desk: Desk, library: Library, done: Done, leave: Leave) -> None:
        super().__init__(
            "Add an airplane",
            "Add airplane",
            done,
            leave,
            says="The usual requirements of Part 91 are taken on with it, by use and equipment.",
        )
        self.section("Which airplane")
        own_fields(self, desk.today.year)
        self.section("Hours now")
        self.add(
            TextField(
                "hours_now",
                "Airframe hours",
                read_decimal,
                letters=10,
                needed="How many hours has the airframe?",
                hint="Time in service in all.",
            )
        )
        self.add(
            TextField(
                "meter_hours",
                "Meter shows (h)",
                read_decimal,
                letters=10,
                hint="Only where the meter shows something else than the airframe's hours.",
            )
        )
        self.add(
            TextField(
                "landings",
                "Landings in all",
                lambda text: read_count(text, "landings"),
                letters=10,
                hint="May stay empty.",
            )
        )
        self.add(day_field("read_on", "Read on", desk.today))
        self.section("Whose and where")
        keeping_fields(self)
        self.section("Engine and propeller")
        count_fields(self)
        for word, usual in USUAL.items():
            self.fields[word].put(usual)
        for kind in FITTED:
            self._add_assembly(kind)
        self.section("Equipment and build")
        self.add(
            TicksField(
                "features",
                "",
                feature_groups(library.features),
                columns=3,
                hint="Cards and requirements follow from what is ticked here.",
            )
        )

    def _add_assembly(self, kind: str) -> None:
        name = kind.capitalize()
        self.add(TextField(f"{kind}_maker", f"{name} maker"))
        self.add(TextField(f"{kind}_model", f"{name} model"))
        self.add(TextField(f"{kind}_serial", f"{name} serial"))
        self.add(
            TextField(
                f"{kind}_hours",
                f"{name} hours",
                read_decimal,
                letters=10,
                hint="Empty: as many as the airframe.",
            )
        )
        self.add(
            TextField(
                f"{kind}_since",
                "Since overhaul (h)",
                read_decimal,
                letters=10,
                hint="Empty: never overhauled, or not known.",
            )
        )


def airplane_edit(values: Values) -> Any:
    """The edit that adds what the form holds; every engine and propeller starts as the form says of one."""
    from annual_planner.records.aircraft import AddAircraft, NewAssembly

    engines = values["engines"] or 1
    counts = {word: values[word] for word in COUNTS if values[word] is not None}
    fitted = [
        NewAssembly(
            kind=kind,
            maker=values[f"{kind}_maker"],
            model=values[f"{kind}_model"],
            serial=values[f"{kind}_serial"] if position == 1 else "",
            hours_now=values["hours_now"] if values[f"{kind}_hours"] is None else values[f"{kind}_hours"],
            hours_since_overhaul=values[f"{kind}_since"],
            position=position,
        )
        for position in range(1, engines + 1)
        for kind in FITTED
    ]
    own = (
        "registration",
        "maker",
        "model",
        "serial",
        "year_built",
        "category",
        "uses",
        "features",
        "owner_id",
        "base",
        "stated_hours_per_month",
        "hours_now",
        "read_on",
        "landings",
        "meter_hours",
    )
    return AddAircraft(**{key: values[key] for key in own}, counts=counts, assemblies=tuple(fitted))


def start_new_airplane(page: AircraftPage) -> None:
    """Open the form on the page, once the library and the people are there."""
    page.desk.with_library(page, lambda library: _open(page, library), page.failed)


def _open(page: AircraftPage, library: Library) -> None:
    def done(values: Values) -> None:
        page.desk.jobs.write(
            airplane_edit(values), form, lambda made: _take_on(page, library, made), form.failed
        )

    form = AirplaneForm(page.desk, library, done, page.close_form)
    page.open_form(form, whole=True)
    page.heading.setText("A new airplane")
    page.about.setText("")
    owner = form.fields["owner_id"]
    if isinstance(owner, ChoiceField):
        page.desk.jobs.read(people, form, lambda found: owner.offer(owner_choices(found)), topic="people")


def _take_on(page: AircraftPage, library: Library, made: Changed) -> None:
    """Show the new airplane and take on what is asked of it."""
    from annual_planner.records.requirements import TakeOnTemplates

    page.close_form()
    page.show_subject(made.made_id)
    if made.made_id is not None:
        page.desk.jobs.write(
            TakeOnTemplates(made.made_id, library.requirements), page, lambda _c: _taken_on(page), page.failed
        )


def _taken_on(page: AircraftPage) -> None:
    page.strip.say(
        "The airplane is in the fleet, and the usual requirements were taken on.",
        "Now record when each was last done: choose one and press Ctrl+D.",
    )
