"""Small forms about cylinders: work on one, and corrections of a compression test."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from annual_planner.desktop.aircraft.record_forms import Done, Leave, day_field
from annual_planner.desktop.columns import day_text
from annual_planner.desktop.fields import ChoiceField, TextField, TickField, TicksField
from annual_planner.desktop.form import Form
from annual_planner.desktop.plugs.compression_steps import elevation_field, number_field, oil_field
from annual_planner.desktop.plugs.forms import dropdown_wide, hours_field
from annual_planner.desktop.typed import read_count
from annual_planner.planning.engine_view import EngineView, ReadingView, TestView
from annual_planner.trade.recheck import LeakPath

WORK_DONE = (
    "cylinder changed",
    "cylinder overhauled",
    "valves lapped or ground",
    "rings changed",
    "barrel honed",
)


def work_form(view: EngineView, today: date, done: Done, leave: Leave) -> Form:
    """Work on a cylinder."""
    form = Form(
        "Work on a cylinder",
        "Record it",
        done,
        leave,
        says="After it the readings of that cylinder begin anew.",
    )
    numbers = sorted(view.engine_type.firing_order)
    form.add(ChoiceField("cylinder", "Cylinder", [(number, str(number)) for number in numbers]))
    form.add(ChoiceField("what", "What", [(each, each) for each in WORK_DONE]))
    form.add(day_field("changed_on", "On", today))
    form.add(hours_field(view.engine_hours))
    form.add(TextField("serial", "Serial", letters=16, hint="Of a new cylinder; may stay empty."))
    return form


def undo_work_form(view: EngineView, done: Done, leave: Leave) -> Form:
    """Which work on a cylinder was written down by mistake."""
    form = Form(
        "Remove work on a cylinder",
        "Remove it",
        done,
        leave,
        says="The readings before and after it are one series again. Undo brings it back.",
    )
    offered: list[tuple[object, str]] = [
        (change.change_id, f"cylinder {each.cylinder}: {change.what}, {day_text(change.changed_on)}")
        for each in view.cylinders
        for change in each.changes
    ]
    form.add(ChoiceField("change_id", "Work", offered))
    dropdown_wide(form, "change_id")
    return form


def correct_test_form(test: TestView, today: date, done: Done, leave: Leave) -> Form:
    """The conditions of a test that was written down, to be put right."""
    line = test.line
    form = Form(
        f"Correct the test of {day_text(line.tested_on)}",
        "Correct it",
        done,
        leave,
        says="What stood there stays readable in the history of changes. A test with another restrictor or"
        " tester belongs to another series.",
    )
    form.add(day_field("tested_on", "Tested on", today))
    form.add(hours_field(line.engine_hours))
    form.add(number_field("regulated_psi", "Regulated (psi)", needed="At which pressure?"))
    form.add(number_field("restrictor_in", "Restrictor (in)"))
    form.add(TextField("tester", "Tester", letters=16))
    form.add(number_field("master_psi", "Master (psi)"))
    form.add(TextField("minutes_since_shutdown", "Minutes since shut-down", _minutes, letters=6))
    form.add(oil_field())
    form.add(elevation_field())
    form.add(number_field("altimeter_inhg", "Altimeter (inHg)", hint="Empty: standard air."))
    form.add(TickField("cold", "Cold test", hint="Not for the trend."))
    for key, field in form.fields.items():
        held = getattr(line, key)
        field.put(held if isinstance(field, TickField) else _as_typed(held))
    return form


def _minutes(text: str) -> int:
    return read_count(text, "minutes")


def _as_typed(held: object) -> str:
    if isinstance(held, date):
        return day_text(held)
    return "" if held is None else f"{held:g}" if isinstance(held, float) else f"{held}"


def correct_reading_form(
    reading: ReadingView, paths: Sequence[LeakPath], rungs: dict[str, str], done: Done, leave: Leave
) -> Form:
    """One cylinder's reading that was written down, with each rung read after it. `rungs`: words by key."""
    line = reading.line
    form = Form(
        f"Correct the reading of cylinder {line.cylinder}",
        "Correct it",
        done,
        leave,
        says="What stood there stays readable in the history of changes.",
    )
    first = "First reading (psi)" if reading.rechecked else "Reading (psi)"
    form.add(number_field("first_psi", first, needed="What did the gauge show?"))
    form.fields["first_psi"].put(_as_typed(line.reading_psi if line.first_psi is None else line.first_psi))
    for place, rung in enumerate(reading.rechecked):
        if rung.reading_psi is not None:
            words = f"After: {rungs.get(rung.step, rung.step)} (psi)"
            form.add(number_field(f"rung_{place}", words, needed="What did the gauge show?"))
            form.fields[f"rung_{place}"].put(_as_typed(rung.reading_psi))
    heard = TicksField("heard", "Air heard at", [("", [(path.key, path.path) for path in paths])])
    form.add(heard).put(line.heard)
    form.add(TextField("note", "Note", letters=40)).put(line.note)
    return form
