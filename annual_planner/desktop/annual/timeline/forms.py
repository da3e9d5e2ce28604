"""Short forms above the plan: a promise, somebody away, an awaited part."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from datetime import date
from typing import TYPE_CHECKING

from annual_planner.desktop.columns import spoken_day
from annual_planner.desktop.fields import ChoiceField, TextField
from annual_planner.desktop.form import Form, Values
from annual_planner.desktop.typed import read_day
from annual_planner.planning.job_hands import person_key
from annual_planner.records.edits import Edit

if TYPE_CHECKING:
    from annual_planner.desktop.annual.page import AnnualPage


def _day(page: AnnualPage, key: str, words: str, needed: str = "") -> TextField:
    today = page.desk.today
    return TextField(
        key, words, lambda text: read_day(text, today), echo=spoken_day, needed=needed, letters=14
    )


def _form(page: AnnualPage, title: str, verb: str, edit_of: Callable[[Values], Edit], says: str = "") -> Form:
    def done(values: Values) -> None:
        page.desk.jobs.write(edit_of(values), form, lambda _changed: page.close_form(), form.failed)

    form = Form(title, verb, done, page.close_form, says)
    return form


def promise_form(page: AnnualPage, proposed: date | None, edit_of: Callable[[object], Edit]) -> Form:
    """Ask for the day that is promised to the owner."""
    form = _form(
        page,
        "Promise the owner a date",
        "Promise this date",
        lambda values: edit_of(values["on"]),
        "Proposed is the day by which four in five courses of the work are done when nobody re-plans."
        " Empty takes the promise back.",
    )
    field = form.add(_day(page, "on", "Done on"))
    field.put(proposed.isoformat() if proposed is not None else "")
    return form


def sick_form(page: AnnualPage, names: Mapping[str, str]) -> Form:
    """Ask who is away, from when to when."""
    from annual_planner.records.shop import AddDaysOff

    ids = {person_key(number): number for number in (int(key.split(" ")[1]) for key in names)}
    form = _form(
        page,
        "Somebody is away",
        "Write it down",
        lambda values: AddDaysOff(
            values["who"], values["first"], values["last"] or values["first"], values["why"]
        ),
        "Then lay the work out again: what has begun stays, and little else moves.",
    )
    form.add(ChoiceField("who", "Who", [(ids[key], name) for key, name in names.items()]))
    first = form.add(_day(page, "first", "From", "Say the first day."))
    form.add(_day(page, "last", "To, if longer"))
    form.add(TextField("why", "Why"))
    first.put(page.desk.today.isoformat())
    return form


def part_form(page: AnnualPage, package_id: int) -> Form:
    """Ask for a part and its day."""
    from annual_planner.records.awaited_parts import ExpectPart

    form = _form(
        page,
        "Part that is awaited",
        "Await it",
        lambda values: ExpectPart(package_id, values["name"], values["comes"]),
        "A part that a card names holds that card, another one the closing."
        " Without a day nothing can be laid out.",
    )
    form.add(TextField("name", "Part", needed="Say what is waited for."))
    form.add(_day(page, "comes", "Comes on"))
    return form
