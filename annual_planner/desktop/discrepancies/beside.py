"""The review and, beside it, the chosen discrepancy or the form that is open."""

from __future__ import annotations

from typing import Any

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QSplitter, QVBoxLayout, QWidget

from annual_planner.desktop.desk import Desk
from annual_planner.desktop.discrepancies.sheet import DiscrepancyPanel
from annual_planner.desktop.form import Scrolled
from annual_planner.desktop.least_height import LeastHeight

SHEET_LINES, FORM_LINES = 17, 25.5
"""Least widths of what stands beside the list, in lines of text: a form has two fields side by side."""
LEAST_LINES_FOR_BOTH = 44
"""A narrower place shows the chosen one below the list, or the open form alone."""


class Beside(QSplitter):
    """Two sides where the place is wide enough for both; else one below the other, and both scroll."""

    def __init__(self, desk: Desk, review: tuple[QWidget, ...], sheet: DiscrepancyPanel) -> None:
        """`review`: what stands on the left from top to bottom, the list last; `sheet`: the chosen one."""
        super().__init__(Qt.Orientation.Horizontal)
        self._sizes = desk.theme.sizes
        self._sheet = sheet
        self._drawer: Scrolled | None = None
        self._wide = False
        self.setChildrenCollapsible(False)
        self.setAccessibleName("Review and the chosen discrepancy")
        self._left, column = _side("Review", 0)
        for part in review[:-1]:
            column.addWidget(part)
        column.addWidget(review[-1], 1)
        self._right, self._column = _side("Chosen discrepancy or a form", 4)
        self._column.addWidget(sheet, 1)
        for side, stretch in ((self._left, 4), (self._right, 1)):
            self.addWidget(side)
            self.setStretchFactor(self.indexOf(side), stretch)
        self.setSizes([810, 340])
        LeastHeight(self._left)
        self._right.hide()  # until it is known how wide the place is

    def fit(self, width: int) -> None:
        """Make use of that width of the place, in pixels."""
        self._wide = width > self._sizes.of(LEAST_LINES_FOR_BOTH)
        way = Qt.Orientation.Horizontal if self._wide else Qt.Orientation.Vertical
        if way is not self.orientation():
            self.setOrientation(way)
            self._sheet.scrolled.keep_whole(not self._wide)
        self._share()

    def _share(self) -> None:
        form_open = self._drawer is not None
        lines = FORM_LINES if form_open else SHEET_LINES
        self._right.setMinimumWidth(self._sizes.of(lines) if self._wide else 0)
        self._left.setVisible(self._wide or not form_open)
        self._right.show()

    @property
    def form(self) -> QWidget | None:
        """The form that is open."""
        return self._drawer.widget() if self._drawer is not None else None

    def open_form(self, form: Any) -> None:
        """Show a form in place of the sheet."""
        self.close_form()
        self._drawer = Scrolled(form)
        self._sheet.hide()
        self._column.addWidget(self._drawer, 1)
        self._share()
        form.start()

    def close_form(self) -> bool:
        """Show the sheet again; False where no form is open."""
        drawer, self._drawer = self._drawer, None
        if drawer is None:
            return False
        self._column.removeWidget(drawer)
        drawer.hide()
        drawer.deleteLater()
        self._sheet.show()
        self._share()
        return True


def _side(name: str, above: int) -> tuple[QWidget, QVBoxLayout]:
    side = QWidget()
    side.setAccessibleName(name)
    column = QVBoxLayout(side)
    column.setContentsMargins(0, above, 0, 0)
    return side, column
