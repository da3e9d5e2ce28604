"""Proposing a plan: the search, its progress, and keeping what it found."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QObject

from annual_planner.desktop.weeks.moving import keep_of
from annual_planner.desktop.weeks.search import WeeksSearch
from annual_planner.desktop.weeks.seen import Shown
from annual_planner.desktop.weeks.words import moved_count
from annual_planner.planning.shop_weeks.kept import has_places
from annual_planner.planning.shop_weeks.visits import WeeksAsked, WeeksPlan
from annual_planner.trade.working import Worked

if TYPE_CHECKING:
    from annual_planner.desktop.weeks.page import WeeksPage

SECONDS = 10.0
"""A search takes at most so long."""


class Proposing(QObject):
    """One search at a time; the last good plan stays until a better one is there."""

    def __init__(self, page: WeeksPage) -> None:
        super().__init__(page)
        self._page = page
        self._asked: WeeksAsked | None = None
        self.found: Worked[WeeksPlan] | None = None
        """The answer of the last search."""
        self.search = WeeksSearch(self)
        self.search.ran.connect(self._ran)
        self.search.done.connect(self._done)
        self.search.failed.connect(self._lost)
        page.destroyed.connect(self.search.drop)

    @property
    def running(self) -> bool:
        """A search is on its way."""
        return self.search.running

    def start(self) -> None:
        """Search for a place for every annual; what is pinned stays."""
        page = self._page
        seen = page.seen
        if seen is None or self.running:
            return
        if seen.fault is not None:
            page.say_fault()
        elif seen.found is None or not seen.found.asked.visits:
            page.strip.say("There is no annual to place.", "Why each airplane is left out stands below.")
        else:
            page.strip.put_away()
            page.moving.put_back()
            page.tell("Searching …")
            self._asked = seen.found.asked
            self.search.start(self._asked, SECONDS)
            page.show_running(on=True)

    def cancel(self) -> None:
        """Give the search up; the last good plan stays."""
        if self.running:
            self.search.drop()
            self._page.show_running(on=False)
            self._page.tell("The search was given up; the last good plan stands.")

    def bound_of(self, shown: Shown) -> Worked[WeeksPlan] | None:
        """The answer of the last search, while its plan is what is shown."""
        plan = shown.put.plan if shown.put is not None else None
        if plan is None or self.found is None or len(self.found.value.placed) != len(plan.placed):
            return None
        return self.found if moved_count(self.found.value, plan) == 0 else None

    def _ran(self, seconds: float) -> None:
        self._page.show_told(f"Searching … {seconds:.0f} of at most {SECONDS:.0f} s")

    def _done(self, worked: Worked[WeeksPlan]) -> None:
        page, asked = self._page, self._asked
        page.show_running(on=False)
        if asked is None:
            return
        self.found = worked
        put = page.shown.put if page.shown is not None else None
        before = put.plan if put is not None else None
        said = "Kept. Undo takes it back."
        if before is not None and has_places(before):
            said = f"Kept; {moved_count(before, worked.value)} moved against the plan before. {said[6:]}"
        page.desk.jobs.write(
            keep_of(asked, worked.value), page, lambda _changed: page.tell(said), page.failed
        )

    def _lost(self, said: str, remedy: str) -> None:
        self._page.show_running(on=False)
        self._page.tell("The last good plan stands.")
        self._page.strip.say(said, remedy)
