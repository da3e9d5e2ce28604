"""Small forms: a new discrepancy, each step of its life, several at once, and a view's name."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from decimal import Decimal
from typing import Any

from annual_planner.desktop.aircraft.record_forms import Done, Leave, day_field
from annual_planner.desktop.discrepancies.seen import Facts
from annual_planner.desktop.discrepancies.words import counted_words
from annual_planner.desktop.fields import ChoiceField, TextField
from annual_planner.desktop.form import Form
from annual_planner.desktop.major_work import major_field
from annual_planner.desktop.typed import read_count, read_decimal
from annual_planner.store.review_rows import ReviewLine
from annual_planner.trade.discrepancy_life import DISPOSITIONS, RISKS, WAITS, decision_fault
from annual_planner.trade.refused import Refused

KEEP = "—"
"""The choice that leaves a field of several as each has it."""
HOW = ("by telephone", "in person", "by mail", "in writing")


def _choices(words: Sequence[str]) -> list[tuple[object, str]]:
    return [(word, word) for word in words]


def _risk_field(first: tuple[object, str] = ("", "not said")) -> ChoiceField:
    return ChoiceField("risk", "Risk", [first, *_choices(RISKS)])


def _person_field(facts: Facts, person_id: int | None, words: str) -> ChoiceField:
    made = ChoiceField("person_id", words, [(None, "choose a name"), *facts.people])
    made.put(person_id)
    return made


def _amount(text: str) -> Decimal:
    return read_decimal(text, "costs")


def _cylinder(text: str) -> int:
    number = read_count(text, "cylinder")
    if not 1 <= number <= 18:
        raise Refused(f"There is no cylinder {number}.", "Leave it empty where it is about no cylinder.")
    return number


def _estimates(form: Form) -> None:
    form.add(
        TextField("hours_estimate", "Work (h)", read_decimal, letters=8, hint="An estimate; may stay empty.")
    )
    form.add(TextField("cost_estimate", "Cost", _amount, letters=8, hint="An estimate; may stay empty."))
    form.add(TextField("parts", "Parts", letters=36, hint="What it takes, in words."))


def raise_form(
    facts: Facts, aircraft_id: int | None, person_id: int | None, today: date, done: Done, leave: Leave
) -> Form:
    """A new discrepancy."""
    form = Form("Raise a discrepancy", "Write it down", done, leave, below=True)
    form.add(TextField("text", "What was found", needed="Say what was found.", letters=44))
    form.add(ChoiceField("aircraft_id", "Airplane", facts.airplanes))
    form.add(ChoiceField("zone", "Where", facts.zones))
    form.add(TextField("cylinder", "Cylinder", _cylinder, letters=4, hint="Empty where it is about none."))
    form.add(TextField("how_found", "How found", letters=36))
    form.add(day_field("on", "Found on", today))
    form.add(_person_field(facts, person_id, "Found by"))
    _estimates(form)
    form.fields["aircraft_id"].put(aircraft_id)
    return form


def change_form(facts: Facts, line: ReviewLine, done: Done, leave: Leave) -> Form:
    """Other words, place and estimates."""
    form = Form("Change what is written", "Save", done, leave, below=True)
    form.add(TextField("text", "What was found", needed="Say what was found.", letters=44))
    form.add(ChoiceField("zone", "Where", facts.zones))
    form.add(TextField("cylinder", "Cylinder", _cylinder, letters=4))
    form.add(TextField("how_found", "How found", letters=36))
    form.add(_risk_field())
    _estimates(form)
    form.put({key: getattr(line, key) for key in form.fields})
    return form


def judge_form(
    facts: Facts, line: ReviewLine, person_id: int | None, today: date, done: Done, leave: Leave
) -> Form:
    """Airworthy or not, and how much it matters."""
    form = Form(
        "Is the airplane airworthy with it?",
        "Judge",
        done,
        leave,
        says="Whoever judges is named. The program advises; the certificated person decides.",
        below=True,
    )
    form.add(ChoiceField("airworthy", "Airworthy", [(False, "no, not airworthy"), (True, "yes, airworthy")]))
    form.add(_risk_field())
    form.add(_person_field(facts, person_id, "Judged by"))
    form.add(day_field("on", "On", today))
    form.add(TextField("said", "In words", letters=44))
    form.put({"risk": line.risk, "airworthy": bool(line.airworthy)})
    return form


def decide_form(
    line: ReviewLine, life: Any, person: ChoiceField, today: date, done: Done, leave: Leave
) -> Form:
    """What becomes of it; what can't be decided isn't offered. A deferral has questions of its own."""
    offered = [each for each in DISPOSITIONS if not decision_fault(life, each)]
    form = Form("What becomes of it?", "Decide", done, leave, below=True)
    form.add(ChoiceField("disposition", "Decision", _choices(offered)))
    form.add(person)
    form.add(day_field("on", "On", today))
    form.add(TextField("said", "In words", letters=44))
    if line.disposition:
        form.fields["disposition"].put(line.disposition)
    return form


def step_form(
    title: str, verb: str, needed: str, person: ChoiceField, today: date, done: Done, leave: Leave
) -> Form:
    """A step with a day, a person and some words; `needed`: what is asked for where words must be."""
    form = Form(title, verb, done, leave, below=True)
    form.add(TextField("said", "In words", needed=needed, letters=44))
    form.add(person)
    form.add(day_field("on", "On", today))
    return form


def correct_form(person: ChoiceField, today: date, done: Done, leave: Leave) -> Form:
    """What was done; a major repair or alteration is approved by another than plain work (65.95(a)(1))."""
    needed = "What was done, and by what data?"
    form = step_form("It is put right", "Corrected", needed, person, today, done, leave)
    form.add(major_field())
    return form


def person_field(facts: Facts, person_id: int | None, words: str) -> ChoiceField:
    """Who did it; the person at the window where that is known."""
    return _person_field(facts, person_id, words)


def answer_form(today: date, done: Done, leave: Leave) -> Form:
    """The owner's answer, when and how."""
    form = Form("The owner's answer", "Write it down", done, leave, below=True)
    form.add(TextField("answer", "Answer", needed="What did the owner answer?", letters=44))
    form.add(ChoiceField("how", "How", _choices(HOW)))
    form.add(day_field("on", "On", today))
    return form


