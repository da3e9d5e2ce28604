"""What stands beside the lists: a form, what a move costs, or what to do together; one at a time."""

from __future__ import annotations

from functools import cached_property

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QVBoxLayout, QWidget

from annual_planner.desktop.desk import Desk
from annual_planner.desktop.form import Form, Scrolled
from annual_planner.desktop.weeks.side import MovePanel, TogetherPanel
from annual_planner.planning.shop_weeks.tried import Tried
from annual_planner.trade.bundling import Bundle
from annual_planner.trade.working import Worked, Working


class Beside(QWidget):
    """A column that is there only while something stands in it."""

    filled = Signal()
    emptied = Signal()
    wants_why = Signal()
    keeps = Signal()
    """The move that is shown is to be kept."""
    puts_back = Signal()

    def __init__(self, desk: Desk) -> None:
        super().__init__()
        self.setAccessibleName("What a move costs, a form, or what to do together")
        self._desk = desk
        self._shown: QWidget | None = None
        self._column = QVBoxLayout(self)
        self._column.setContentsMargins(0, 4, 0, 0)
        self.hide()

    @cached_property
    def move_panel(self) -> MovePanel:
        """What a move costs, made when the first is asked for."""
        made = MovePanel()
        made.kept.connect(self.keeps)
        made.closed.connect(self.puts_back)
        made.wants_why.connect(self.wants_why)
        return made

    @cached_property
    def together_panel(self) -> TogetherPanel:
        """Which items are done together, made when first asked for."""
        made = TogetherPanel(self._desk)
        made.closed.connect(self.put_away)
        made.wants_why.connect(self.wants_why)
        return made

    @property
    def form(self) -> Form | None:
        """The form that is open."""
        inner = self._shown.widget() if isinstance(self._shown, Scrolled) else None
        return inner if isinstance(inner, Form) else None

    @property
    def bundle(self) -> Working | None:
        """The working of what to do together, while that is shown."""
        panel = self._shown
        shows = isinstance(panel, TogetherPanel) and panel.bundle is not None
        return panel.bundle.working if shows else None  # type: ignore[union-attr]  # it is, as just asked

    def show_form(self, form: Form) -> None:
        """Show a form, the cursor in its first field."""
        self._put(Scrolled(form))
        form.start()

    def show_move(self, tried: Tried) -> None:
        """Show what a move costs."""
        self.move_panel.take(tried)
        self._put(self.move_panel)

    def hide_move(self) -> None:
        """Put away what a move costs, if that is what stands here."""
        if isinstance(self._shown, MovePanel):
            self.put_away()

    def show_together(self, registration: str, bundle: Worked[Bundle]) -> None:
        """Show which items are done together."""
        self.together_panel.take(registration, bundle)
        self._put(self.together_panel)

    def _put(self, widget: QWidget) -> None:
        if widget is not self._shown:
            self._take_out()
            self._shown = widget
            self._column.addWidget(widget, 1)
        widget.show()
        self.show()
        self.filled.emit()

    def _take_out(self) -> None:
        old, self._shown = self._shown, None
        if old is not None:
            self._column.removeWidget(old)
            old.hide()
            if isinstance(old, Scrolled):
                old.deleteLater()

    def put_away(self) -> None:
        """Leave the room to the lists."""
        if self._shown is not None:
            self._take_out()
            self.hide()
            self.emptied.emit()
