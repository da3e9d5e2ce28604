"""Parts that keep the height that their words need at the width they have; what is around them scrolls."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QObject, QTimer
from PySide6.QtWidgets import QWidget


class LeastHeight(QObject):
    """Keeps a part as high as what is laid out in it needs.

    A splitter doesn't ask for the height of words that wrap, and would cut them.
    """

    def __init__(self, part: QWidget) -> None:
        super().__init__(part)
        self._part = part
        self._later = QTimer(self, singleShot=True, interval=0)
        self._later.timeout.connect(self._catch_up)
        part.installEventFilter(self)
        self._keep()

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Follow its width and what is in it."""
        if event.type() in (QEvent.Type.Resize, QEvent.Type.LayoutRequest, QEvent.Type.Show):
            self._keep()
            self._later.start()
        return super().eventFilter(watched, event)

    def _catch_up(self) -> None:
        """Lay out again what Qt left as it was laid out for a lesser height: a resize while it lays out."""
        layout, room = self._part.layout(), self._part.contentsRect()
        if layout is not None and layout.geometry() != room:
            layout.invalidate()
            layout.setGeometry(room)

    def _keep(self) -> None:
        layout = self._part.layout()
        if layout is None:
            return
        wraps = layout.hasHeightForWidth()
        needs = layout.totalMinimumHeightForWidth(self._part.width()) if wraps else 0
        least = max(needs, layout.totalMinimumSize().height())
        if self._part.minimumHeight() != least:
            self._part.setMinimumHeight(least)