def wait_form(line: ReviewLine, today: date, done: Done, leave: Leave) -> Form:
    """Who or what is waited for."""
    form = Form("Who is waited for?", "Write it down", done, leave, below=True)
    form.add(ChoiceField("for_whom", "Waits for", [("", "nobody"), *_choices(WAITS)]))
    form.add(day_field("on", "Since", today))
    form.add(TextField("said", "In words", letters=44))
    form.fields["for_whom"].put(line.waits_for)
    return form


def several_form(facts: Facts, count: int, done: Done, leave: Leave) -> Form:
    """The same for all that are chosen; what is left at '—' stays as each has it."""
    form = Form(
        f"Change {counted_words(count)}",
        "Change them all",
        done,
        leave,
        says="One Undo takes it all back.",
        below=True,
    )
    form.add(_risk_field((KEEP, "as each has it")))
    form.add(
        ChoiceField("waits_for", "Waits for", [(KEEP, "as each has it"), ("", "nobody"), *_choices(WAITS)])
    )
    form.add(ChoiceField("zone", "Where", [(KEEP, "as each has it"), *facts.zones]))
    form.add(TextField("hours_estimate", "Work (h)", read_decimal, letters=8, hint="Empty: as each has it."))
    form.add(TextField("cost_estimate", "Cost", _amount, letters=8, hint="Empty: as each has it."))
    return form


def several_wants(values: dict[str, Any]) -> dict[str, object]:
    """What all shall hold: only what was said."""
    return {key: value for key, value in values.items() if value is not None and value != KEEP}


def view_form(done: Done, leave: Leave) -> Form:
    """The name of a view."""
    form = Form(
        "Keep this view",
        "Keep it",
        done,
        leave,
        says="Filters, groups and order; a view of that name is written over.",
        below=True,
    )
    form.add(TextField("name", "Name", needed="What is it to be called?", letters=28))
    return form
