"""Adding an airplane by hand: one page that explains what is wrong beside each field."""

from __future__ import annotations

from datetime import date
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
from annual_planner.desktop.fields import ChoiceField, Field, TextField, TicksField
from annual_planner.desktop.form import Form, Values
from annual_planner.desktop.typed import read_count, read_decimal
from annual_planner.records.edits import Changed
from annual_planner.store.fleet_reads import people
from annual_planner.trade.refused import Refused

if TYPE_CHECKING:
    from annual_planner.desktop.aircraft.page import AircraftPage
    from annual_planner.library.shelf import Library
    from annual_planner.records.aircraft import NewAssembly

USUAL = {"engines": "1", "cylinders": "4", "plugs": "8", "wheels": "3"}
FITTED = ("engine", "propeller")
MOST_ENGINES = 4
"""That the form asks for one by one."""


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
        self._ask_hours(desk.today)
        self.section("Whose and where")
        keeping_fields(self)
        self.section("Engine and propeller")
        count_fields(self)
        for word, usual in USUAL.items():
            self.fields[word].put(usual)
        for kind in FITTED:
            add_assembly(self, kind, 1)
        self.more_engines = [MoreEngine(self, number) for number in range(2, MOST_ENGINES + 1)]
        self.fields["engines"].edited.connect(self._follow_engines)
        self._follow_engines()
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

    def _ask_hours(self, today: date) -> None:
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
        self.add(day_field("read_on", "Read on", today))

    def _follow_engines(self) -> None:
        """Ask for each engine and propeller that there is."""
        try:
            engines = self.fields["engines"].value() or 1
        except Refused:
            return
        for each in self.more_engines:
            each.show_up(engines >= each.number)


class MoreEngine:
    """The fields of a second engine and its propeller, or a further one; shown where the airplane has it."""

    def __init__(self, form: Form, number: int) -> None:
        self.number = number
        self._heading = form.section(f"Engine {number} and its propeller")
        self._fields = [field for kind in FITTED for field in add_assembly(form, kind, number)]

    def show_up(self, shown: bool) -> None:
        """Show or hide all of it."""
        self._heading.setVisible(shown)
        for field in self._fields:
            field.show_field(shown)


def add_assembly(form: Form, kind: str, number: int) -> list[Field]:
    """Add what is asked of an engine or propeller; a further one has the maker and model of the first."""
    name = kind.capitalize() if number == 1 else f"{kind.capitalize()} {number}"
    as_first = "" if number == 1 else f"Empty: as {kind} 1."
    of = key_of(kind, number)
    fields: list[Field] = [
        TextField(f"{of}_maker", f"{name} maker", hint=as_first),
        TextField(f"{of}_model", f"{name} model", hint=as_first),
        TextField(f"{of}_serial", f"{name} serial"),
        TextField(
            f"{of}_hours", f"{name} hours", read_decimal, letters=10, hint="Empty: as many as the airframe."
        ),
        TextField(
            f"{of}_since",
            "Since overhaul (h)",
            read_decimal,
            letters=10,
            hint="Empty: never overhauled, or not known.",
        ),
    ]
    return [form.add(field) for field in fields]


def key_of(kind: str, number: int) -> str:
    """What the keys of its fields begin with.

    >>> key_of("engine", 1), key_of("engine", 2)
    ('engine', 'engine2')
    """
    return kind if number == 1 else f"{kind}{number}"


def fitted_new(values: Values, kind: str, number: int) -> NewAssembly:
    """An engine or propeller as the form says; beyond those asked for, as the first but for its serial."""
    from annual_planner.records.aircraft import NewAssembly

    of = key_of(kind, number)
    asked = f"{of}_serial" in values
    hours = values[f"{of}_hours"] if asked else values[f"{kind}_hours"]
    return NewAssembly(
        kind=kind,
        maker=values.get(f"{of}_maker") or values[f"{kind}_maker"],
        model=values.get(f"{of}_model") or values[f"{kind}_model"],
        serial=values[f"{of}_serial"] if asked else "",
        hours_now=values["hours_now"] if hours is None else hours,
        hours_since_overhaul=values[f"{of}_since"] if asked else values[f"{kind}_since"],
        position=number,
    )


def airplane_edit(values: Values) -> Any:
    """The edit that adds what the form holds, each engine and propeller by its own fields."""
    from annual_planner.records.aircraft import AddAircraft

    engines = values["engines"] or 1
    counts = {word: values[word] for word in COUNTS if values[word] is not None}
    fitted = [fitted_new(values, kind, number) for number in range(1, engines + 1) for kind in FITTED]
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
