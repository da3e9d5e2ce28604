"""Holding a card at a moment by hand: what it costs, and letting it go again."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject

from annual_planner.desktop.annual.timeline.columns import moment_text
from annual_planner.desktop.annual.timeline.seen import plan_seen
from annual_planner.desktop.annual.timeline.words import cost_said
from annual_planner.planning.crew.laid_out import LaidOut
from annual_planner.planning.crew.problem import Pinned, Problem
from annual_planner.planning.work_plan import KeepPlan, PinCard, UnpinCard
from annual_planner.trade.refused import Refused

if TYPE_CHECKING:
    from annual_planner.desktop.annual.timeline.tab import Timeline


class Pinning(QObject):
    """Pins of the plan that is shown."""

    def __init__(self, tab: Timeline) -> None:
        super().__init__(tab)
        self.tab = tab
        tab.drawing.placed.connect(self.pin)
        tab.drawing.released.connect(self.unpin)

    def pin(self, job: str, moment: datetime) -> None:
        """Work out what a card at that moment costs, then hold it there; Undo takes the pin away."""
        tab = self.tab
        seen, plan, bar = tab.seen, tab.plan, tab.drawing.bar
        if seen is None or plan is None or seen.asked is None or bar is None or bar.card_id is None:
            tab.page.strip.say("This can't be pinned.", "Choose a card of the package.")
            return
        problem, card_id = pinned(seen.asked.problem, job, moment), bar.card_id

        def done(after: LaidOut) -> None:
            said = cost_said(bar.title, moment_text(moment), plan.laid, after)
            tab.told.setText(f"{said} Pinned; Undo releases it.")
            tab.show_plan(plan_seen(after, seen.names, seen.asked))
            tab.write(PinCard(card_id, moment.astimezone()), lambda: self._keep(after))

        tab.desk.jobs.long(
            lambda _progress: by_rules(problem, plan.laid),
            self,
            done,
            self._no_pin,
            topic="pin",
            says="Trying the pin",
        )

    def _keep(self, laid: LaidOut) -> None:
        tab = self.tab
        tab.lists.moves.take(laid.moved)
        if tab.package_id is not None:
            tab.write(KeepPlan(tab.package_id, laid, datetime.now().astimezone()))

    def _no_pin(self, error: Exception) -> None:
        self.tab.page.failed(error)
        self.tab.drawing.put_back()

    def unpin(self, _job: str) -> None:
        """Let the chosen card lie where the plan puts it."""
        bar = self.tab.drawing.bar
        if bar is not None and bar.card_id is not None:
            self.tab.write(UnpinCard(bar.card_id))


def pinned(problem: Problem, job: str, moment: datetime) -> Problem:
    """The problem with one job held at a moment."""
    jobs = tuple(
        replace(each, pinned=Pinned(moment, (), "fixed by hand")) if each.key == job else each
        for each in problem.jobs
    )
    return replace(problem, jobs=jobs)


def by_rules(problem: Problem, keep: LaidOut) -> LaidOut:
    """A plan by rules at once. Refused when nothing fits."""
    from annual_planner.planning.crew.solve import lay_out

    if not any(job.pinned is not None for job in problem.jobs):
        raise Refused("There is nothing pinned.", "Choose a card first.")
    return lay_out(problem, seconds=0, keep=keep).value
