"""The small forms under an open card."""

from __future__ import annotations

from collections.abc import Callable
from decimal import Decimal

from annual_planner.desktop.fields import ChoiceField, TextField
from annual_planner.desktop.form import Form, Values
from annual_planner.desktop.typed import read_decimal

Done = Callable[[Values], object]
Leave = Callable[[], object]


def reason_form(title: str, verb: str, says: str, done: Done, leave: Leave) -> Form:
    """One reason, in words."""
    form = Form(title, verb, done, leave, says, below=True)
    form.add(TextField("why", "Reason", needed="The reason is missing: a few words.", letters=44))
    return form


def note_form(done: Done, leave: Leave) -> Form:
    """Words for the card."""
    form = Form("Note on the card", "Write note", done, leave, below=True)
    form.add(TextField("text", "Note", needed="A note needs a few words.", letters=44))
    return form


def caption_form(text: str, done: Done, leave: Leave) -> Form:
    """Words under a photograph."""
    form = Form("Words under the photograph", "Write words", done, leave, below=True)
    form.add(TextField("text", "Words", letters=44))
    form.put({"text": text})
    return form


def found_form(done: Done, leave: Leave) -> Form:
    """A discrepancy in a line: type and Enter."""
    says = "Zone, engine and package come from the card. Enter saves it; the rest is filled in later."
    form = Form("Discrepancy found", "Write discrepancy", done, leave, says, below=True)
    form.add(TextField("text", "What was found", needed="Write down what was found, and where.", letters=44))
    judged = ((None, "not judged yet"), (True, "airworthy"), (False, "NOT airworthy"))
    form.add(ChoiceField("airworthy", "Airworthy?", judged))
    return form


def part_fields() -> tuple[TextField, ...]:
    """What is asked about a part that was used."""
    quantity = TextField("quantity", "Quantity", lambda text: read_decimal(text, "quantity"), letters=8)
    quantity.put("1")
    return (
        TextField("name", "Part", needed="The part needs a name.", letters=30),
        quantity,
        TextField("unit", "Unit", letters=8),
        TextField("serial", "Serial", letters=16),
        TextField("cost", "Cost", lambda text: read_decimal(text, "cost"), letters=8),
    )


def part_form(done: Done, leave: Leave) -> Form:
    """A part or consumable that was used."""
    form = Form("Part used", "Write part", done, leave, below=True)
    for field in part_fields():
        form.add(field)
    return form


def quantity_of(values: Values) -> Decimal:
    """The quantity that was typed, one where nothing was."""
    typed = values["quantity"]
    return typed if isinstance(typed, Decimal) else Decimal(1)
