"""Laying out the work: a plan by rules at once, then better ones from the solver, goal by goal."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import replace
from math import ceil
from threading import Event, Thread
from time import monotonic
from typing import TYPE_CHECKING, Any

from annual_planner.planning.crew.aims import Aims
from annual_planner.planning.crew.clash import ONE_LOOK_S, impossible, not_possible
from annual_planner.planning.crew.free_hands import hand_worth, with_free_hands
from annual_planner.planning.crew.greedy import Search
from annual_planner.planning.crew.keeping import closed_up, kept_plan
from annual_planner.planning.crew.laid_out import LaidOut, laid_out
from annual_planner.planning.crew.laying import Plan
from annual_planner.planning.crew.model import Model, seen_by
from annual_planner.planning.crew.objective import CHANGES, WAITING, Goal, goals
from annual_planner.planning.crew.prepared import Prepared
from annual_planner.planning.crew.problem import Problem
from annual_planner.planning.crew.said import worked_plan
from annual_planner.planning.crew.stopping import solve_interruptibly, stopping
from annual_planner.trade.refused import Refused
from annual_planner.trade.working import Worked

if TYPE_CHECKING:
    from ortools.sat.python.cp_model import CpSolver

BY_RULES_S = 0.4
"""Seconds for the first plan, which the solver begins with."""

WORKERS = 8
"""Strategies searched side by side; more than there are cores, for each closes gaps the others leave."""

SHARES = {0: 1.0, 1: 0.7, 2: 0.5}
"""Share of the time left that a goal may take, by the number of goals behind it."""

TURNS = ((0.1, False), (0.7, True), (0.2, False))
"""Turns of the search for an early finish.

