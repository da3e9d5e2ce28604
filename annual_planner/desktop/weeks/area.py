"""The drawing of the weeks in its scroll area, with the scales that it can be drawn in."""

from __future__ import annotations

from functools import partial

from PySide6.QtWidgets import QPushButton, QScrollArea

from annual_planner.desktop.desk import Desk
from annual_planner.desktop.weeks.drawing import WeeksDrawing
from annual_planner.desktop.weeks.grid import SCALES
from annual_planner.desktop.widgets import button

KEPT_AS = "weeks/scale"


class DrawingArea(QScrollArea):
    """Scrolls across the weeks; the scale that was chosen last is kept for the next time."""

    def __init__(self, desk: Desk) -> None:
        super().__init__()
        self._settings = desk.settings
        self.drawing = WeeksDrawing(desk.theme, desk.today)
        kept = str(self._settings.value(KEPT_AS, ""))
        self.drawing.scale = kept if kept in SCALES else self.drawing.scale
        self.scales = {scale: self._scale_chip(scale) for scale in SCALES}
        """Buttons of the scales, for the row above the drawing."""
        self.setWidgetResizable(True)
        self.setAccessibleName("Bays and weeks, drawn")
        self.setWidget(self.drawing)
        self.horizontalScrollBar().valueChanged.connect(lambda _at: self.drawing.update())

    def _scale_chip(self, scale: str) -> QPushButton:
        made = button(scale.capitalize(), partial(self.show_scale, scale), tip=f"Draw a {scale}", chip=True)
        made.setCheckable(True)
        made.setChecked(scale == self.drawing.scale)
        return made

    def show_scale(self, scale: str) -> None:
        """Draw a quarter, half a year or a year in the room there is."""
        for each, chip in self.scales.items():
            chip.setChecked(each == scale)
        self.drawing.show_scale(scale)
        self._settings.setValue(KEPT_AS, scale)

    def scroll_to_chosen(self) -> None:
        """Bring the chosen visit's bar into sight."""
        box = self.drawing.chosen_box()
        if box is not None:
            centre = box.center().toPoint()
            self.ensureVisible(centre.x(), centre.y(), self.width() // 4, 10)

    def height_of_all(self) -> int:
        """Height of every lane with the hours below, in pixels."""
        return self.drawing.sizeHint().height() + self.horizontalScrollBar().sizeHint().height() + 4
