"""Planning an annual: the form that asks for its start, and the edit that lays it out."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from typing import TYPE_CHECKING, Protocol, cast

from PySide6.QtCore import QObject

from annual_planner.desktop.aircraft.record_forms import Done, Leave, day_field
from annual_planner.desktop.desk import Desk
from annual_planner.desktop.fields import TextField
from annual_planner.desktop.form import Form, Values
from annual_planner.records.edits import Changed

if TYPE_CHECKING:
    from annual_planner.library.shelf import Library

SAYS = (
    "Everything that comes due before the next annual would end is weighed, and the cards are laid out in the"
    " order of work. Nothing is ordered or promised by it."
)


class FormHost(Protocol):
    """A page that can show a form."""

    desk: Desk

    def open_form(self, form: Form) -> None:
        """Show a form."""
        ...

    def close_form(self) -> None:
        """Put the form away."""
        ...

    def failed(self, error: Exception) -> None:
        """Say what went wrong."""
        ...


def plan_form(registration: str, today: date, done: Done, leave: Leave) -> Form:
    """When an annual is to start, and what it is called."""
    form = Form(f"Plan an annual for {registration}", "Plan annual", done, leave, says=SAYS)
    form.add(day_field("start_on", "Starts on", today, past=False, start="+7"))
    title = TextField("title", "Title", needed="Give it a title.", letters=36)
    title.put(f"Annual inspection {today.year}")
    form.add(title)
    return form


def start_plan(
    page: FormHost, aircraft_id: int, registration: str, planned: Callable[[int], object], leave: Leave
) -> Form:
    """Open the form on a page; `planned` gets the id of the package once it is laid out."""

    def done(values: Values) -> None:
        form.submit_button.setEnabled(False)
        form.tell("Laying out the cards …")
        page.desk.with_library(form, lambda library: write(values, library), failed)

    def write(values: Values, library: Library) -> None:
        from annual_planner.planning.packages import BuildPackage

        edit = BuildPackage(aircraft_id, values["start_on"], values["title"], library)
        page.desk.jobs.write(edit, cast(QObject, page), made, failed)

    def made(changed: Changed) -> None:
        page.close_form()
        if changed.made_id is not None:
            planned(changed.made_id)

    def failed(error: Exception) -> None:
        form.submit_button.setEnabled(True)
        form.failed(error)

    form = plan_form(registration, page.desk.today, done, leave)
    page.open_form(form)
    return form