Share of its time, and whether orders are crossed beside the solver.
"""

CROSSED_FROM = 45
"""Jobs from which on crossing orders finds better plans sooner than the solver does alone."""

CLASH_S = 5.0
"""Seconds at least for finding out which rules clash, where nothing fits."""

LATER_STEPS = 64
"""Open steps (two days) by which a plan with fewer moves may end later than the one by rules."""

Better = Callable[[LaidOut], None]


def lay_out(
    problem: Problem,
    *,
    seconds: float = 10.0,
    seed: int = 0,
    workers: int = WORKERS,
    aims: Aims | None = None,
    hint: LaidOut | None = None,
    keep: LaidOut | None = None,
    on_better: Better | None = None,
    cancelled: Callable[[], bool] | None = None,
    effort: float | None = None,
) -> Worked[LaidOut]:
    """The best plan found in some seconds, with its working.

    `seconds` 0: the plan by rules; the solver only says whether nothing fits, where they find none.
    `hint`: a plan to begin with. `keep`: the plan so far; a job that leaves its half-day or its people
    counts against the new plan, and `moved` lists them.
    `on_better` is called with each better plan, at first with the one by rules. `cancelled` is asked every
    few hundredths of a second; then the best plan so far comes back. `effort`: a limit in the solver's own
    measure instead of seconds; with one worker and the same seed the same plan comes again.
    Refused when nothing fits (`Impossible`, with the rules that clash), or nothing was found in time.
    """
    search = _Search(problem, seconds, seed, workers, aims or Aims(), keep, on_better, cancelled, effort)
    best = search.run(hint)
    return worked_plan(problem, best, search.stopped())


class _Search:
    """One search: what it was given and the best plan so far."""

    def __init__(
        self,
        problem: Problem,
        seconds: float,
        seed: int,
        workers: int,
        aims: Aims,
        keep: LaidOut | None,
        on_better: Better | None,
        cancelled: Callable[[], bool] | None,
        effort: float | None,
    ) -> None:
        self.began = monotonic()
        self.problem, self.seconds, self.seed, self.workers = problem, seconds, seed, workers
        self.aims, self.keep, self.effort = aims, keep, effort
        self.on_better, self.stopped = on_better, cancelled or (lambda: False)
        self.ready = Prepared(problem)
        self.plan: Plan | None = None
        self.best: LaidOut | None = None

    def run(self, hint: LaidOut | None) -> LaidOut:
        """The best plan in the time there is."""
        if all(self.ready.ways):
            for plan in self._plans_by_rules(hint):
                self._take_first(plan)
        if self.best and (self.seconds <= 0 or self.stopped() or not self.problem.jobs):
            self._take_free_hands()
            return self.best
        if all(self.ready.ways):
            self._solve()
            self._take_free_hands()
        if self.best is None:
            raise self._nothing_found()
        if self.best.searched and self.keep is None:
            self._close_up(self.best)
        return replace(self.best, seconds=monotonic() - self.began)

    def _take_free_hands(self) -> None:
        """Give work to hands that cost nothing, where no goal that counts for more gets worse."""
        if self.plan is None or self.best is None or not self.aims.few_changes or self.stopped():
            return

        def worth(plan: Plan) -> tuple[int, ...]:
            return *self._worth(laid_out(self.ready, plan, self.keep)), *hand_worth(self.ready, plan)

        plan = with_free_hands(self.ready, self.plan, worth)
        if plan is not self.plan:
            self.plan, before = plan, self.best
            settled = tuple(name for name in before.settled if name not in (CHANGES, WAITING))
            laid = replace(laid_out(self.ready, plan, self.keep), bound=before.bound, proven=before.proven)
            self._publish(replace(laid, settled=settled, searched=before.searched))

    def _close_up(self, best: LaidOut) -> None:
        """Take out gaps that nothing calls for; the hands stay, so that cost and changes stay too."""
        plan = closed_up(self.ready, best)
        if plan is None:
            return
        laid = laid_out(self.ready, plan, None)
        hands = {place.job: place.people for place in best.places}
        same = all(hands[place.job] == place.people for place in laid.places)
        if same and self._worth(laid) <= self._worth(best):
            self.best = replace(
                laid, bound=best.bound, settled=best.settled, proven=best.proven, searched=True
            )

    def _plans_by_rules(self, hint: LaidOut | None) -> Iterator[Plan | None]:
        for given in (hint, self.keep):
            if given is not None:
                yield kept_plan(self.ready, given)
        share = BY_RULES_S if self.seconds <= 0 else min(BY_RULES_S, self.seconds / 10)
        tries = 60 if self.effort is None else 20
        long = 0.0 if self.effort is not None else share
        self.orders = Search(self.ready, self.seed)
        yield self.orders.run(long, tries, 0, self.stopped)

    def _take_first(self, plan: Plan | None) -> None:
        if plan is None:
            return
        laid = laid_out(self.ready, plan, self.keep)
        if self.best is None or self._worth(laid) < self._worth(self.best):
            self.plan = plan
            self._publish(laid)

    def _worth(self, laid: LaidOut) -> tuple[int, int]:
        late = sum(p.weight * laid.late_steps[p.name] for p in self.problem.promises if p.jobs)
        finish = self.ready.common.steps_by(laid.finish)
        return late, finish + self.aims.moved_weight * len(laid.moved)

    def _publish(self, laid: LaidOut) -> None:
        self.best = replace(laid, seconds=monotonic() - self.began)
        if self.on_better is not None:
            self.on_better(self.best)

    def _solve(self) -> None:
        """Goal after goal; what was reached is held while the next is sought."""
        model = Model(self.ready, self._horizon())
        stages = list(goals(model, self.aims, self.keep))
        for number, goal in enumerate(stages):
            if self._left() <= 0.02 or self.stopped():
                break
            if goal.name == CHANGES:
                self._take_free_hands()
            behind = len(stages) - number - 1
            if not self._stage(model, goal, behind) and not self._once_more(model, goal, behind):
                break

    def _horizon(self) -> int:
        """No plan worth having ends later than the one by rules, unless dates, moves or cost weigh more.

        With cost weighed in it may take twice as long: with more room the solver finds nothing in time.
        """
        if self.plan is None:
            return self.ready.common.steps
        finish = max((laid.ends for laid in self.plan.values()), default=0)
        free = any(p.jobs for p in self.problem.promises)
        later = LATER_STEPS if self.keep is not None else 0
        later = max(later, finish) if self.aims.cost_weight else later
        return self.ready.common.steps if free else min(self.ready.common.steps, finish + later)

    def _left(self) -> float:
        return self.began + self.seconds - monotonic()

    def _stage(self, model: Model, goal: Goal, behind: int) -> bool:
        """Seek one goal. Whether there is a plan to go on with."""
        model.cp.minimize(goal.amount)
        share = SHARES.get(behind, 0.7) * self._left()
        reached: float | None = None
        turns, ends_at = self._turns(goal, share), monotonic() + share
        for number, (seconds, with_orders) in enumerate(turns, 1):
            # a turn may end before its time: the last has all that is left
            part = seconds if number < len(turns) else ends_at - monotonic()
            said, solver = self._turn(model, min(part, self._left()), with_orders)
            if said == "INFEASIBLE" and self.plan is None:
                raise self._nothing_fits()
            if said not in ("OPTIMAL", "FEASIBLE"):
                continue  # nothing yet: the next turn goes on from the plan there is
            self._note(solver, goal, proven=said == "OPTIMAL")
            reached = self._amount(solver, goal)
            model.cp.add(goal.amount <= round(reached))  # held by what comes after, and by the next turn
            if said == "OPTIMAL" or self.stopped():
                break
            model.cp.add(goal.amount >= _whole(solver.best_objective_bound))
        return reached is not None  # what was not reached can't be held; later goals would give it up

    def _once_more(self, model: Model, goal: Goal, behind: int) -> bool:
        """On a busy machine the share of one goal may be too short to begin in: give it all the time left."""
        return bool(behind) and self.effort is None and self._left() > 0.1 and self._stage(model, goal, 0)

    def _amount(self, solver: CpSolver, goal: Goal) -> float:
        """What was reached of a goal; a plan from crossing orders may have come after the solver's."""
        if goal.is_finish and self.plan is not None:
            return min(solver.objective_value, _finish_of(self.plan))
        return solver.objective_value

    def _turns(self, goal: Goal, seconds: float) -> list[tuple[float, bool]]:
        """Seconds of each turn, and whether orders of jobs are crossed beside the solver.

        What the solver proves at once is done; on what is hard, crossing orders finds better plans sooner,
        and the solver then goes on from those.
        """
        if self.effort is not None or self.keep is not None or self.plan is None:
            return [(seconds, False)]
        if not goal.is_finish or len(self.ready.jobs) < CROSSED_FROM:
            return [(seconds, False)]
        return [(seconds * part, beside) for part, beside in TURNS]

    def _turn(self, model: Model, seconds: float, with_orders: bool) -> tuple[str, CpSolver]:
        if self.plan is not None:
            model.variables.hint(self.plan)
        solver = self._solver(seconds, self.workers - 1 if with_orders else self.workers)
        if with_orders:
            solver.parameters.interleave_search = solver.parameters.num_workers == 1  # all strategies in turn
        with stopping(solver.stop_search, self.stopped), self._orders_beside(seconds, with_orders):
            status = solve_interruptibly(solver, model.cp, _callback(self, model))
        said = str(solver.status_name(status))
        if said in ("OPTIMAL", "FEASIBLE"):
            self.plan = model.plan(seen_by(solver))
            self._take_from_orders()
        return said, solver

    @contextmanager
    def _orders_beside(self, seconds: float, wanted: bool) -> Iterator[None]:
        """Cross orders of jobs in a thread of their own for as long as the solver runs."""
        over = Event()
        if wanted and self.plan is not None:
            self.orders.take(self.plan)
            arguments = (seconds, 0, lambda: over.is_set() or self.stopped())
            thread = Thread(target=self.orders.go_on, args=arguments, daemon=True)
            thread.start()
        try:
            yield
        finally:
            over.set()
            if wanted and self.plan is not None:
                thread.join()

    def _take_from_orders(self) -> None:
        best = self.orders.best
        finish_alone = self.keep is None and not self.aims.cost_weight
        if (
            best is None
            or self.plan is None
            or any(p.jobs for p in self.problem.promises)
            or not finish_alone
        ):
            return  # crossing looks at the finish alone: not at moves, cost or promises for some jobs
        if best.worth[0] < _finish_of(self.plan):
            self.seen(best.plan)

    def _note(self, solver: CpSolver, goal: Goal, proven: bool) -> None:
        assert self.plan is not None
        before = self.best
        laid = laid_out(self.ready, self.plan, self.keep)
        bound = before.bound if before else None
        if goal.is_finish:
            bound = laid.finish if proven else self.ready.common.until(_whole(solver.best_objective_bound))
        settled = (before.settled if before else ()) + ((goal.name,) if proven else ())
        sure = (before.proven if before else False) or (proven and goal.is_finish)
        self.best = replace(laid, bound=bound, settled=settled, proven=sure, searched=True)

    def _solver(self, seconds: float, workers: int) -> CpSolver:
        from ortools.sat.python import cp_model

        solver = cp_model.CpSolver()
        solver.parameters.num_workers = max(workers, 1)
        solver.parameters.random_seed = self.seed
        solver.parameters.max_time_in_seconds = max(seconds, 0.01)
        solver.parameters.use_overload_checker_in_cumulative = True
        if self.effort is not None:
            solver.parameters.max_time_in_seconds = 1e9
            solver.parameters.max_deterministic_time = self.effort
        return solver

    def seen(self, plan: Plan) -> None:
        """A better plan came from the solver."""
        self.plan = plan
        laid = laid_out(self.ready, plan, self.keep)
        if self.best is not None:
            laid = replace(laid, bound=self.best.bound, settled=self.best.settled, proven=self.best.proven)
        self._publish(replace(laid, searched=True))

    def _nothing_found(self) -> Refused:
        if not all(self.ready.ways):
            return self._nothing_fits()
        if self.seconds <= 0 and not self.stopped():
            if not_possible(self.problem, monotonic() + ONE_LOOK_S):
                return self._nothing_fits()
            return Refused(
                f"No plan for these {len(self.problem.jobs)} jobs was found by rules alone.",
                "Search for one: give it some seconds.",
            )
        return Refused(
            f"No plan for these {len(self.problem.jobs)} jobs was found in {self.seconds:g} s.",
            "Give it more time, a longer calendar, or fewer rules.",
        )

    def _nothing_fits(self) -> Refused:
        return impossible(self.problem, seconds=max(CLASH_S, self.seconds))


def _finish_of(plan: Plan) -> int:
    return max((laid.ends for laid in plan.values()), default=0)


def _whole(bound: float) -> int:
    """The solver's bound as a number of steps: the next whole number, and none below 0."""
    return max(0, ceil(bound - 1e-6))


def _callback(search: _Search, model: Model) -> Any:
    from ortools.sat.python import cp_model

    class Callback(cp_model.CpSolverSolutionCallback):
        def on_solution_callback(self) -> None:
            search.seen(model.plan(seen_by(self)))

    return Callback()
