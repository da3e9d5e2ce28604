"""The form for a requirement that one airplane alone has: a directive, a limitation, a maker's item."""

from __future__ import annotations

from typing import Any

from PySide6.QtCore import QTimer

from annual_planner.desktop.aircraft.record_forms import Done, Leave, day_field
from annual_planner.desktop.aircraft.seen import Seen
from annual_planner.desktop.fields import ChoiceField, TextField, TickField
from annual_planner.desktop.form import Form, Values
from annual_planner.desktop.typed import read_count, read_day, read_decimal, said_day
from annual_planner.records.edits import Edit
from annual_planner.trade.periods import Force, Interval, Logic
from annual_planner.trade.refused import Refused

FORCES: tuple[tuple[object, str], ...] = (
    (Force.DIRECTIVE.value, "Airworthiness directive (binding)"),
    (Force.LIMITATION.value, "Airworthiness limitation (binding)"),
    (Force.RULE.value, "Regulation (binding)"),
    (Force.RECOMMENDED.value, "Maker's or shop's advice"),
)
CALENDAR: tuple[tuple[object, str], ...] = (
    ("calendar_months", "calendar months (to the month's end)"),
    ("months", "months (day to day)"),
    ("days", "days"),
)
LOGIC: tuple[tuple[object, str], ...] = (
    (Logic.FIRST.value, "whichever is first"),
    (Logic.LAST.value, "whichever is last"),
)


class RequirementForm(Form):
    """What must be done, on whose word, how often, and from when it counts."""

    def __init__(self, seen: Seen, today: Any, done: Done, leave: Leave) -> None:
        super().__init__(
            "Add a requirement",
            "Add requirement",
            done,
            leave,
            says=f"For {seen.sheet.registration} alone. Nothing here replaces the directive or the"
            " maker's text itself.",
        )
        self._today = today
        self._add_words(seen)
        self._add_interval()
        self._add_start()
        self.fields["force"].edited.connect(self._follow)
        self._follow()
        QTimer.singleShot(0, self.start)

    def _add_words(self, seen: Seen) -> None:
        self.add(ChoiceField("force", "What it is", FORCES))
        self.add(
            TextField(
                "title", "What is to be done", needed="Say in a few words what must be done.", letters=48
            )
        )
        self.add(TextField("directive_number", "Directive number", letters=18))
        self.add(
            TextField(
                "source", "Source", letters=36, hint="The document, such as 'maintenance manual, chapter 5'."
            )
        )
        self.add(
            TextField("citation", "Rests on", letters=36, hint="The rule or paragraph that asks for it.")
        )
        fitted = [each for each in seen.assemblies if each.removed_on is None]
        choices: list[tuple[object, str]] = [(None, "airframe")]
        choices += [
            (each.assembly_id, f"{each.kind} {each.position}, serial {each.serial}")
            for each in fitted
            if each.kind != "airframe"
        ]
        self.add(ChoiceField("assembly_id", "Hours count on", choices))

    def _add_interval(self) -> None:
        self.section("How often")
        self.add(TextField("hours", "Every (hours)", read_decimal, letters=8))
        self.add(
            TextField(
                "cycles", "Every (landings or starts)", lambda text: read_count(text, "cycles"), letters=8
            )
        )
        self.add(TextField("calendar", "Every", lambda text: read_count(text, "months or days"), letters=8))
        self.add(ChoiceField("calendar_kind", "counted in", CALENDAR))
        self.add(ChoiceField("logic", "Where there are several", LOGIC))
        self.add(TickField("once", "Only once, not again and again"))
        self.add(
            TextField(
                "fixed_on",
                "Or by a printed day",
                self._read_day,
                echo=said_day,
                letters=12,
                hint="A date marked on the thing itself; it stands as it is.",
            )
        )

    def _add_start(self) -> None:
        self.section("Counts from, until it was first done")
        start = day_field("effective_on", "From the day", self._today, past=False, start="")
        start.put("")
        start.say("Such as the directive's effective date; may stay empty.")
        start.hint = "Such as the directive's effective date; may stay empty."
        start.allow_empty()
        self.add(start)
        self.add(TextField("effective_hours", "From the hours", read_decimal, letters=10))
        self.add(TextField("note", "Note", letters=48))

    def _read_day(self, text: str) -> Any:
        return read_day(text, self._today)

    def _follow(self) -> None:
        directive = self.fields["force"].value() == Force.DIRECTIVE.value
        self.fields["directive_number"].show_field(directive)

    def values(self) -> Values | None:
        """The values with their interval, unless neither an interval nor a day is given."""
        found = super().values()
        if found is None:
            return None
        try:
            found["interval"] = interval_of(found)
        except (Refused, ValueError) as wrong:
            self.fields["hours"].complain("Give hours, landings, months or days, or the printed day.")
            self.tell(str(wrong))
            self.fields["hours"].editor.setFocus()
            return None
        return found


def interval_of(values: Values) -> Interval | None:
    """The interval typed; None where a printed day stands instead. Raises Refused where there is neither."""
    given = {key: values[key] for key in ("hours", "cycles") if values[key] is not None}
    if values["calendar"] is not None:
        given[values["calendar_kind"]] = values["calendar"]
    if not given:
        if values["fixed_on"] is None:
            raise Refused("How often it must be done is missing.")
        return None
    return Interval(**given, logic=Logic(values["logic"]), recurring=not values["once"])


def requirement_edit(aircraft_id: int, values: Values) -> Edit:
    """The edit that adds what the form holds."""
    from annual_planner.records.requirements import AddRequirement

    number = values.get("directive_number") or ""
    return AddRequirement(
        aircraft_id=aircraft_id,
        title=values["title"],
        force=values["force"],
        interval=values["interval"],
        source=values["source"] or (f"Directive {number}" if number else ""),
        citation=values["citation"] or ("14 CFR 39.7" if values["force"] == Force.DIRECTIVE.value else ""),
        assembly_id=values["assembly_id"],
        effective_on=values["effective_on"],
        effective_hours=values["effective_hours"],
        fixed_on=values["fixed_on"],
        directive_number=number,
        note=values["note"],
    )
