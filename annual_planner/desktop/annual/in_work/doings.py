"""What can be done on the open card; every edit goes through the one writer and can be taken back."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, Qt
from PySide6.QtGui import QAction, QKeySequence

from annual_planner.desktop.annual.in_work import forms
from annual_planner.desktop.annual.in_work.card_photographs import CardPhotographs
from annual_planner.desktop.annual.in_work.corrections import Corrections
from annual_planner.desktop.form import Form, Values
from annual_planner.desktop.moment import moment_of
from annual_planner.trade.card_states import CARRIED_OVER, DONE, FINISHED, NOT_APPLICABLE, OPEN, WORKABLE
from annual_planner.trade.package_states import CLOSED
from annual_planner.trade.refused import Refused

if TYPE_CHECKING:
    from annual_planner.desktop.annual.in_work.tab import InWork
    from annual_planner.planning.card_in_work import CardInWork
    from annual_planner.records.edits import Changed, Edit

NOBODY = Refused("Nobody is chosen at the window.", "Choose your name at the foot of the rail, then start.")


TIPS = {
    "start": "Your time on this card runs from now",
    "stop": "Your time on this card ends now",
    "found": "Write down a defect found on this card",
    "done": "The card is done; what is still missing is said",
    "sign": "Sign the card with your own key",
    "note": "Write something down on the card",
    "part": "Write down a part that was fitted or used up",
    "photograph": "Keep a picture with the card",
    "not_applicable": "The card doesn't apply to this airplane: say why",
    "carry": "Leave the card for a later visit: say why",
    "reopen": "The card isn't done after all: say why",
    "correct": "Correct a time, a note or a part, with its reason",
    "caption": "Say what a photograph shows",
    "drop_photograph": "Take a photograph off the card",
    "why": "Who may do and sign it, and by which rule (F4)",
}


class CardDoings(QObject):
    """Actions of the open card, each with a key."""

    def __init__(self, tab: InWork) -> None:
        super().__init__(tab)
        self.tab = tab
        self.corrections = Corrections(self)
        self.photographs = CardPhotographs(self)
        self.by_name: dict[str, QAction] = {}
        for name, words, key, does in (
            ("start", "Start time", "Ctrl+Return", self.start),
            ("stop", "Stop time", "Ctrl+Shift+Return", self.stop),
            ("found", "Discrepancy…", "Ctrl+D", self.raise_found),
            ("done", "Done", "Ctrl+E", self.done),
            ("sign", "Sign…", "Ctrl+Shift+S", self.sign),
            ("note", "Note…", "Ctrl+Shift+N", self.note),
            ("part", "Part used…", "Ctrl+Shift+P", self.part),
            ("photograph", "Photograph…", "Ctrl+Shift+H", self.photographs.choose),
            ("not_applicable", "&Not applicable…", "Ctrl+I", self.not_applicable),
            ("carry", "Carr&y over…", "Ctrl+R", self.carry_over),
            ("reopen", "Re&open…", "Ctrl+U", self.reopen),
            ("correct", "Correct…", "F2", self.corrections.start),
            ("caption", "Words &under a photograph…", "Ctrl+H", self.photographs.caption),
            ("drop_photograph", "&Take photograph away", "Ctrl+Alt+H", self.photographs.drop),
            ("why", "&Why?", "Shift+F4", self.why),
        ):
            self.by_name[name] = self._action(name, words, key, does)

    def _action(self, name: str, words: str, key: str, does: Callable[[], object]) -> QAction:
        made = QAction(words, self.tab)
        made.triggered.connect(lambda: does())
        if key:
            made.setShortcut(QKeySequence(key))
            made.setShortcutContext(Qt.ShortcutContext.WidgetWithChildrenShortcut)
        said = TIPS[name]
        shown = made.shortcut().toString(QKeySequence.SequenceFormat.NativeText)
        made.setToolTip(f"{said} ({shown})" if shown else said)
        self.tab.addAction(made)
        return made

    def follow(self) -> None:
        """Offer what the open card allows."""
        card = self.card
        may = card is not None and self.tab.desk.who.person.may_edit and card.package.state != CLOSED
        state = card.card.state if card is not None else ""
        going = may and state in WORKABLE
        mine = self.tab.desk.who.person.person_id
        on = card is not None and any(each.person_id == mine for each in card.people_on)
        shown = {
            "start": going and not on,
            "stop": going and on,
            "reopen": may and state in FINISHED,
            "correct": may and bool(card and (card.stretches or card.notes or card.parts_used)),
            "sign": card is not None and state == DONE,
            "why": card is not None,
            "caption": may and bool(card and card.photographs),
            "drop_photograph": may and bool(card and card.photographs),
        }
        for name, action in self.by_name.items():
            action.setVisible(shown.get(name, going))
            action.setEnabled(shown.get(name, going))

    @property
    def card(self) -> CardInWork | None:
        """The open card."""
        return self.tab.open.card

    def _person(self) -> int | None:
        person_id = self.tab.desk.who.person.person_id
        if person_id is None:
            self.failed(NOBODY)
        return person_id

    # -- writing ----------------------------------------------------------------------------------------

    def write(
        self,
        edit: Edit,
        form: Form | None = None,
        refused: Callable[[Exception], object] | None = None,
    ) -> None:
        """Send an edit up; a form that asked for it is put away once it went through."""

        def done(_changed: Changed) -> None:
            self.tab.open.close_form()
            self.tab.open.say("")

        def failed(error: Exception) -> None:
            (refused or (form.failed if form is not None else self.failed))(error)

        self.tab.desk.jobs.write(edit, form or self.tab, done, failed)

    def failed(self, error: Exception) -> None:
        """Say on the card why it was refused."""
        said = f"▲ {error.said} {error.remedy}".strip() if isinstance(error, Refused) else ""
        self.tab.open.say(said or "▲ This could not be saved. Nothing was lost; try again.")

    def _ask(self, form: Form) -> None:
        self.tab.open.open_form(form)

    def start(self) -> None:
        """The person at the window begins on the card."""
        from annual_planner.records.card_work import StartWork

        card, person_id = self.card, self._person()
        if card is None or person_id is None:
            return
        card_id = card.card.card_id
        waits = [each for each in card.before.value if each.safe]
        unsafe = any(not each.safe for each in card.before.value)

        def begin(why: str, form: Form | None, stops_other: bool = False) -> None:
            edit = StartWork(card_id, person_id, moment_of(self.tab.desk), why, stops_other)
            self.write(edit, form, lambda error: elsewhere(error, why, form))

        def elsewhere(error: Exception, why: str, form: Form | None) -> None:
            if isinstance(error, Refused) and "change over" in error.remedy:
                change = Form("You are on another card", "Change over", lambda _v: begin(why, change, True),
                              self.tab.open.close_form, error.said, below=True)  # fmt: skip
                self._ask(change)
            else:
                (form.failed if form is not None else self.failed)(error)

        if waits and not unsafe:
            says = "; ".join(f"card {each.number} {each.title}" for each in waits)
            form = forms.reason_form(
                "Should come first, and may wait", "Start now", f"Not finished: {says}.",
                lambda values: begin(values["why"], form), self.tab.open.close_form,
            )  # fmt: skip
            self._ask(form)
        else:
            begin("", None)

    def stop(self) -> None:
        """The person at the window rests."""
        from annual_planner.records.card_work import StopWork

        card, person_id = self.card, self._person()
        if card is not None and person_id is not None:
            self.write(StopWork(card.card.card_id, person_id, moment_of(self.tab.desk)))

    def result(self, title: str, typed: str) -> None:
        """Write a measurement down."""
        from annual_planner.records.card_results import RecordResult

        card, person_id = self.card, self._person()
        if card is None or person_id is None:
            return
        held = next((each.result for each in card.measures if each.title == title), None)
        saw = held.typed if held is not None else None
        at = moment_of(self.tab.desk)
        self.write_result(RecordResult(card.card.card_id, title, typed, person_id, at, saw))

    def write_result(self, edit: Edit) -> None:
        """Write a result; an open form stays as it is."""
        self.tab.desk.jobs.write(edit, self.tab, None, self.failed)

    def _set(self, wants: str, why: str = "", form: Form | None = None) -> None:
        from annual_planner.records.card_work import SetCardState

        card, person_id = self.card, self._person()
        if card is None or person_id is None:
            return
        at = moment_of(self.tab.desk)
        edit = SetCardState(card.card.card_id, card.card.state, wants, person_id, at, why)
        self.write(edit, form)

    def done(self) -> None:
        """The card is done; open cards that may wait need a reason."""
        card = self.card
        if card is None:
            return
        safe = [each for each in card.before.value if each.safe]
        if safe and len(safe) == len(card.before.value):
            says = "Not finished: " + "; ".join(f"card {each.number} {each.title}" for each in safe) + "."
            self._ask_reason("Done before what should come first", "Done", says, DONE)
        else:
            self._set(DONE)

    def _ask_reason(self, title: str, verb: str, says: str, wants: str) -> None:
        form = forms.reason_form(
            title, verb, says, lambda values: self._set(wants, values["why"], form), self.tab.open.close_form
        )
        self._ask(form)

    def not_applicable(self) -> None:
        """The card doesn't apply to this airplane; a reason is asked."""
        says = "The reason stands in the package and on the paper."
        self._ask_reason("Not applicable", "Set not applicable", says, NOT_APPLICABLE)

    def carry_over(self) -> None:
        """The card is left for a later visit; a reason is asked."""
        says = "What belongs to the scope of the inspection can't be carried over and still be closed."
        self._ask_reason("Carry over", "Carry over", says, CARRIED_OVER)

    def reopen(self) -> None:
        """A finished card is opened again; a reason is asked."""
        self._ask_reason("Reopen the card", "Reopen", "Signatures stay as they were made.", OPEN)

    def note(self) -> None:
        """Write words on the card."""
        from annual_planner.records.card_results import AddNote

        card, person_id = self.card, self._person()
        if card is None or person_id is None:
            return
        card_id = card.card.card_id

        def done(values: Values) -> None:
            self.write(AddNote(card_id, values["text"], person_id, moment_of(self.tab.desk)), form)

        form = forms.note_form(done, self.tab.open.close_form)
        self._ask(form)

    def part(self) -> None:
        """Write down a part that was used."""
        from annual_planner.records.card_results import UsePart

        card = self.card
        if card is None:
            return
        card_id = card.card.card_id

        def done(values: Values) -> None:
            edit = UsePart(
                card_id,
                values["name"],
                forms.quantity_of(values),
                values["unit"],
                values["serial"],
                values["cost"],
            )
            self.write(edit, form)

        form = forms.part_form(done, self.tab.open.close_form)
        self._ask(form)

    def raise_found(self) -> None:
        """Write a discrepancy down: Ctrl+D, the words, Enter."""
        from annual_planner.records.discrepancy_found import RaiseDiscrepancy

        card, person_id = self.card, self._person()
        if card is None or person_id is None:
            return
        card_id = card.card.card_id

        def done(values: Values) -> None:
            at = moment_of(self.tab.desk)
            self.write(RaiseDiscrepancy(card_id, values["text"], person_id, at, values["airworthy"]), form)

        form = forms.found_form(done, self.tab.open.close_form)
        self._ask(form)

    # -- looking -----------------------------------------------------------------------------------------

    def why(self) -> None:
        """Who may do and sign it, by which rule."""
        if self.card is not None:
            self.tab.wants_working.emit(self.card.needed.working)

    def sign(self) -> None:
        """Open the sheet that is signed."""
        from annual_planner.desktop.signing.dialog import SigningDialog

        if self.card is not None and self.tab.people:
            card_id = self.card.card.card_id
            dialog = SigningDialog(self.tab.desk, "work_card", card_id, self.tab.people, self.tab.window())
            dialog.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
            dialog.open()
