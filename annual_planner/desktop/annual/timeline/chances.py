"""The likely days of a plan, drawn by chance off the window's thread."""

from __future__ import annotations

from PySide6.QtCore import QObject, QTimer, Signal

from annual_planner.desktop.desk import Desk
from annual_planner.planning.crew.laid_out import LaidOut
from annual_planner.planning.crew.likely import (
    SHOWN_REPLANNED_SAMPLES,
    SHOWN_SAMPLES,
    LikelyFinish,
    likely_finish,
)
from annual_planner.planning.crew.problem import Problem
from annual_planner.trade.working import Worked

SAMPLES, REPLANNED_SAMPLES = SHOWN_SAMPLES, SHOWN_REPLANNED_SAMPLES
REST_MS = 150
"""Rest before they are drawn: a search that begins at once, or the next move, needs none of these."""


class Chances(QObject):
    """The chances of the plan that is shown; none while they are drawn."""

    found = Signal()
    outdated = Signal()
    """The plan isn't one of the question as it stands now."""

    def __init__(self, desk: Desk, parent: QObject) -> None:
        super().__init__(parent)
        self._desk = desk
        self._of: tuple[Problem, LaidOut] | None = None
        self._rest = QTimer(self, singleShot=True, interval=REST_MS)
        self._rest.timeout.connect(self._draw)
        self.likely: Worked[LikelyFinish] | None = None

    @property
    def drawing(self) -> bool:
        """They are on their way."""
        return self._of is not None

    def forget(self) -> None:
        """Another plan is shown, or sought."""
        self._rest.stop()
        self._of = self.likely = None

    def ask(self, problem: Problem, laid: LaidOut) -> None:
        """Draw them soon; a newer question replaces an older one."""
        self._of = problem, laid
        self._rest.start()

    def _draw(self) -> None:
        of = self._of
        if of is None:
            return
        problem, laid = of
        self._desk.jobs.long(
            lambda _progress: likely_finish(
                problem, laid, samples=SAMPLES, replanned_samples=REPLANNED_SAMPLES
            ),
            self,
            lambda worked: self._take(of, worked),
            lambda _error: self._take(of, None),
            topic="chance",
            says="Drawing the hours by chance",
        )

    def _take(self, of: tuple[Problem, LaidOut], worked: Worked[LikelyFinish] | None) -> None:
        """Take the answer, unless another plan is shown by now."""
        if self._of is not of:
            return
        self._of, self.likely = None, worked
        (self.found if worked is not None else self.outdated).emit()
