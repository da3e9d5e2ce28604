"""Scrolling to where the keys act: Qt does so for Tab alone."""

from __future__ import annotations

from PySide6.QtCore import QObject, QPoint
from PySide6.QtWidgets import QApplication, QScrollArea, QWidget


class KeysInSight(QObject):
    """Brings what the cursor comes to within a page into sight, by whatever way it came there."""

    def __init__(self, page: QWidget) -> None:
        super().__init__(page)
        self._page = page
        app = QApplication.instance()
        if isinstance(app, QApplication):
            app.focusChanged.connect(self._follow)

    def _follow(self, _left: QWidget | None, here: QWidget | None) -> None:
        if here is None or not self._page.isAncestorOf(here):
            return
        around = here.parentWidget()
        while around is not None and around is not self._page:
            if isinstance(around, QScrollArea):
                _bring(here, around)
            around = around.parentWidget()


def _bring(here: QWidget, area: QScrollArea) -> None:
    """Show it with what stands around it; of something higher than the area, its upper part."""
    inner, room = area.widget(), area.viewport().height()
    if inner is None or not inner.isAncestorOf(here):
        return
    if here.height() < room // 2:
        area.ensureWidgetVisible(here, 0, min(here.height() * 3, room // 4))
        return
    bar, top = area.verticalScrollBar(), here.mapTo(inner, QPoint(0, 0)).y()
    if not bar.value() <= top <= bar.value() + room // 2:
        bar.setValue(top)
