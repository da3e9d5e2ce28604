"""Fitting an engine, a propeller, a magneto or an accessory to the airplane, and removing it."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING

from annual_planner.desktop.aircraft.record_forms import Done, Leave, day_field
from annual_planner.desktop.columns import hours_text
from annual_planner.desktop.fields import ChoiceField, Field, TextField, TickField
from annual_planner.desktop.form import Form, Values
from annual_planner.desktop.typed import read_count, read_decimal
from annual_planner.trade.refused import Refused

if TYPE_CHECKING:
    from annual_planner.desktop.aircraft.page import AircraftPage
    from annual_planner.desktop.aircraft.seen import Seen
    from annual_planner.library.shelf import Library
    from annual_planner.records.edits import Changed, Edit
    from annual_planner.store.rows import AssemblyLine

OTHER = ""
KINDS: tuple[tuple[object, str], ...] = (
    ("engine", "Engine"),
    ("propeller", "Propeller"),
    ("magneto", "Magneto"),
    ("propeller governor", "Propeller governor"),
    ("starter", "Starter"),
    ("alternator", "Alternator or generator"),
    ("vacuum pump", "Vacuum pump"),
    ("fuel pump", "Fuel pump"),
    ("carburetor", "Carburetor or fuel injector"),
    (OTHER, "Something else"),
)
LIVE = (
    "An engine or propeller is changed with the ignition off and grounded; treat the propeller as live."
    " Hoist and support by the maker's current instructions."
)


class HoursByDay:
    """Offers the airframe's hours of the day in another field, unless somebody typed others."""

    def __init__(self, seen: Seen, day: Field, hours: TextField) -> None:
        self._seen, self._day, self._hours, self._offered = seen, day, hours, ""
        day.edited.connect(self.offer)
        self.offer()

    def offer(self) -> None:
        """Show the hours by the last reading until the day that is typed."""
        if self._hours.line.text() != self._offered:
            return
        try:
            on = self._day.value()
        except Refused:
            return
        self._offered = hours_text(self._seen.hours_on(on))
        self._hours.put(self._offered)


def _hours_field(form: Form, key: str, words: str, hint: str, needed: str = "") -> TextField:
    made = TextField(key, words, read_decimal, letters=10, hint=hint, needed=needed)
    form.add(made)
    return made


def _airframe_hours(form: Form) -> TextField:
    return _hours_field(
        form, "airframe_hours", "Airframe hours", "By the last reading until that day.",
        "How many hours had the airframe?",
    )  # fmt: skip


class FitForm(Form):
    """What is fitted, where, when and with which hours; and what came out of that place, if anything did."""

    def __init__(self, seen: Seen, today: date, done: Done, leave: Leave) -> None:
        super().__init__("Fit an assembly", "Fit it", done, leave, says=LIVE)
        self._seen = seen
        self.kind = self.add(ChoiceField("kind", "What", KINDS))
        self.other = self.add(TextField("other", "What it is called", needed="Say what is fitted."))
        self.place = self.add(
            TextField(
                "position", "Place", lambda text: read_count(text, "place"), letters=4, needed="Which place?",
                hint="1, or the number of the engine or magneto it belongs to.",
            )
        )  # fmt: skip
        self.place.put("1")
        self.add(TextField("maker", "Maker"))
        self.add(TextField("model", "Model"))
        self.add(
            TextField("serial", "Serial", hint="One that was in the fleet before goes on with its history.")
        )
        day = self.add(day_field("fitted_on", "Fitted on", today))
        airframe = _airframe_hours(self)
        _hours_field(
            self,
            "assembly_hours",
            "Hours since new",
            "Its own, when it was fitted.",
            "How many hours has it?",
        )
        _hours_field(
            self, "hours_since_overhaul", "Hours since overhaul", "Empty: never overhauled, or not known."
        )
        self.out = self.add(TickField("out", "Take out what is fitted there now"))
        self.reason = self.add(TextField("reason", "Why it comes off", needed="Say why.", letters=40))
        self._hours = HoursByDay(seen, day, airframe)
        for each in (self.kind, self.place, self.out):
            each.edited.connect(self._follow)
        self._follow()

    @property
    def occupant(self) -> AssemblyLine | None:
        """What is fitted in that place now."""
        try:
            place = self.place.value()
        except Refused:
            return None
        kind = self.kind.value() or self.other.value()
        fitted = (each for each in self._seen.assemblies if each.removed_on is None)
        return next((each for each in fitted if (each.kind, each.position) == (kind, place)), None)

    def _follow(self) -> None:
        there = self.occupant
        self.other.show_field(self.kind.value() == OTHER)
        self.out.show_field(there is not None)
        if there is not None:
            self.out.hint = named(there)[:1].upper() + named(there)[1:]
            self.out.say(self.out.hint)
        self.reason.show_field(there is not None and bool(self.out.value()))

    def values(self) -> Values | None:
        """The values, unless the place is taken and nothing is taken out of it."""
        found = super().values()
        if found is not None and self.occupant is not None and not found.get("out"):
            self.tell("▲ Something is fitted in that place. Tick that it comes out, or give another place.")
            return None
        return found


