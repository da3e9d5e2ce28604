"""What every part of the shop's set-up is built on: a line of buttons, a place for a form, what is shown."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtWidgets import QPushButton, QVBoxLayout, QWidget

from annual_planner.desktop.desk import Desk
from annual_planner.desktop.flow import FlowRow
from annual_planner.desktop.form import Form
from annual_planner.desktop.shop.seen import ShopSeen
from annual_planner.desktop.widgets import button, label
from annual_planner.records.edits import Changed, Edit

Failed = Callable[[Exception], None]


class ShopPart(QWidget):
    """One part of the set-up. Subclasses fill `body`, show what was read (`show_seen`) and offer buttons."""

    def __init__(self, desk: Desk, name: str, says: str, failed: Failed) -> None:
        super().__init__()
        self.desk = desk
        self.seen: ShopSeen | None = None
        self.form: Form | None = None
        self._failed = failed
        self._edits: list[QPushButton] = []
        self.setAccessibleName(name)
        self.says = label(says, faint=True)
        self.says.setWordWrap(True)
        self.buttons = FlowRow()
        self.place = QVBoxLayout()
        self.body = QVBoxLayout()
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 8, 0, 0)
        column.addWidget(self.says)
        column.addLayout(self.buttons)
        column.addLayout(self.place)
        column.addLayout(self.body, 1)

    def offer(self, words: str, does: Callable[[], object], tip: str = "", *, leading: bool = False) -> None:
        """Add a button that changes something; whoever only looks isn't offered it."""
        made = button(words, does, tip=tip, leading=leading)
        made.setVisible(self.desk.who.person.may_edit)
        self._edits.append(made)
        self.buttons.addWidget(made)

    def take(self, seen: ShopSeen) -> None:
        """Show what was read."""
        self.seen = seen
        for each in self._edits:
            each.setVisible(self.desk.who.person.may_edit)
        self.show_seen(seen)

    def show_seen(self, seen: ShopSeen) -> None:
        """Show it; subclasses do."""
        raise NotImplementedError

    def write(self, edit: Edit, failed: Failed | None = None) -> None:
        """Write an edit down; a refusal is said where it belongs, else at the top of the set-up."""

        def done(_changed: Changed) -> None:
            self.close_form()

        self.desk.jobs.write(edit, self, done, failed or self._failed)

    def show_form(self, form: Form) -> None:
        """Put a form above what is shown, in place of another."""
        self.close_form()
        self.form = form
        self.place.addWidget(form)
        form.start()

    def close_form(self) -> None:
        """Take the form away."""
        form, self.form = self.form, None
        if form is not None:
            self.place.removeWidget(form)
            form.hide()
            form.deleteLater()
