"""Says, while a new discrepancy is written down, whether the like was found before."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QTimer, Signal
from PySide6.QtWidgets import QVBoxLayout, QWidget

from annual_planner.desktop.desk import Desk
from annual_planner.desktop.fields import TextField
from annual_planner.desktop.form import Form
from annual_planner.desktop.widgets import button, label

if TYPE_CHECKING:
    from annual_planner.records.alike import Alike
    from annual_planner.store.session import Work
    from annual_planner.trade.working import Worked

PAUSE_MS = 400
"""After the last key, before the fleet is asked."""
LEAST_TYPED = 4
"""Fewer letters than that say nothing yet."""


class FoundBefore(QWidget):
    """Stands below the fields of the form and follows what is typed into them."""

    wants_working = Signal(object)
    """The working of the answer."""

    def __init__(self, desk: Desk, form: Form) -> None:
        """Follow the form of a new discrepancy."""
        super().__init__()
        self.setAccessibleName("Found before?")
        self._desk = desk
        self._form = form
        self._before: Worked[Alike] | None = None
        self.says = label("")
        self.says.setWordWrap(True)
        self.why = button("Why?", self._show_why, quiet=True)
        self.why.hide()
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.addWidget(self.says)
        column.addWidget(self.why)
        self._pause = QTimer(self, singleShot=True, interval=PAUSE_MS)
        self._pause.timeout.connect(self._ask)
        for name in ("text", "aircraft_id", "zone", "cylinder"):
            form.fields[name].edited.connect(self._pause.start)

    def _ask(self) -> None:
        fields = self._form.fields
        typed = fields["text"]
        text = typed.line.text() if isinstance(typed, TextField) else ""
        aircraft_id, zone, today = fields["aircraft_id"].value(), fields["zone"].value(), self._desk.today
        if len(text.strip()) < LEAST_TYPED or aircraft_id is None:
            return

        def read(work: Work) -> Worked[Alike]:
            from annual_planner.records.alike import alike

            return alike(work, aircraft_id, zone, text, today)

        self._desk.jobs.read(read, self, self._say, topic="alike")

    def _say(self, before: Worked[Alike]) -> None:
        self._before = before
        self.says.setText(before.value.says)
        self.why.setVisible(bool(before.value.lines))

    def _show_why(self) -> None:
        if self._before is not None:
            self.wants_working.emit(self._before.working)
