"""Laying the work out and laying it out again: the search, what it finds, what is kept of it."""

from __future__ import annotations

from datetime import datetime
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, Signal

from annual_planner.desktop.annual.timeline.cost import hour_worth
from annual_planner.desktop.annual.timeline.search import Search
from annual_planner.desktop.annual.timeline.seen import plan_seen
from annual_planner.desktop.annual.timeline.words import replanned_said
from annual_planner.planning.crew.aims import Aims, weighing_cost
from annual_planner.planning.crew.laid_out import LaidOut, moved
from annual_planner.planning.work_plan import KeepPlan
from annual_planner.trade.working import Worked

if TYPE_CHECKING:
    from annual_planner.desktop.annual.timeline.tab import Timeline

SECONDS, AGAIN_SECONDS = 8.0, 4.0
"""How long a search may take: the first, and one that keeps most of a plan."""


class Replanning(QObject):
    """At most one search for the package that is shown; each better plan is shown as it comes."""

    turned = Signal(bool)
    """A search began, or ended."""

    def __init__(self, tab: Timeline) -> None:
        super().__init__(tab)
        self.tab = tab
        self.search = Search(tab.desk.jobs, self)
        self.search.better.connect(self._better)
        self.search.done.connect(self._done)
        self.search.failed.connect(self._failed)
        tab.destroyed.connect(self.search.drop)

    @property
    def running(self) -> bool:
        """A search is on its way."""
        return self.search.running

    def lay_out_anew(self) -> None:
        """Search for a plan from the beginning: only what has begun or is pinned stays."""
        self._search(None)

    def lay_out(self) -> None:
        """Search for a plan; what has begun stays, and little else moves."""
        seen = self.tab.seen
        self._search(seen.kept.plan if seen is not None and seen.kept is not None else None)

    def _search(self, keep: LaidOut | None) -> None:
        seen, tab = self.tab.seen, self.tab
        if seen is None:
            return
        if seen.asked is None:
            if seen.fault is not None:
                tab.page.strip.refuse(seen.fault)
            return
        tab.pinning.put_back()
        tab.chances.forget()
        tab.page.strip.put_away()
        tab.tell("Searching …")
        seconds = SECONDS if keep is None else AGAIN_SECONDS
        self.search.start(seen.asked.problem, seconds, keep, self._aims())
        self.turned.emit(True)

    def _aims(self) -> Aims:
        return weighing_cost(hour_worth(self.tab.desk))

    def stop(self) -> None:
        """End the search; the best plan so far is the answer."""
        self.search.stop()

    def drop(self) -> None:
        """End the search and forget it."""
        self.search.drop()
        self.turned.emit(False)

    def cancel(self) -> None:
        """Give the search up; the last good plan stays."""
        self.drop()
        plan = self.tab.seen.plan if self.tab.seen is not None else None
        stands = "the last good plan stands" if plan is not None else "nothing is laid out"
        self.tab.tell(f"The search was given up; {stands}.")
        self.tab.show_plan(plan)

    def _better(self, laid: LaidOut) -> None:
        seen = self.tab.seen
        if seen is not None:
            self.tab.show_plan(plan_seen(laid, seen.names, seen.asked, with_binding=False))
            self.tab.tell(f"Searching … {laid.said}. {len(laid.moved)} cards moved.")

    def _done(self, worked: Worked[LaidOut]) -> None:
        self.turned.emit(False)
        tab, laid = self.tab, worked.value
        kept = tab.seen.kept if tab.seen is not None else None
        before = kept.plan if kept is not None else None
        moves = moved(laid.places, before)
        tab.lists.take_moves(moves)
        tab.tell(replanned_said(before, laid, len(moves)))
        if tab.package_id is not None:
            tab.write(KeepPlan(tab.package_id, laid, datetime.now().astimezone()))

    def _failed(self, said: str, remedy: str) -> None:
        self.cancel()
        self.tab.tell("The last good plan stands." if self.tab.plan is not None else "")
        self.tab.page.strip.say(said, remedy)
