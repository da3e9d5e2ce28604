"""The search for the shop's weeks, in a process of its own; the window hears how long it has run."""

from __future__ import annotations

import logging
from time import monotonic

from PySide6.QtCore import QObject, QTimer, Signal

from annual_planner.planning.crew.child import Done, Failed
from annual_planner.planning.shop_weeks.child import WeeksChild
from annual_planner.planning.shop_weeks.visits import WeeksAsked

LOOK_MS = 100
log = logging.getLogger(__name__)


class WeeksSearch(QObject):
    """At most one search at a time; a new one ends the one before."""

    ran = Signal(float)
    """Seconds it has run."""
    done = Signal(object)
    """The Worked WeeksPlan."""
    failed = Signal(str, str)
    """What is said, and what to do."""

    def __init__(self, parent: QObject) -> None:
        super().__init__(parent)
        self._child: WeeksChild | None = None
        self._began = 0.0
        self._timer = QTimer(self, interval=LOOK_MS)
        self._timer.timeout.connect(self._look)

    @property
    def running(self) -> bool:
        """A search is on its way."""
        return self._child is not None

    def start(self, asked: WeeksAsked, seconds: float) -> None:
        """Begin; it takes at most so many seconds and what starting it takes."""
        self.drop()
        self._began = monotonic()
        self._child = WeeksChild(asked, seconds=seconds)
        self._timer.start()

    def drop(self) -> None:
        """End the search and forget it."""
        self._timer.stop()
        child, self._child = self._child, None
        if child is not None:
            child.close()

    def _look(self) -> None:
        child = self._child
        if child is None:
            return
        self.ran.emit(monotonic() - self._began)
        for message in child.messages():
            if isinstance(message, Done):
                self.drop()
                self.done.emit(message.worked)
                return
            if isinstance(message, Failed):
                self.drop()
                self.failed.emit(*_told(message))
                return


def _told(message: Failed) -> tuple[str, str]:
    """What is said of a search that found nothing; a fault of the program is logged and said calmly."""
    if not message.ours:
        return message.said, message.remedy
    log.error("the search for the shop's weeks broke off: %s", message.said)
    return "The search broke off. Nothing was lost.", "Propose the weeks again."
