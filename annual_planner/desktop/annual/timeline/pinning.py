"""Holding a card at a moment by hand: tried first, with what it costs, then kept or put back."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import datetime
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject

from annual_planner.desktop.annual.timeline.seen import Plan, plan_seen
from annual_planner.desktop.annual.timeline.words import cost_said
from annual_planner.planning.card_jobs import Asked
from annual_planner.planning.crew.laid_out import LaidOut, Moved
from annual_planner.planning.crew.open_time import said_moment
from annual_planner.planning.crew.problem import Pinned, Problem
from annual_planner.planning.timeline import Bar
from annual_planner.planning.work_plan import KeepPlan, PinCard, PinInPlan, UnpinCard

if TYPE_CHECKING:
    from annual_planner.desktop.annual.timeline.tab import Timeline


@dataclass(frozen=True, slots=True)
class Trial:
    """A card at another moment: the plan before, and the one laid out around it (None: on its way)."""

    bar: Bar
    moment: datetime
    before: Plan
    after: Plan | None = None

    @property
    def others(self) -> tuple[Moved, ...]:
        """The other cards that move for it."""
        moved = self.after.laid.moved if self.after is not None else ()
        return tuple(each for each in moved if each.job != self.bar.job)


class Pinning(QObject):
    """One move at a time is tried; nothing is written until it is kept."""

    def __init__(self, tab: Timeline) -> None:
        super().__init__(tab)
        self.tab = tab
        self.trial: Trial | None = None
        tab.drawing.placed.connect(self.try_at)
        tab.drawing.released.connect(self.release)
        tab.drawing.agreed.connect(self.agree)
        tab.drawing.put_back.connect(self.put_back)
        tab.asking.kept.connect(self.keep)
        tab.asking.put_back.connect(self.put_back)

    @property
    def asks(self) -> bool:
        """A move was tried and waits for an answer."""
        return self.trial is not None and self.trial.after is not None

    def try_here(self) -> None:
        """Ask what it costs to hold the chosen card where it stands, or where it was moved to."""
        drawing = self.tab.drawing
        if drawing.bar is not None:
            self.try_at(drawing.chosen, drawing.moved_to or drawing.bar.starts)

    def try_at(self, job: str, moment: datetime) -> None:
        """Work out what a card at that moment costs, show it, and ask."""
        tab, before = self.tab, self.trial.before if self.trial is not None else self.tab.plan
        bar = next((each for each in before.bars if each.job == job), None) if before is not None else None
        if not tab.desk.who.person.may_edit:
            self._refuse("Owners look at the plan and move nothing in it.", "Ask the shop to move it.")
        elif tab.replanning.running:
            self._refuse("A search is on its way.", "Wait for it, or stop it, then move the card.")
        elif tab.seen is None or tab.seen.asked is None or before is None or bar is None:
            self._refuse("This can't be moved.", "Lay the work out anew first.")
        elif bar.card_id is None:
            self._refuse("An inspection follows its card.", "Move the card it looks at.")
        else:
            self._try(Trial(bar, moment, before), tab.seen.asked, tab.seen.names)

    def _refuse(self, said: str, remedy: str) -> None:
        self.tab.drawing.forget_move()
        self.tab.page.strip.say(said, remedy)

    def _try(self, trial: Trial, asked: Asked, names: dict[str, str]) -> None:
        self.trial, laid = trial, trial.before.laid
        held = replace(asked, problem=pinned(asked.problem, trial.bar.job, trial.moment))
        stays = trial.moment == trial.bar.starts
        self.tab.page.strip.put_away()
        self.tab.desk.jobs.long(
            lambda _progress: plan_seen(
                replace(laid, moved=()) if stays else by_rules(held.problem, laid), names, held
            ),
            self,
            lambda after: self._ask(replace(trial, after=after)),
            lambda error: self._fits_nowhere(trial, error),
            topic="pin",
            says="Trying the move",
        )

    def _ask(self, trial: Trial) -> None:
        tab = self.tab
        if self.trial is None or trial.after is None:
            return  # put back meanwhile
        self.trial = trial
        before, after, moves = trial.before.laid, trial.after.laid, trial.others
        tab.asking.ask(cost_said(trial.bar.title, said_moment(trial.moment), before, after, len(moves)))
        tab.show_plan(trial.after)
        tab.lists.take_moves(moves)
        tab.offers.emit()

    def _fits_nowhere(self, trial: Trial, error: Exception) -> None:
        if self.trial is trial:
            self.put_back()
            self.tab.page.failed(error)

    def agree(self) -> None:
        """Keep what is tried; with nothing tried, try the chosen card where it stands."""
        if self.tab.drawing.moved_to is not None or self.trial is None:
            self.try_here()
        elif self.asks:
            self.keep()

    def keep(self) -> None:
        """Hold the card there and keep the plan laid out around it; Undo takes both back."""
        trial, tab = self.trial, self.tab
        if trial is None or trial.after is None or trial.bar.card_id is None or tab.package_id is None:
            return
        pin = PinCard(trial.bar.card_id, trial.moment.astimezone())
        plan = KeepPlan(tab.package_id, trial.after.laid, datetime.now().astimezone())
        self.drop()
        tab.lists.take_moves(trial.others)
        tab.tell(f"{tab.asking.cost.text()} Kept; Undo takes it back.")
        tab.write(PinInPlan(pin, plan))

    def put_back(self) -> None:
        """Show the plan as it was; nothing was written."""
        trial = self.trial
        self.drop()
        if trial is not None and trial.after is not None:
            self.tab.show_plan(trial.before)
            self.tab.tell("Put back; the plan is as it was.")

    def drop(self) -> None:
        """Forget what is tried."""
        self.trial = None
        self.tab.asking.hide()
        self.tab.drawing.forget_move()
        self.tab.lists.take_moves(())
        self.tab.offers.emit()

    def release(self, _job: str = "") -> None:
        """Let the chosen card lie where the plan puts it."""
        bar = self.tab.drawing.bar
        if bar is not None and bar.card_id is not None:
            self.put_back()
            self.tab.tell(f"{bar.title} may move again when the work is laid out anew.")
            self.tab.write(UnpinCard(bar.card_id))


def pinned(problem: Problem, job: str, moment: datetime) -> Problem:
    """The problem with one job held at a moment."""
    jobs = tuple(
        replace(each, pinned=Pinned(moment, (), "fixed by hand")) if each.key == job else each
        for each in problem.jobs
    )
    return replace(problem, jobs=jobs)


def by_rules(problem: Problem, keep: LaidOut) -> LaidOut:
    """A plan by rules at once, with little moved. Refused when nothing fits."""
    from annual_planner.planning.crew.solve import lay_out

    return lay_out(problem, seconds=0, keep=keep).value
