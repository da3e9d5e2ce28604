"""What every form about plugs and cylinders does with its edit: write it, close, say so."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject

from annual_planner.desktop.form import Form
from annual_planner.planning.engine_view import EngineView
from annual_planner.records.edits import Changed, Edit

if TYPE_CHECKING:
    from annual_planner.desktop.plugs.page import PlugsPage


class Writer(QObject):
    """Opens the forms of one page and writes what they say."""

    def __init__(self, page: PlugsPage) -> None:
        super().__init__(page)
        self.page = page

    def _write(
        self, edit: Edit, form: Form | None = None, said: str = "", then: Callable[[], object] | None = None
    ) -> None:
        def done(_changed: Changed) -> None:
            if form is not None:
                self.page.close_form()
            if said:
                self.page.strip.say(said, "Undo takes it back.")
            if then is not None:
                then()

        failed = form.failed if form is not None else self.page.failed
        self.page.desk.jobs.write(edit, form or self.page, done, failed)

    @property
    def _view(self) -> EngineView | None:
        return self.page.view
