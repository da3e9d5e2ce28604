"""Taking widgets out of a layout for good."""

from __future__ import annotations

from PySide6.QtWidgets import QLayout


def empty(layout: QLayout) -> None:
    """Take everything out of a layout and let it go."""
    while (item := layout.takeAt(0)) is not None:
        part = item.widget()
        if part is not None:
            part.hide()
            part.deleteLater()
