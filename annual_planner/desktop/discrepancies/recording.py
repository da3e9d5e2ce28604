"""Forms of the place and the edits they make; every edit can be taken back."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Any

from PySide6.QtCore import QObject, Qt
from PySide6.QtWidgets import QFileDialog

from annual_planner.desktop.discrepancies import forms
from annual_planner.desktop.discrepancies.found_before import FoundBefore
from annual_planner.desktop.discrepancies.seen import Facts
from annual_planner.desktop.discrepancies.words import life_of_line
from annual_planner.desktop.form import Form, Values
from annual_planner.desktop.moment import moment_of
from annual_planner.records.edits import Changed, Edit
from annual_planner.store.review_rows import ReviewLine
from annual_planner.trade.discrepancy_life import DEFER

if TYPE_CHECKING:
    from annual_planner.desktop.discrepancies.page import DiscrepanciesPage
    from annual_planner.records.pictures import Picture
    from annual_planner.store.rows import PersonLine
    from annual_planner.store.session import Work

MOST_AT_ONCE = 500
"""More rows than that are not changed by one edit."""


class Recording(QObject):
    """Opens the forms of the page and writes what they say."""

    def __init__(self, page: DiscrepanciesPage) -> None:
        super().__init__(page)
        self.page = page

    @property
    def _me(self) -> int | None:
        return self.page.desk.who.person.person_id

    def _write(self, edit: Edit, form: object, then: Callable[[Changed], object] | None = None) -> None:
        def done(changed: Changed) -> None:
            self.page.close_form()
            if then is not None:
                then(changed)

        failed = getattr(form, "failed", self.page.failed)
        self.page.desk.jobs.write(edit, self.page, done, failed)

    def _with(self, use: Callable[[Facts, ReviewLine], Form]) -> None:
        """Open a form about the chosen discrepancy, once the facts it offers are here."""
        seen = self.page.seen
        if seen is not None:
            line = seen.sheet.line
            self.page.with_facts(lambda facts: self.page.open_form(use(facts, line)))

    # -- a new one, and several -----------------------------------------------------------------------

    def start_raise(self) -> None:
        """Ask what was found."""
        page = self.page

        def opened(facts: Facts) -> None:
            def done(values: Values) -> None:
                from annual_planner.records.discrepancy_found import Found

                self._write(
                    Found(**values, at=moment_of(page.desk)), form, lambda c: page.choose(c.made_id or -1)
                )

            form = forms.raise_form(
                facts, page.aircraft_here, self._me, page.desk.today, done, page.close_form
            )
            before = FoundBefore(page.desk, form)
            before.wants_working.connect(page.wants_working)
            form.add_widget(before)
            page.open_form(form)

        page.with_facts(opened)

    def start_several(self) -> None:
        """Ask what all chosen ones shall hold."""
        page = self.page
        places = page.review.view.selected_places()
        if len(places) > MOST_AT_ONCE:
            page.strip.say(f"{len(places)} are chosen.", f"At most {MOST_AT_ONCE} are changed at once.")
            return

        def opened(facts: Facts) -> None:
            form = forms.several_form(
                facts, len(places), lambda values: self._several(places, values, form), page.close_form
            )
            page.open_form(form)

        page.with_facts(opened)

    def _several(self, places: list[int], values: Values, form: Form) -> None:
        wants = forms.several_wants(values)
        if not wants:
            form.tell("▲ Nothing is changed yet: choose what all of them shall have.")
            return

        def write(lines: list[ReviewLine]) -> None:
            from annual_planner.records.discrepancy_changes import ChangeSeveral

            saw = {line.discrepancy_id: {name: getattr(line, name) for name in wants} for line in lines}
            self._write(ChangeSeveral(saw, wants, moment_of(self.page.desk), self._me), form)

        self.page.review.table.with_rows(places, write)

    def start_change(self) -> None:
        """Ask for other words, place and estimates."""

        def use(facts: Facts, line: ReviewLine) -> Form:
            def done(values: Values) -> None:
                from annual_planner.records.discrepancy_changes import ChangeDiscrepancy

                wants = {key: value for key, value in values.items() if value != getattr(line, key)}
                if not wants:
                    self.page.close_form()
                    return
                saw = {key: getattr(line, key) for key in wants}
                self._write(ChangeDiscrepancy(line.discrepancy_id, saw, wants), form)

            form = forms.change_form(facts, line, done, self.page.close_form)
            return form

        self._with(use)

    # -- steps ----------------------------------------------------------------------------------------

    def start_judge(self) -> None:
        """Ask whether the airplane is airworthy with it."""

        def use(facts: Facts, line: ReviewLine) -> Form:
            def done(values: Values) -> None:
                from annual_planner.records.discrepancy_life import Judge

                self._write(Judge(line.discrepancy_id, **self._step_of(line), **values), form)

            form = forms.judge_form(facts, line, self._me, self.page.desk.today, done, self.page.close_form)
            return form

        self._with(use)

    def start_decide(self) -> None:
        """Ask what becomes of it; a deferral leads on to its questions."""

        def use(facts: Facts, line: ReviewLine) -> Form:
            def done(values: Values) -> None:
                from annual_planner.records.discrepancy_life import Decide

                if values["disposition"] == DEFER:
                    self.start_deferral()
                    return
                self._write(Decide(line.discrepancy_id, **self._step_of(line), **values), form)

            person = forms.person_field(facts, self._me, "Decided by")
            form = forms.decide_form(
                line, life_of_line(line), person, self.page.desk.today, done, self.page.close_form
            )
            return form

        self._with(use)

    def start_deferral(self) -> None:
        """Go through the questions of a deferral."""
        page, seen = self.page, self.page.seen
        if seen is None:
            return

        def opened(facts: Facts) -> None:
            from annual_planner.desktop.discrepancies.deferral_form import DeferralForm

            person = forms.person_field(facts, self._me, "Decided by")
            form = DeferralForm(facts.equipment, seen.next_inspection_on, person, page.close_form)
            form.wants_why.connect(lambda: page.wants_working.emit(form.worked.working))
            form.decides.connect(lambda: self._defer(form, seen.sheet.line))
            page.open_form(form)

        page.with_facts(opened)

    def _step_of(self, line: ReviewLine) -> dict[str, Any]:
        """What every step tells beside the form: the moment, and how it stands on the page beside it."""
        seen = self.page.seen
        shown = seen.sheet.line if seen is not None else line
        saw = shown if shown.discrepancy_id == line.discrepancy_id else line
        return {"at": moment_of(self.page.desk), "saw": life_of_line(saw)}

    def _defer(self, form: object, line: ReviewLine) -> None:
        from annual_planner.desktop.discrepancies.deferral_form import DeferralForm
        from annual_planner.records.discrepancy_life import Decide

        assert isinstance(form, DeferralForm), "the deferral's own form asks"
        desk = self.page.desk
        edit = Decide(
            line.discrepancy_id,
            desk.today,
            moment_of(desk),
            form.person.value(),
            form.worked.value.says,
            DEFER,
            form.worked,
            saw=self._step_of(line)["saw"],
        )
        self._write(edit, form)

    def _start_step(self, kind: str, words: str, made: Callable[..., Form]) -> None:
        """Open a step's form; `made` of its person's field, the day, and what is done with it and without."""

        def use(facts: Facts, line: ReviewLine) -> Form:
            def done(values: Values) -> None:
                from annual_planner.records import discrepancy_life

                step = getattr(discrepancy_life, kind)
                self._write(step(line.discrepancy_id, **self._step_of(line), **values), form)

            person = forms.person_field(facts, self._me, words)
            form = made(person, self.page.desk.today, done, self.page.close_form)
            return form

        self._with(use)

    def start_begin(self) -> None:
        """Begin to put it right."""
        self._start_step("Begin", "By", partial(forms.step_form, "Begin to put it right", "Begin", ""))

    def start_correct(self) -> None:
        """Ask what was done."""
        self._start_step("Correct", "Done by", forms.correct_form)

    def start_inspect(self) -> None:
        """Ask who inspected it."""
        inspected = partial(forms.step_form, "It was inspected and signed for", "Inspected", "")
        self._start_step("Inspect", "Inspected by", inspected)

    def start_sign(self) -> None:
        """Open the signing of the chosen one; the signature is the last step of its life."""
        page, seen = self.page, self.page.seen
        if seen is None:
            return
        discrepancy_id = seen.sheet.line.discrepancy_id

        def read(work: Work) -> tuple[PersonLine, ...]:
            from annual_planner.store.fleet_reads import people

            return tuple(people(work))

        def show(people: tuple[PersonLine, ...]) -> None:
            from annual_planner.desktop.signing.dialog import SigningDialog

            dialog = SigningDialog(page.desk, "discrepancy", discrepancy_id, people, page.window())
            dialog.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
            dialog.open()

        page.desk.jobs.read(read, page, show, page.failed, topic="signers")

    def start_reopen(self) -> None:
        """Ask why it is open again."""
        reopened = partial(forms.step_form, "Open it again", "Reopen", "Why is it open again?")
        self._start_step("Reopen", "By", reopened)

    def start_answer(self) -> None:
        """Ask what the owner answered."""

        def use(_facts: Facts, line: ReviewLine) -> Form:
            def done(values: Values) -> None:
                from annual_planner.records.discrepancy_life import OwnerAnswered

                at = moment_of(self.page.desk)
                self._write(OwnerAnswered(line.discrepancy_id, **values, at=at, person_id=self._me), form)

            form = forms.answer_form(self.page.desk.today, done, self.page.close_form)
            return form

        self._with(use)

    def start_wait(self) -> None:
        """Ask who is waited for."""

        def use(_facts: Facts, line: ReviewLine) -> Form:
            def done(values: Values) -> None:
                from annual_planner.records.discrepancy_life import WaitFor

                at = moment_of(self.page.desk)
                self._write(WaitFor(line.discrepancy_id, **values, at=at, person_id=self._me), form)

            form = forms.wait_form(line, self.page.desk.today, done, self.page.close_form)
            return form

        self._with(use)

    # -- photographs ----------------------------------------------------------------------------------

    def add_photograph(self) -> None:
        """Ask for a picture file."""
        path, _ = QFileDialog.getOpenFileName(
            self.page, "Add a photograph", "", "Pictures (*.jpg *.jpeg *.png *.webp)"
        )
        if path:
            self.take_photograph(Path(path))

    def take_photograph(self, path: Path) -> None:
        """Read the picture in a process of its own and keep it with the chosen discrepancy."""
        page, seen = self.page, self.page.seen
        if seen is None:
            return
        line = seen.sheet.line

        def read(_progress: object) -> Picture:
            from annual_planner.records.picture_process import read_file_apart

            return read_file_apart(path)

        def keep(picture: Picture) -> None:
            from annual_planner.records.photographs import TakePhotograph

            at = moment_of(page.desk)
            edit = TakePhotograph(
                line.aircraft_id, picture, at, discrepancy_id=line.discrepancy_id, caption=path.stem
            )
            page.desk.jobs.write(edit, page, None, page.failed)

        page.desk.jobs.long(read, page, keep, page.failed, says="Reading the picture")

    # -- views ----------------------------------------------------------------------------------------

    def start_keep(self) -> None:
        """Ask for the name of the view."""
        page = self.page

        def done(values: Values) -> None:
            from annual_planner.records.kept_views import KeepView

            edit = KeepView(page.desk.who.person.by, page.place, values["name"], page.review.view_settings())
            page.bar.await_view(values["name"])
            self._write(edit, form)

        form = forms.view_form(done, page.close_form)
        page.open_form(form)

    def forget(self) -> None:
        """Forget the kept view that is chosen."""
        from annual_planner.records.kept_views import ForgetView

        view = self.page.bar.view
        if view is not None:
            self.page.desk.jobs.write(ForgetView(view.view_id), self.page, None, self.page.failed)
