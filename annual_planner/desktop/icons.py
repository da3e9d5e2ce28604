"""The program's own line drawings, in the ink of the look in force."""

from __future__ import annotations

from functools import lru_cache

from PySide6.QtCore import QByteArray, QRectF, Qt
from PySide6.QtGui import QFontMetrics, QGuiApplication, QIcon, QPainter, QPixmap

from annual_planner.desktop.resource import resource_text

DRAWN_IN = "#000000"
ORDINARY, LARGE = (16, 24), (16, 24, 32, 48)
"""Sides in pixels: for ordinary text on an ordinary screen, and where either is larger. What is made smaller
afterwards is blurred, so each side in use is drawn."""
ORDINARY_LINE = 17
"""A line of text is ordinary up to this many pixels: what is drawn beside it then fits into 24 pixels."""


def icon(name: str, ink: str, faint: str = "", *, large: bool = False, side: int = 0) -> QIcon:
    """The drawing of that name; an empty icon when there is none.

    `large`: for more than a line of text. `side`: the one side in pixels of an ordinary screen that it is
    shown at, where that is known.
    """
    if side:
        return _icon(name, ink, faint, (round(side * _density()),))
    return _icon(name, ink, faint, LARGE if large or _all_is_large() else ORDINARY)


def _density() -> float:
    app = QGuiApplication.instance()
    return app.devicePixelRatio() if isinstance(app, QGuiApplication) else 1.0


def _all_is_large() -> bool:
    return _density() > 1 or QFontMetrics(QGuiApplication.font()).height() > ORDINARY_LINE


@lru_cache(maxsize=400)
def _icon(name: str, ink: str, faint: str, sides: tuple[int, ...]) -> QIcon:
    text = resource_text("icons", f"{name}.svg")
    made = QIcon()
    if not text:
        return made
    for side in sides:
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
