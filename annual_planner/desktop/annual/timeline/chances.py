"""The likely days of a plan, drawn by chance off the window's thread."""

from __future__ import annotations

from PySide6.QtCore import QObject, Signal

from annual_planner.desktop.desk import Desk
from annual_planner.planning.crew.laid_out import LaidOut
from annual_planner.planning.crew.likely import LikelyFinish, likely_finish
from annual_planner.planning.crew.problem import Problem
from annual_planner.trade.working import Worked

SAMPLES, REPLANNED_SAMPLES = 800, 40


class Chances(QObject):
    """The chances of the plan that is shown; none while they are drawn."""

    found = Signal()
    outdated = Signal()
    """The plan isn't one of the question as it stands now."""

    def __init__(self, desk: Desk, parent: QObject) -> None:
        super().__init__(parent)
        self._desk = desk
        self.likely: Worked[LikelyFinish] | None = None
        self.drawing = False
        """They are on their way."""

    def forget(self) -> None:
        """Another plan is shown."""
        self.likely, self.drawing = None, False

    def ask(self, problem: Problem, laid: LaidOut) -> None:
        """Draw them; a newer question replaces an older one."""
        self.drawing = True
        self._desk.jobs.long(
            lambda _progress: likely_finish(
                problem, laid, samples=SAMPLES, replanned_samples=REPLANNED_SAMPLES
            ),
            self,
            self._take,
            self._failed,
            topic="chance",
            says="Drawing the hours by chance",
        )

    def _take(self, worked: Worked[LikelyFinish]) -> None:
        self.likely, self.drawing = worked, False
        self.found.emit()

    def _failed(self, _error: Exception) -> None:
        self.drawing = False
        self.outdated.emit()
