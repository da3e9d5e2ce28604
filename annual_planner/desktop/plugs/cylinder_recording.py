"""What is written down about cylinders: compression tests, their corrections, work on a cylinder."""

from __future__ import annotations

from collections.abc import Callable

from annual_planner.desktop.form import Form, Values
from annual_planner.desktop.plugs import cylinder_forms as forms
from annual_planner.desktop.plugs.compression_tab import TestTyped
from annual_planner.desktop.plugs.edits_of import reading_correction, test_correction, test_edit
from annual_planner.desktop.plugs.writer import Writer
from annual_planner.records.edits import Changed, Edit
from annual_planner.trade.refused import Refused


class CylinderRecording(Writer):
    """Opens the forms about tests and cylinders, and writes what they say."""

    def write_test(self, typed: TestTyped) -> None:
        """Write a compression test down; refused, everything typed stays."""
        page, view = self.page, self._view
        if view is None:
            return
        package_id = page.seen.open_package_id if page.seen is not None else None
        edit = test_edit(typed, view.assembly_id, package_id)

        def done(_changed: Changed) -> None:
            page.tabs.compression.written()
            page.strip.say("The test is written down.", "Undo takes it back; Trends shows where it leads.")

        page.desk.jobs.write(edit, page.tabs.compression, done, page.tabs.compression.failed)

    def remove_test(self) -> None:
        """Take the chosen test out of the records."""
        from annual_planner.records.compression_corrections import RemoveTest

        test = self.page.tabs.compression.chosen_test
        if test is not None:
            self._write(RemoveTest(test.line.test_id), None, "The test was taken away.")

    def start_correcting_test(self) -> None:
        """Put the conditions of the chosen test right."""
        page, test = self.page, self.page.tabs.compression.chosen_test
        if test is None:
            return

        def done(values: Values) -> None:
            self._correct(form, lambda: test_correction(test.line, values))

        form = forms.correct_test_form(test, page.desk.today, done, page.close_form)
        page.open_form(form)

    def start_correcting_reading(self) -> None:
        """Put the chosen cylinder's reading of the chosen test right."""
        page, view = self.page, self._view
        reading = page.tabs.compression.chosen_reading
        if view is None or reading is None:
            return

        def done(values: Values) -> None:
            self._correct(form, lambda: reading_correction(reading, values))

        ladder = page.facts.ladder if page.facts is not None else ()
        words = {step.key: step.title for step in ladder}
        form = forms.correct_reading_form(reading, view.leak_paths, words, done, page.close_form)
        page.open_form(form)

    def _correct(self, form: Form, edit: Callable[[], Edit | None]) -> None:
        """Write a correction; where nothing differs the form only closes."""
        try:
            made = edit()
        except Refused as refused:
            form.failed(refused)
            return
        if made is None:
            self.page.close_form()
        else:
            self._write(made, form, "It is corrected.")

    def start_cylinder_work(self) -> None:
        """Ask for work on a cylinder."""
        page, view = self.page, self._view
        if view is None:
            return

        def done(values: Values) -> None:
            from annual_planner.records.cylinder_work import RecordCylinderChange

            self._write(
                RecordCylinderChange(
                    view.assembly_id,
                    values["cylinder"],
                    values["changed_on"],
                    values["engine_hours"],
                    values["what"],
                    values["serial"],
                ),
                form,
            )

        form = forms.work_form(view, page.desk.today, done, page.close_form)
        page.open_form(form)

    def start_undo_work(self) -> None:
        """Ask which work on a cylinder is taken out of the records."""
        page, view = self.page, self._view
        if view is None:
            return

        def done(values: Values) -> None:
            from annual_planner.records.cylinder_work import RemoveCylinderChange

            self._write(RemoveCylinderChange(values["change_id"]), form, "The work was taken away.")

        form = forms.undo_work_form(view, done, page.close_form)
        page.open_form(form)
