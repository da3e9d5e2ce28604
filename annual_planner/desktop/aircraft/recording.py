"""Writing the airplane's records down from its page: the forms and the edits they make."""

from __future__ import annotations

from typing import TYPE_CHECKING, cast

from PySide6.QtCore import QObject

from annual_planner.desktop.aircraft.record_forms import (
    ComplianceForm,
    ReadingForm,
    correction_form,
    discrepancy_form,
    end_form,
)
from annual_planner.desktop.columns import day_text, hours_text
from annual_planner.desktop.fields import ChoiceField
from annual_planner.desktop.form import Form, Values
from annual_planner.records.edits import Changed, Edit
from annual_planner.store.rows import DueLine

if TYPE_CHECKING:
    from annual_planner.desktop.aircraft.page import AircraftPage
    from annual_planner.library.shelf import Library


class Recording(QObject):
    """Forms for readings, compliances, requirements and discrepancies. Every edit can be taken back."""

    def __init__(self, page: AircraftPage) -> None:
        super().__init__(page)
        self.page = page

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

    def start_correction(self) -> None:
        """Open the form that puts the chosen reading right."""
        page, reading = self.page, self.page.flown.listing.current
        if reading is None:
            return

        def done(values: Values) -> None:
            from annual_planner.records.readings import CorrectReading

            wants = {key: value for key, value in values.items() if value != getattr(reading, key)}
            if not wants:
                page.close_form()
                return
            saw = {key: getattr(reading, key) for key in wants}
            self._write(CorrectReading(reading.reading_id, saw, wants), form, "The reading was corrected.")

        form = correction_form(reading, page.desk.today, done, page.close_form)
        page.open_form(form)

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
        if page.tabs.name_in_front == "done" and page.done.listing.current is not None:
            from annual_planner.records.compliances import RemoveCompliance

            line = page.done.listing.current
            said = f"'{line.title}' of {day_text(line.done_on)} was taken out."
            self._write(RemoveCompliance(line.compliance_id), None, said)
        elif page.tabs.name_in_front == "flown" and page.flown.listing.current is not None:
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
        page.tabs.show_part(page.defects)
        page.desk.with_library(form, lambda library: _offer_zones(form, library))


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
