"""Correcting what is written on a card: time, notes and parts used, each with its reason for the trail."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime
from typing import TYPE_CHECKING

from annual_planner.desktop.annual.in_work.forms import part_fields, quantity_of
from annual_planner.desktop.fields import ChoiceField, TextField
from annual_planner.desktop.form import Form, Values
from annual_planner.desktop.moment import moment_of, moment_text
from annual_planner.desktop.typed import read_moment
from annual_planner.trade.refused import Refused

if TYPE_CHECKING:
    from annual_planner.desktop.annual.in_work.doings import CardDoings
    from annual_planner.planning.card_in_work import CardInWork
    from annual_planner.records.edits import Edit
    from annual_planner.store.doing_rows import NoteLine, PartLine, StretchLine

CHANGE, TAKE_AWAY = "change", "take away"
DO = ((CHANGE, "write it as below"), (TAKE_AWAY, "take it away"))
KEPT = "What stood there before stays in the trail, with your name and the reason."
Opens = Callable[[], object]


class Corrections:
    """The forms that correct; which one is asked first, where there is more than one thing to correct."""

    def __init__(self, doings: CardDoings) -> None:
        self._doings = doings

    def start(self) -> None:
        """Ask what of the open card is wrong, then how it should read."""
        card = self._doings.card
        if card is None:
            return
        offered = self._offered(card)
        choices = [(place, words) for place, (words, _open) in enumerate(offered)]
        form = Form("Correct what is written", "Correct it…", lambda values: offered[values["what"]][1](),
                    self._leave, KEPT, below=True)  # fmt: skip
        what = ChoiceField("what", "What is wrong", choices)
        what.box.setMinimumContentsLength(40)
        form.add(what)
        self._open(form)

    def _offered(self, card: CardInWork) -> list[tuple[str, Opens]]:
        times = [(f"time: {_said(each)}", lambda each=each: self.time(each)) for each in card.stretches]
        notes = [(f"note: {each.text}", lambda each=each: self._note(each)) for each in card.notes]
        parts = [(f"part: {each.name}", lambda each=each: self._part(each)) for each in card.parts_used]
        return [*times, *notes, *parts]

    def _leave(self) -> None:
        self._doings.tab.open.close_form()

    def _open(self, form: Form) -> None:
        self._doings.tab.open.open_form(form)

    def _form(self, title: str, edit_of: Callable[[Values], Edit]) -> Form:
        """A form that writes or takes away, with its reason; the fields of the thing are added behind."""

        def done(values: Values) -> None:
            try:
                edit = edit_of(values)
            except Refused as refused:
                form.failed(refused)
                return
            self._doings.write(edit, form)

        form = Form(title, "Correct", done, self._leave, KEPT, below=True)
        form.add(TextField("why", "Reason", needed="The reason is missing: a few words.", letters=44))
        form.add(ChoiceField("do", "Do this", DO))
        return form

    # -- one thing each ------------------------------------------------------------------------------

    def time(self, stretch: StretchLine) -> None:
        """Correct when somebody began and ended; so a time that was forgotten is closed."""
        from annual_planner.records.card_work import RemoveStretch, SetStretch

        now = moment_of(self._doings.tab.desk)
        saw = (stretch.started_at, stretch.stopped_at)

        def edit_of(values: Values) -> Edit:
            if values["do"] == TAKE_AWAY:
                return RemoveStretch(stretch.stretch_id, values["why"])
            wants = (_same_or(saw[0], values["from"]), _same_or(saw[1], values["until"]))
            for moment in wants:
                if moment is not None and moment > now:
                    raise Refused(f"{moment_text(moment)} is yet to come.", "Give a time that has been.")
            assert wants[0] is not None, "the beginning is needed"
            return SetStretch(stretch.stretch_id, saw, (wants[0], wants[1]), values["why"])

        form = self._form(f"Time of {stretch.name} on card {stretch.card_number}", edit_of)
        read = lambda text: read_moment(text, now.date())  # noqa: E731 - one line, used twice below
        form.add(TextField("from", "From", read, needed="The beginning is missing.", letters=16))
        form.add(TextField("until", "Until", read, hint="Empty while it still runs.", letters=16))
        form.put({"from": moment_text(saw[0]), "until": "" if saw[1] is None else moment_text(saw[1])})
        self._open(form)

    def _note(self, note: NoteLine) -> None:
        from annual_planner.records.card_results import ChangeNote, RemoveNote

        def edit_of(values: Values) -> Edit:
            if values["do"] == TAKE_AWAY:
                return RemoveNote(note.note_id, values["why"])
            return ChangeNote(note.note_id, note.text, values["text"], values["why"])

        form = self._form(f"Note of {note.name}", edit_of)
        form.add(TextField("text", "Note", needed="A note needs a few words.", letters=44))
        form.put({"text": note.text})
        self._open(form)

    def _part(self, part: PartLine) -> None:
        from annual_planner.records.card_results import CorrectPart, PartUsed, RemovePart

        saw = PartUsed(part.name, part.quantity, part.unit, part.serial, part.cost)

        def edit_of(values: Values) -> Edit:
            if values["do"] == TAKE_AWAY:
                return RemovePart(part.part_id, values["why"])
            wants = PartUsed(
                values["name"], quantity_of(values), values["unit"], values["serial"], values["cost"]
            )
            return CorrectPart(part.part_id, saw, wants, values["why"])

        form = self._form(f"Part used: {part.name}", edit_of)
        for field in part_fields():
            form.add(field)
        cost = "" if part.cost is None else f"{part.cost:f}"
        form.put({"name": part.name, "quantity": f"{part.quantity:f}", "unit": part.unit,
                  "serial": part.serial, "cost": cost})  # fmt: skip
        self._open(form)


def _said(stretch: StretchLine) -> str:
    until = "still running" if stretch.stopped_at is None else f"to {moment_text(stretch.stopped_at)}"
    return f"{stretch.name}, {moment_text(stretch.started_at)} {until}"


def _same_or(saw: datetime | None, typed: datetime | None) -> datetime | None:
    """What was seen, where the same minute was typed: seconds aren't shown."""
    alike = saw is not None and typed is not None and saw.replace(second=0, microsecond=0) == typed
    return saw if alike else typed
