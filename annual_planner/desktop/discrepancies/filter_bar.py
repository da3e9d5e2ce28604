"""The row above the review: which ones, how grouped, and the views kept under a name."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QComboBox, QVBoxLayout, QWidget

from annual_planner.desktop.discrepancies.choice import (
    DECIDED_WORDS,
    GROUP_WORDS,
    OPEN_WORDS,
    RISK_WORDS,
    STATE_WORDS,
    WAIT_WORDS,
    Chosen,
)
from annual_planner.desktop.fields import Choice
from annual_planner.desktop.flow import FlowRow
from annual_planner.desktop.widgets import button
from annual_planner.store.kept_views import KeptView

CHOICES = (
    ("show", "Open or all", OPEN_WORDS),
    ("risk", "Risk", RISK_WORDS),
    ("waits_for", "Waits for", WAIT_WORDS),
    ("state", "State", STATE_WORDS),
    ("disposition", "Decided", DECIDED_WORDS),
    ("group", "Groups", GROUP_WORDS),
)


class FilterBar(QWidget):
    """Choices in a row that wraps."""

    chose = Signal()
    """Something else is to be shown."""
    view_chosen = Signal(object)
    """A kept view is to be shown: a KeptView."""
    wants_keep = Signal()
    wants_forget = Signal()

    def __init__(self) -> None:
        super().__init__()
        self.setAccessibleName("Which discrepancies")
        self.chosen = Chosen()
        self.boxes: dict[str, Choice] = {}
        self.views = Choice()
        self._kept: tuple[KeptView, ...] = ()
        self._awaited = ""
        row = FlowRow()
        self.views.setAccessibleName("Kept views")
        self.views.setToolTip("Filters kept under a name")
        self.views.activated.connect(self._pick_view)
        self._fit(self.views)
        row.addWidget(self.views)
        for name, words, choices in CHOICES:
            box = Choice()
            box.setAccessibleName(words)
            box.setToolTip(words)
            for value, text in choices:
                box.addItem(text, value)
            box.activated.connect(lambda _at, name=name: self._choose(name))
            self._fit(box)
            self.boxes[name] = box
            row.addWidget(box)
        self.keep = button(
            "Keep this view…", self.wants_keep.emit, quiet=True, tip="Keep filters and order under a name"
        )
        self.forget = button(
            "Forget it", self.wants_forget.emit, quiet=True, tip="Take the kept view off the list"
        )
        row.addWidget(self.keep)
        row.addWidget(self.forget)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 4, 0, 0)
        column.addLayout(row)
        self.offer(())

    def _fit(self, box: Choice) -> None:
        box.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToContents)

    def offer(self, views: Sequence[KeptView]) -> None:
        """Offer these kept views."""
        come = next((view for view in views if view.name == self._awaited), None)
        now = come or self.view
        self._awaited = "" if come is not None else self._awaited
        self._kept = tuple(views)
        self.views.clear()
        self.views.addItem("kept views" if views else "no kept views", -1)
        for view in views:
            self.views.addItem(view.name, view.view_id)
        self.views.setEnabled(bool(views))
        self._point(now.view_id if now is not None else -1)

    @property
    def view(self) -> KeptView | None:
        """The kept view that is chosen."""
        return next((each for each in self._kept if each.view_id == self.views.currentData()), None)

    def await_view(self, name: str) -> None:
        """Choose the view of that name once it is among the kept ones; what is shown is what it holds."""
        self._awaited = name

    def _point(self, view_id: int) -> None:
        self.views.setCurrentIndex(max(0, self.views.findData(view_id)))
        self.forget.setVisible(self.view is not None)

    def put(self, chosen: Chosen) -> None:
        """Show these choices."""
        self.chosen = chosen
        for name, box in self.boxes.items():
            box.setCurrentIndex(max(0, box.findData(getattr(chosen, name))))

    def choose(self, name: str, value: str) -> None:
        """Make a choice, as a person would."""
        box = self.boxes[name]
        box.setCurrentIndex(max(0, box.findData(value)))
        self._choose(name)

    def _choose(self, name: str) -> None:
        self.chosen = replace(self.chosen, **{name: self.boxes[name].currentData()})
        self._point(-1)
        self.chose.emit()

    def _pick_view(self) -> None:
        self.forget.setVisible(self.view is not None)
        if self.view is not None:
            self.view_chosen.emit(self.view)
