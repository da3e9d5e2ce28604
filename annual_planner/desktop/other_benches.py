"""On a server other benches write too: what is shown is read again once one has, or once it is back."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, QTimer

from annual_planner.desktop.jobs import Jobs
from annual_planner.records.edits import KINDS
from annual_planner.store.audit import newest_change

if TYPE_CHECKING:
    from annual_planner.desktop.progress import Progress

LOOK_EVERY_MS = 30_000
"""Often enough for people who talk across a hangar; one look is one short question."""


class OtherBenches(QObject):
    """Looks now and then for the newest line of the audit trail."""

    def __init__(self, jobs: Jobs, parent: QObject) -> None:
        super().__init__(parent)
        self._jobs = jobs
        self._newest: int | None = None
        self._away = False
        timer = QTimer(self)
        timer.timeout.connect(self.look)
        timer.start(LOOK_EVERY_MS)
        self.look()

    def look(self) -> Progress:
        """Ask whether anything was written since the last look."""
        says = "Looking for what other benches wrote"
        return self._jobs.read(newest_change, self, self._seen, self._missed, topic="benches", says=says)

    def _seen(self, newest: int) -> None:
        before, was_away = self._newest, self._away
        self._newest, self._away = newest, False
        if was_away or (before is not None and newest > before):
            self._jobs.changed.emit(KINDS)

    def _missed(self, _error: Exception) -> None:
        """Remember that the server was away: whoever asked for something is told, here it is asked again."""
        self._away = True
