"""The search for a better plan, in a process of its own, looked at by a timer of the window."""

from __future__ import annotations

from itertools import count

from PySide6.QtCore import QObject, QTimer, Signal

from annual_planner.desktop.jobs import Jobs
from annual_planner.planning.crew.aims import Aims
from annual_planner.planning.crew.child import Better, Child, Done
from annual_planner.planning.crew.laid_out import LaidOut
from annual_planner.planning.crew.problem import Problem

LOOK_MS = 80


class Search(QObject):
    """At most one search at a time; a new one ends the one before."""

    better = Signal(object)
    """A LaidOut that is better than the last."""
    done = Signal(object)
    """The Worked answer; after `stop` the best found until then."""
    failed = Signal(str, str)
    """What is said, and what to do."""

    def __init__(self, jobs: Jobs, parent: QObject) -> None:
        super().__init__(parent)
        self._jobs = jobs
        self._child: Child | None = None
        self._wanted: int | None = None
        """Number of the search that is on its way, from the moment it was asked for."""
        self._stopped = False
        self._numbers = count()
        self._timer = QTimer(self, interval=LOOK_MS)
        self._timer.timeout.connect(self._look)

    @property
    def running(self) -> bool:
        """A search is on its way."""
        return self._wanted is not None

    def start(self, problem: Problem, seconds: float, keep: LaidOut | None, aims: Aims) -> None:
        """Begin, with the plan so far to be kept as far as that goes."""
        self.drop()
        number = next(self._numbers)
        self._wanted, self._stopped = number, False
        self._jobs.long(
            lambda _progress: Child(problem, seconds=seconds, keep=keep, aims=aims),
            self,
            lambda child: self._begun(number, child),
            lambda _error: self._not_begun(number),
            topic=f"search {number}",  # none replaces another: each child must be closed
            says="Starting the search",
        )

    def _begun(self, number: int, child: Child) -> None:
        if self._wanted != number:
            child.close()
            return
        self._child = child
        self._timer.start()
        if self._stopped:
            child.cancel()

    def _not_begun(self, number: int) -> None:
        if self._wanted == number:
            self.drop()
            self.failed.emit("The search could not be started.", "Try it again.")

    def stop(self) -> None:
        """End the search; the best plan so far is the answer."""
        self._stopped = True
        if self._child is not None:
            self._child.cancel()

    def drop(self) -> None:
        """End the search and forget it."""
        self._timer.stop()
        child, self._child, self._wanted = self._child, None, None
        if child is not None:
            child.close()

    def _look(self) -> None:
        child = self._child
        if child is None:
            return
        for message in child.messages():
            if isinstance(message, Better):
                self.better.emit(message.plan)
            elif isinstance(message, Done):
                self.drop()
                self.done.emit(message.worked)
                return
            else:
                self.drop()
                self.failed.emit(message.said, message.remedy)
                return
