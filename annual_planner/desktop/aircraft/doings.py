"""What can be done on the page of one airplane: its actions, the forms they open, the edits they make."""

from __future__ import annotations

from typing import TYPE_CHECKING, cast

from PySide6.QtCore import QObject
from PySide6.QtGui import QAction
from PySide6.QtWidgets import QMenu

from annual_planner.desktop.aircraft.record_forms import (
    ComplianceForm,
    ReadingForm,
    discrepancy_form,
    end_form,
    plan_form,
)
from annual_planner.desktop.columns import day_text, hours_text
from annual_planner.desktop.fields import ChoiceField
from annual_planner.desktop.form import Form, Values
from annual_planner.records.edits import Changed, Edit
from annual_planner.store.rows import DueLine

if TYPE_CHECKING:
    from annual_planner.desktop.aircraft.page import AircraftPage
    from annual_planner.library.shelf import Library


class Doings(QObject):
    """Actions of the page. Each edit goes through the one writer and can be taken back."""

    def __init__(self, page: AircraftPage) -> None:
        super().__init__(page)
        self.page = page
        act = page.action
        self.reading = act(
            "Record &reading…",
            self.start_reading,
            key="Ctrl+M",
            drawing="meter",
            button=True,
            tip="Write down what the meter shows",
            edits=True,
        )
        self.comply = act(
            "Record &compliance…",
            self.start_compliance,
            key="Ctrl+D",
            drawing="done",
            button=True,
            tip="Write down that the chosen requirement was met",
            edits=True,
        )
        self.plan = act(
            "&Plan annual…",
            self.start_plan,
            key="Ctrl+Shift+A",
            drawing="plan",
            button=True,
            leading=True,
            tip="Plan an annual for this airplane",
            edits=True,
        )
        self.require = act(
            "Add re&quirement…",
            self.start_requirement,
            drawing="add",
            edits=True,
            tip="Add a directive, a maker's item or one of your own",
        )
        self.end = act(
            "&End requirement…",
            self.start_end,
            edits=True,
            drawing="close",
            tip="Say why the chosen requirement no longer applies",
        )
        self.usual = act(
            "&Take on the usual requirements",
            self.take_on,
            edits=True,
            drawing="due",
            tip="Add what Part 91 asks of an airplane like this one and isn't here yet",
        )
        self.back = act(
            "Take chosen &entry out",
            self.take_out,
            key="Del",
            drawing="remove",
            edits=True,
            tip="Take out the chosen compliance or reading; Undo brings it back",
        )
        self.defect = act("Record &discrepancy…", self.start_discrepancy, drawing="warn", edits=True)
        self.open_annual = act(
            "&Open its annual",
            self.go_to_annual,
            drawing="annual",
            tip="Go to the newest annual planned for this airplane",
        )
        self.new = act(
            "Add &airplane…",
            self.start_airplane,
            key="Ctrl+Shift+N",
            drawing="add",
            edits=True,
            tip="Add an airplane by hand",
        )
        page.due.fill_menu = self._due_menu
        page.done.listing.fill_menu = self._row_menu
        page.flown.listing.fill_menu = self._row_menu
        page.due.opened.connect(lambda _id: page.wants_working.emit(page.why()))
        page.due.pointed.connect(self._follow)
        page.tabs.currentChanged.connect(self._follow)

    # -- which are allowed -----------------------------------------------------------------------------

    def enable(self, on: bool) -> None:
        """Allow what needs an airplane."""
        for action in self._of_one():
            action.setEnabled(on)
        self.open_annual.setEnabled(on and self.page.seen is not None and bool(self.page.seen.packages))
        if on:
            self._follow()

    def _of_one(self) -> tuple[QAction, ...]:
        return (
            self.reading,
            self.comply,
            self.plan,
            self.require,
            self.end,
            self.usual,
            self.back,
            self.defect,
        )

    def _follow(self, _any: object = None) -> None:
        page = self.page
        chosen = page.chosen_requirement_id is not None
        self.comply.setEnabled(page.seen is not None and chosen)
        self.end.setEnabled(page.seen is not None and chosen)
        self.back.setEnabled(page.tabs.currentWidget() in (page.done, page.flown))

    def _due_menu(self, menu: QMenu, _row_id: int) -> None:
        why = menu.addAction("Why?")
        why.setShortcut("F4")
        why.triggered.connect(lambda: self.page.wants_working.emit(self.page.why()))
        for action in (self.comply, self.end, self.require):
            menu.addAction(action)

    def _row_menu(self, menu: QMenu, _row_id: int) -> None:
        menu.addAction(self.back)

    # -- writing ----------------------------------------------------------------------------------------

    def _write(self, edit: Edit, form: Form | None, said: str = "") -> None:
        def done(_changed: Changed) -> None:
            self.page.close_form()
            if said:
                self.page.strip.say(said, "Undo takes it back.")

        failed = form.failed if form is not None else self.page.failed
        self.page.desk.jobs.write(edit, form or self.page, done, failed)

    def start_reading(self) -> None:
        """Open the form for a reading."""
        page = self.page
        if page.seen is None:
            return

        def done(values: Values) -> None:
            self._write(self._reading_edit(values), form)

        form = ReadingForm(page.seen, page.desk.today, done, page.close_form)
        page.open_form(form)

    def _reading_edit(self, values: Values) -> Edit:
        from annual_planner.records.readings import RecordReading, ReplaceMeter

        aircraft_id = cast(int, self.page.aircraft_id)
        if values.get("replaced"):
            return ReplaceMeter(
                aircraft_id, values["read_on"], values["old_meter_hours"], values["meter_hours"]
            )
        return RecordReading(
            aircraft_id, values["read_on"], values["meter_hours"], values["landings"], values["note"]
        )

    def start_compliance(self) -> None:
        """Open the form for a doing of the chosen requirement."""
        page, due, seen = self.page, self._chosen_due(), self.page.seen
        if due is None or seen is None:
            page.strip.say("No requirement is chosen.", "Choose one in the list, then record it.")
            return

        def done(values: Values) -> None:
            self._comply(form, due, values)

        form = ComplianceForm(seen, due, page.desk.who.person.name, page.desk.today, done, page.close_form)
        page.open_form(form)

    def _chosen_due(self) -> DueLine | None:
        wanted = self.page.chosen_requirement_id
        return None if wanted is None else self.page.due.table.row_of(wanted)

    def _comply(self, form: Form, due: DueLine, values: Values) -> None:
        from annual_planner.records.compliances import RecordCompliance

        edit = RecordCompliance(
            requirement_id=due.requirement_id,
            done_on=values["done_on"],
            done_hours=values["done_hours"],
            done_cycles=values.get("done_cycles"),
            method=values["method"],
            entry=values["entry"],
            done_by=values["done_by"],
            enroute=bool(values.get("enroute")),
        )
        self.page.desk.jobs.write(edit, form, lambda _c: self._complied(due), form.failed)

    def _complied(self, due: DueLine) -> None:
        """Say at once when it is due next."""
        from annual_planner.store.fleet_reads import due_lines

        self.page.close_form()
        self.page.due.point_to(due.requirement_id)
        self.page.desk.jobs.read(
            lambda work: due_lines(work, [due.requirement_id]), self, self._tell_next, topic="next"
        )

    def _tell_next(self, lines: list[DueLine]) -> None:
        if lines:
            self.page.strip.say(next_words(lines[0]), "Undo takes it back.")

    def start_end(self) -> None:
        """Open the form that ends the chosen requirement."""
        due = self._chosen_due()
        if due is None:
            return

        def done(values: Values) -> None:
            from annual_planner.records.requirements import EndRequirement

            self._write(EndRequirement(due.requirement_id, values["why"]), form)

        form = end_form(due, done, self.page.close_form)
        self.page.open_form(form)

    def start_requirement(self) -> None:
        """Open the form for a requirement of this airplane alone."""
        from annual_planner.desktop.aircraft.requirement_form import RequirementForm, requirement_edit

        page = self.page
        if page.seen is None:
            return
        seen = page.seen

        def done(values: Values) -> None:
            self._write(requirement_edit(seen.sheet.aircraft_id, values), form)

        form = RequirementForm(seen, page.desk.today, done, page.close_form)
        page.open_form(form, whole=True)

    def take_on(self) -> None:
        """Take on what the library asks of an airplane like this one."""
        if self.page.seen is not None:
            self.page.desk.with_library(self, self._take_on, self.page.failed)

    def _take_on(self, library: Library) -> None:
        from annual_planner.records.requirements import TakeOnTemplates

        edit = TakeOnTemplates(cast(int, self.page.aircraft_id), library.requirements)
        self._write(edit, None, "The usual requirements were taken on; dues follow as doings are recorded.")

    def take_out(self) -> None:
        """Take the chosen compliance or reading out of the records."""
        page = self.page
        if page.tabs.currentWidget() is page.done and page.done.listing.current is not None:
            from annual_planner.records.compliances import RemoveCompliance

            line = page.done.listing.current
            said = f"'{line.title}' of {day_text(line.done_on)} was taken out."
            self._write(RemoveCompliance(line.compliance_id), None, said)
        elif page.tabs.currentWidget() is page.flown and page.flown.listing.current is not None:
            from annual_planner.records.readings import RemoveReading

            reading = page.flown.listing.current
            said = f"The reading of {day_text(reading.read_on)} was taken out."
            self._write(RemoveReading(reading.reading_id), None, said)

    def start_discrepancy(self) -> None:
        """Open the form for what was found."""
        if self.page.seen is None:
            return

        def done(values: Values) -> None:
            from annual_planner.records.discrepancies import RecordDiscrepancy

            self._write(RecordDiscrepancy(cast(int, self.page.aircraft_id), **values), form)

        page = self.page
        form = discrepancy_form([("", "not said")], page.desk.today, done, page.close_form)
        page.open_form(form)
        page.tabs.setCurrentWidget(page.defects)
        page.desk.with_library(form, lambda library: _offer_zones(form, library))

    def start_plan(self) -> None:
        """Open the form that plans an annual."""
        page = self.page
        if page.seen is None:
            return

        def done(values: Values) -> None:
            form.submit_button.setEnabled(False)
            form.tell("Laying out the cards …")
            page.desk.with_library(form, lambda library: self._plan(form, values, library), form.failed)

        form = plan_form(page.seen, page.desk.today, done, page.close_form)
        page.open_form(form)

    def _plan(self, form: Form, values: Values, library: Library) -> None:
        from annual_planner.planning.packages import BuildPackage

        def done(changed: Changed) -> None:
            self.page.close_form()
            self.page.goes.emit("annual", changed.made_id)

        def failed(error: Exception) -> None:
            form.submit_button.setEnabled(True)
            form.failed(error)

        aircraft_id = cast(int, self.page.aircraft_id)
        edit = BuildPackage(aircraft_id, values["start_on"], values["title"], library)
        self.page.desk.jobs.write(edit, form, done, failed)

    def go_to_annual(self) -> None:
        """Go to the newest package of this airplane."""
        seen = self.page.seen
        if seen is not None and seen.packages:
            self.page.goes.emit("annual", seen.packages[0].package_id)

    def start_airplane(self) -> None:
        """Open the form for a new airplane."""
        from annual_planner.desktop.aircraft.new_airplane import start_new_airplane

        if self.page.desk.who.person.may_edit:
            start_new_airplane(self.page)


def _offer_zones(form: Form, library: Library) -> None:
    field = form.fields["zone"]
    if isinstance(field, ChoiceField):
        field.offer([("", "not said"), *((zone.key, zone.title) for zone in library.zones)])


def next_words(line: DueLine) -> str:
    """When something is next due, in one sentence."""
    if line.due_on is None and line.due_hours is None:
        return f"{line.title}: recorded; nothing more is due."
    limits = [day_text(line.due_on), f"{hours_text(line.due_hours)} h" if line.due_hours is not None else ""]
    return f"{line.title}: recorded. Next due {' or '.join(text for text in limits if text)}."
