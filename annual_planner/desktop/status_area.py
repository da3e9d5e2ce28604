"""The foot of the window: what is running, with Cancel, and when the last change was saved."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime
from functools import cached_property

from PySide6.QtCore import QTimer
from PySide6.QtWidgets import QHBoxLayout, QProgressBar, QStatusBar, QWidget

from annual_planner.desktop.jobs import Jobs
from annual_planner.desktop.progress import Progress
from annual_planner.desktop.widgets import button, label

QUIET_MS = 200
"""Work that is done sooner shows nothing."""


class Running(QWidget):
    """The words of a piece of work, the share done, and Cancel."""

    def __init__(self, cancel: Callable[[], object]) -> None:
        super().__init__()
        self.setAccessibleName("Running work")
        self.says = label("")
        self._bar = QProgressBar()
        self._bar.setAccessibleName("Share done")
        self._bar.setMaximumWidth(160)
        self._bar.setTextVisible(False)
        self.cancel = button("Cancel", cancel, quiet=True)
        row = QHBoxLayout(self)
        row.setContentsMargins(8, 0, 0, 0)
        for part in (self.says, self._bar, self.cancel):
            row.addWidget(part)

    def tell(self, work: Progress, others: int) -> None:
        """Show how far it has come, and how many others run beside it."""
        self.says.setText(work.text + (f" and {others} more" if others else ""))
        self._bar.setMaximum(work.total)
        self._bar.setValue(work.done)
        self.show()


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
        self.addPermanentWidget(self.saved)
        jobs.running.connect(self._look)
        jobs.saved.connect(self._save)

    @cached_property
    def running(self) -> Running:
        """What is running, made when something first runs long enough to be told."""
        made = Running(self._cancel)
        self.insertWidget(0, made)
        made.hide()
        return made

    def say_saved(self) -> str:
        """What the saved state is, in words."""
        return self.saved.text()

    def _look(self) -> None:
        if not self._jobs.awaited:
            self._wait.stop()
            self._shown = None
            if "running" in self.__dict__:
                self.running.hide()
        elif self._shown is not None:
            self._show()
        elif not self._wait.isActive():
            self._wait.start()

    def _show(self) -> None:
        awaited = self._jobs.awaited
        if not awaited:
            return
        self._shown = awaited[0]
        self.running.tell(self._shown, others=len(awaited) - 1)

    def _cancel(self) -> None:
        for progress in self._jobs.awaited:
            progress.cancel()

    def _save(self, at: datetime) -> None:
        from PySide6.QtGui import QAccessible, QAccessibleAnnouncementEvent

        self.saved.setText(f"Saved {at:%H:%M}")
        QAccessible.updateAccessibility(QAccessibleAnnouncementEvent(self, self.saved.text()))
