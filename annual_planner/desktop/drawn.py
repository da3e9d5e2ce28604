"""What every drawing of the program is: painted in the colours of the theme, reached by keys, named aloud."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QSizePolicy, QWidget

from annual_planner.desktop.theme import Theme

ARROWS = {
    Qt.Key.Key_Left: (-1, 0),
    Qt.Key.Key_Right: (1, 0),
    Qt.Key.Key_Up: (0, -1),
    Qt.Key.Key_Down: (0, 1),
}
"""Where each arrow key leads: steps across, steps down."""


class Drawn(QWidget):
    """A drawing that takes the keys and is painted anew when the theme or the size of text changes."""

    def __init__(self, theme: Theme, name: str) -> None:
        super().__init__()
        self._theme = theme
        self.setAccessibleName(name)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)
        theme.changed.connect(self.updateGeometry)
        theme.changed.connect(self.update)
