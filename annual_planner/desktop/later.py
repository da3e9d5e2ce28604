"""A part of a page that is made when it is first looked at."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtGui import QShowEvent
from PySide6.QtWidgets import QVBoxLayout, QWidget


class Later(QWidget):
    """Stands in a part's place and makes the part when it is first shown."""

    def __init__(self, make: Callable[[], QWidget], name: str) -> None:
        super().__init__()
        self.setAccessibleName(name)
        self._make: Callable[[], QWidget] | None = make
        self._column = QVBoxLayout(self)
        self._column.setContentsMargins(0, 0, 0, 0)

    def showEvent(self, event: QShowEvent) -> None:
        """Make the part, once."""
        make, self._make = self._make, None
        if make is not None:
            self._column.addWidget(make())
        super().showEvent(event)
