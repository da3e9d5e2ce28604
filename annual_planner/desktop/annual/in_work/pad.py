"""A pad of large number keys for gloved hands: it types into the field that has the cursor."""

from __future__ import annotations

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QGridLayout, QPushButton, QSizePolicy, QWidget

from annual_planner.desktop.theme import Theme
from annual_planner.desktop.widgets import button

KEYS = (("7", "8", "9"), ("4", "5", "6"), ("1", "2", "3"), (".", "0", "-"))
NAMES = {".": "point", "-": "minus"}
GAP_SHARE = 0.66
"""Gap between keys as a share of a key: 8 mm beside 12 mm."""


class NumberPad(QWidget):
    """Keys 0 to 9, point and minus, 'take back' and 'next'. It never takes the cursor away."""

    typed = Signal(str)
    back = Signal()
    following = Signal()

    def __init__(self, theme: Theme) -> None:
        super().__init__()
        self.setAccessibleName("Number pad")
        self._theme = theme
        self.keys: dict[str, QPushButton] = {}
        self._grid = QGridLayout(self)
        self._grid.setContentsMargins(0, 4, 0, 4)
        for row, keys in enumerate(KEYS):
            for column, key in enumerate(keys):
                self._put(key, lambda key=key: self.typed.emit(key), row, column)
        self._put("⌫", self.back.emit, 0, 3, rows=2)
        self._put("Next", self.following.emit, 2, 3, rows=2)
        self.keys["⌫"].setAccessibleName("take the last one back")
        theme.changed.connect(self._fit)
        self._fit()

    def _put(self, key: str, pressed: object, row: int, column: int, rows: int = 1) -> None:
        made = button(key, pressed)  # type: ignore[arg-type]
        made.setAccessibleName(NAMES.get(key, key))
        made.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        made.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Expanding)
        self.keys[key] = made
        self._grid.addWidget(made, row, column, rows, 1)

    def _fit(self) -> None:
        target = round(self._theme.sizes.target)
        self._grid.setSpacing(round(target * GAP_SHARE) if self._theme.bench else 6)
        for key, each in self.keys.items():
            wide = target * 2 if key == "Next" else round(target * 1.4)
            each.setMinimumSize(wide, target)
