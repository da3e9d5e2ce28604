"""The program's own line drawings, in the ink of the look in force."""

from __future__ import annotations

from functools import lru_cache

from PySide6.QtCore import QByteArray, QRectF, Qt
from PySide6.QtGui import QIcon, QPainter, QPixmap

from annual_planner.desktop.resource import resource_text

DRAWN_IN = "#000000"
SIDES = (24, 48)


@lru_cache(maxsize=400)
def icon(name: str, ink: str, faint: str = "") -> QIcon:
    """The drawing of that name; an empty icon when there is none."""
    text = resource_text("icons", f"{name}.svg")
    made = QIcon()
    if not text:
        return made
    for side in SIDES:
        made.addPixmap(_drawn(text, ink, side))
        if faint:
            made.addPixmap(_drawn(text, faint, side), QIcon.Mode.Disabled)
    return made


def _drawn(text: str, ink: str, side: int) -> QPixmap:
    from PySide6.QtSvg import QSvgRenderer

    pixmap = QPixmap(side, side)
    pixmap.fill(Qt.GlobalColor.transparent)
    painter = QPainter(pixmap)
    renderer = QSvgRenderer(QByteArray(text.replace(DRAWN_IN, ink).encode()))
    renderer.render(painter, QRectF(0, 0, side, side))
    painter.end()
    return pixmap
