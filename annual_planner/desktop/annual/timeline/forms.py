"""Short forms above the plan: a promise, somebody away, an awaited part and its day."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from datetime import date
from typing import TYPE_CHECKING

from annual_planner.desktop.columns import day_text
from annual_planner.desktop.fields import ChoiceField, TextField
from annual_planner.desktop.form import Form, Values
from annual_planner.desktop.typed import read_day, said_day
from annual_planner.planning.job_hands import person_key
from annual_planner.records.edits import Edit
from annual_planner.store.shop_reads import PartAwaited
from annual_planner.trade.refused import Refused

if TYPE_CHECKING:
    from annual_planner.desktop.annual.page import AnnualPage

Then = Callable[[], object]
REPLANS = "Then the work is laid out again: what has begun stays, and little else moves."


def _day(page: AnnualPage, key: str, words: str, needed: str = "") -> TextField:
    today = page.desk.today
    return TextField(key, words, lambda text: read_day(text, today), echo=said_day, needed=needed, letters=14)


def _coming_day(page: AnnualPage, words: str, needed: str = "") -> TextField:
    """A day on which a part comes, today or later."""
    today = page.desk.today

    def read(text: str) -> date:
        day = read_day(text, today)
        if day < today:
            raise Refused(
                f"{said_day(day)} is past.",
                "Give the day it is now awaited on; if it has come, say 'It is here'.",
            )
        return day

    return TextField("comes", words, read, echo=said_day, needed=needed, letters=14)


def _form(
    page: AnnualPage,
    title: str,
    verb: str,
    edit_of: Callable[[Values], Edit],
    says: str,
    then: Then | None = None,
) -> Form:
    """A form that writes one edit, closes and goes on."""

    def wrote(_changed: object) -> None:
        page.close_form()
        if then is not None:
            then()

    def done(values: Values) -> None:
        page.desk.jobs.write(edit_of(values), form, wrote, form.failed)

    form = Form(title, verb, done, page.close_form, says)
    return form


def promise_form(page: AnnualPage, proposed: date | None, edit_of: Callable[[date | None], Edit]) -> Form:
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
    field.put(day_text(proposed))
    return form


def sick_form(page: AnnualPage, names: Mapping[str, str], then: Then | None = None) -> Form:
    """Ask who is away, from when to when; `then` lays the work out again, if that is wanted."""
    from annual_planner.records.shop import AddDaysOff

    ids = {person_key(number): number for number in (int(key.split(" ")[1]) for key in names)}
    form = _form(
        page,
        "Somebody is away",
        "Write it down" if then is None else "Write it down and re-plan",
        lambda values: AddDaysOff(
            values["who"], values["first"], values["last"] or values["first"], values["why"]
        ),
        "Then lay the work out again: what has begun stays, and little else moves."
        if then is None
        else REPLANS,
        then,
    )
    form.add(ChoiceField("who", "Who", [(ids[key], name) for key, name in names.items()]))
    first = form.add(_day(page, "first", "From", "Say the first day."))
    form.add(_day(page, "last", "To, if longer"))
    form.add(TextField("why", "Why"))
    first.put(day_text(page.desk.today))
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
    form.add(_coming_day(page, "Comes on"))
    return form


def part_day_form(
    page: AnnualPage, parts: Sequence[PartAwaited], chosen: PartAwaited | None, then: Then
) -> Form:
    """Ask on which day an awaited part now comes; the chosen part stands there already."""
    from annual_planner.records.awaited_parts import ChangePart

    by_id = {part.part_id: part for part in parts}

    def edit_of(values: Values) -> Edit:
        part = by_id[values["part"]]
        saw, wants = {"arrives_on": part.arrives_on}, {"arrives_on": values["comes"]}
        return ChangePart(part.part_id, saw, wants)

    form = _form(page, "A part comes on another day", "Write it down and re-plan", edit_of, REPLANS, then)
    which = form.add(ChoiceField("part", "Part", [(part.part_id, _part_text(part)) for part in parts]))
    if chosen is not None:
        which.put(chosen.part_id)
    form.add(_coming_day(page, "Now comes on", "Say the day it is now awaited on."))
    return form


def _part_text(part: PartAwaited) -> str:
    return f"{part.name}, {day_text(part.arrives_on) or 'no day yet'}"