def named(line: AssemblyLine) -> str:
    """An assembly as people call it: 'engine 1, Brindle B-100, serial E5'."""
    parts = (f"{line.kind} {line.position}", f"{line.maker} {line.model}".strip())
    serial = f"serial {line.serial}" if line.serial else ""
    return ", ".join(part for part in (*parts, serial) if part)


class RemoveForm(Form):
    """When and why an assembly comes off."""

    def __init__(self, seen: Seen, line: AssemblyLine, today: date, done: Done, leave: Leave) -> None:
        super().__init__(f"Remove {named(line)}", "Remove it", done, leave, says=LIVE)
        day = self.add(day_field("removed_on", "Removed on", today))
        airframe = _airframe_hours(self)
        self.add(TextField("reason", "Why it comes off", needed="Say why, such as 'overhaul'.", letters=40))
        self._hours = HoursByDay(seen, day, airframe)


def fit_edit(aircraft_id: int, values: Values, occupant: AssemblyLine | None, library: Library) -> Edit:
    """Fit it; where something comes out of its place, both as one change."""
    from annual_planner.records.assemblies import FitAssembly, RemoveAssembly
    from annual_planner.records.in_turn import InTurn

    fit = FitAssembly(
        aircraft_id=aircraft_id,
        kind=" ".join((values["kind"] or values["other"]).lower().split()),
        maker=values["maker"],
        model=values["model"],
        serial=values["serial"],
        fitted_on=values["fitted_on"],
        airframe_hours=values["airframe_hours"],
        assembly_hours=values["assembly_hours"],
        hours_since_overhaul=values["hours_since_overhaul"],
        position=values["position"],
        templates=tuple(library.requirements),
    )
    if occupant is None or not values.get("out"):
        return fit
    off = RemoveAssembly(
        occupant.assembly_id, values["fitted_on"], values["airframe_hours"], values["reason"]
    )
    return InTurn(f"change of {fit.kind} {fit.position}", (off, fit), aircraft_id=aircraft_id)


def start_fit(page: AircraftPage) -> None:
    """Open the form that fits an assembly, once the library is there."""
    page.desk.with_library(page, lambda library: _open_fit(page, library), page.failed)


def _open_fit(page: AircraftPage, library: Library) -> None:
    seen = page.seen
    if seen is None:
        return

    def done(values: Values) -> None:
        edit = fit_edit(seen.sheet.aircraft_id, values, form.occupant, library)
        page.desk.jobs.write(edit, form, fitted, form.failed)

    def fitted(_changed: Changed) -> None:
        page.close_form()
        page.tabs.show_part(page.assemblies)
        page.strip.say(
            "It is fitted, and what Part 91 asks of it was taken on.",
            "Add directives and makers' items of its own by hand. Undo takes it back.",
        )

    form = FitForm(seen, page.desk.today, done, page.close_form)
    page.open_form(form, whole=True)


def start_remove(page: AircraftPage) -> None:
    """Open the form that removes the chosen assembly."""
    seen, line = page.seen, chosen_assembly(page)
    if seen is None or line is None:
        return

    def done(values: Values) -> None:
        from annual_planner.records.assemblies import RemoveAssembly

        edit = RemoveAssembly(
            line.assembly_id, values["removed_on"], values["airframe_hours"], values["reason"]
        )
        page.desk.jobs.write(edit, form, removed, form.failed)

    def removed(_changed: Changed) -> None:
        page.close_form()
        page.strip.say(
            f"Removed: {named(line)}. What counts on its hours is not due while it is off.",
            "Undo takes it back.",
        )

    form = RemoveForm(seen, line, page.desk.today, done, page.close_form)
    page.open_form(form)


def chosen_assembly(page: AircraftPage) -> AssemblyLine | None:
    """The fitted assembly that is chosen in the list in front; the airframe can't come off."""
    if page.seen is None or page.tabs.name_in_front != "assemblies":
        return None
    place, rows = page.assemblies.current_id, page.held_assemblies.rows
    line = rows[place] if 0 <= place < len(rows) else None
    return line if line is not None and line.removed_on is None and line.kind != "airframe" else None
