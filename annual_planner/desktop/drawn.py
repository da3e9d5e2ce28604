"""What every drawing of the program is: painted in the colours of the theme, reached by keys, named aloud."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QSizePolicy, QWidget

from annual_planner.desktop.theme import Theme


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
