"""The foot of the window: what is running, with Cancel, and when the last change was saved."""

from __future__ import annotations

from datetime import datetime

from PySide6.QtCore import QTimer
from PySide6.QtWidgets import QHBoxLayout, QProgressBar, QStatusBar, QWidget

from annual_planner.desktop.jobs import Jobs
from annual_planner.desktop.progress import Progress
from annual_planner.desktop.widgets import button, label

QUIET_MS = 200
"""Work that is done sooner shows nothing."""


class StatusArea(QStatusBar):
    """Quiet line of running work; the saved state at the right."""

    def __init__(self, jobs: Jobs) -> None:
        super().__init__()
        self.setAccessibleName("Status")
        self.setSizeGripEnabled(False)
        self._jobs = jobs
        self._shown: Progress | None = None
        self._wait = QTimer(self, singleShot=True, interval=QUIET_MS)
        self._wait.timeout.connect(self._show)
        self.saved = label("No changes yet", faint=True)
        self._running = QWidget()
        self._running.setAccessibleName("Running work")
        self._says = label("")
        self._bar = QProgressBar()
        self._bar.setAccessibleName("Share done")
        self._bar.setMaximumWidth(160)
        self._bar.setTextVisible(False)
        self.cancel = button("Cancel", self._cancel, quiet=True)
        row = QHBoxLayout(self._running)
        row.setContentsMargins(8, 0, 0, 0)
        for part in (self._says, self._bar, self.cancel):
            row.addWidget(part)
        self.addWidget(self._running)
        self.addPermanentWidget(self.saved)
        self._running.hide()
        jobs.running.connect(self._look)
        jobs.saved.connect(self._save)

    def say_saved(self) -> str:
        """What the saved state is, in words."""
        return self.saved.text()

    def _look(self) -> None:
        if not self._jobs.awaited:
            self._wait.stop()
            self._shown = None
            self._running.hide()
        elif self._shown is not None:
            self._show()
        elif not self._wait.isActive():
            self._wait.start()

    def _show(self) -> None:
        awaited = self._jobs.awaited
        if not awaited:
            return
        self._shown = awaited[0]
        more = f" and {len(awaited) - 1} more" if len(awaited) > 1 else ""
        self._says.setText(self._shown.text + more)
        self._bar.setMaximum(self._shown.total)
        self._bar.setValue(self._shown.done)
        self._running.show()

    def _cancel(self) -> None:
        for progress in self._jobs.awaited:
            progress.cancel()

    def _save(self, at: datetime) -> None:
        from PySide6.QtGui import QAccessible, QAccessibleAnnouncementEvent

        self.saved.setText(f"Saved {at:%H:%M}")
        QAccessible.updateAccessibility(QAccessibleAnnouncementEvent(self, self.saved.text()))
