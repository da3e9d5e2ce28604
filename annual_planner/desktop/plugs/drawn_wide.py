"""A drawing that scrolls sideways in its own frame where it is wider than its place."""

from __future__ import annotations

from PySide6.QtCore import QSize, Qt
from PySide6.QtWidgets import QWidget

from annual_planner.desktop.form import Scrolled


class DrawnWide(Scrolled):
    """Keeps the least height of its drawing, and never widens what is around it."""

    def __init__(self, drawing: QWidget) -> None:
        super().__init__(drawing)
        self.setVerticalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)

    def minimumSizeHint(self) -> QSize:
        """As high as the drawing must be, with room for the bar below it."""
        usual, drawing = super().minimumSizeHint(), self.widget()
        if drawing is None:
            return usual
        bar = self.horizontalScrollBar().sizeHint().height()
        return QSize(usual.width(), drawing.minimumSizeHint().height() + bar)
