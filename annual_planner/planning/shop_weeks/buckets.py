"""The weeks as buckets: which visit begins in which week, by a solver, with a bound no plan can undercut."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from annual_planner.planning.crew.stopping import solve_interruptibly
from annual_planner.planning.shop_weeks.greedy import Choices
from annual_planner.planning.shop_weeks.visits import WeeksAsked, spread_days

if TYPE_CHECKING:
    from ortools.sat.python import cp_model

CENTS = 100
TENTHS = 10
"""Hours are counted in tenths."""


@dataclass(frozen=True, slots=True)
class Bucketed:
    """The week of each visit that has one, the least any plan can cost, and whether this is proven best."""

    weeks: dict[int, int]
    bound: float
    proven: bool


def solve_buckets(
    asked: WeeksAsked,
    choices: Choices,
    hint: dict[int, int],
    *,
    seconds: float,
    seed: int = 0,
    workers: int = 8,
    cancelled: Callable[[], bool] | None = None,
) -> Bucketed:
    """Choose the weeks within a time; the hint's plan is where it begins. The solver is imported here."""
    from ortools.sat.python import cp_model

    model = cp_model.CpModel()
    begins = {
        (key, week): model.new_bool_var(f"{key}@{week}") for key, prices in choices.items() for week in prices
    }
    nowhere = {key: model.new_bool_var(f"{key} nowhere") for key in choices}
    for key, prices in choices.items():
        model.add_exactly_one([*(begins[key, week] for week in prices), nowhere[key]])
    crowded = _weeks_hold(model, asked, begins)
    model.minimize(_cost(asked, choices, begins, nowhere) + sum(crowded))
    for (key, week), variable in begins.items():
        model.add_hint(variable, hint.get(key) == week)
    solver = cp_model.CpSolver()
    solver.parameters.max_time_in_seconds = seconds
    solver.parameters.random_seed = seed
    solver.parameters.num_workers = workers
    solver.parameters.relative_gap_limit = 0.002
    status = solve_interruptibly(solver, model, _Stop(cancelled))
    if status not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        return Bucketed(dict(hint), 0.0, False)
    weeks = {key: week for (key, week), variable in begins.items() if solver.boolean_value(variable)}
    bound = max(solver.best_objective_bound, 0.0) / CENTS
    return Bucketed(weeks, bound, status == cp_model.OPTIMAL)


def _weeks_hold(
    model: cp_model.CpModel, asked: WeeksAsked, begins: dict[tuple[int, int], cp_model.IntVar]
) -> list[Any]:
    """Each week holds its bays' days and its people's hours; what is beyond its level share costs."""
    visits = {visit.key: visit for visit in asked.visits}
    on_week: list[list[tuple[cp_model.IntVar, int, int]]] = [[] for _ in asked.weeks]
    for (key, start), variable in begins.items():
        for number, days in spread_days(asked, visits[key], start):
            hours = round(float(visits[key].hours) * TENTHS * days / visits[key].bay_days)
            on_week[number].append((variable, days, hours))
    crowded = []
    for week, terms in zip(asked.weeks, on_week, strict=True):
        if not terms:
            continue
        pinned_days = _pinned(asked, week.monday)
        model.add(
            sum(days * variable for variable, days, _ in terms)
            <= max(len(week.open_days) * len(asked.bays), pinned_days)
        )
        room = max(round(float(asked.room_hours(week)) * TENTHS), _pinned_hours(asked, week.monday))
        load = sum(hours * variable for variable, _, hours in terms)
        model.add(load <= room)
        crowded += _beyond(model, asked, float(week.hours), load, room)
    return crowded


def _pinned(asked: WeeksAsked, monday: object) -> int:
    """Days of what a person pinned to a week: they decided, so it fits."""
    return sum(visit.bay_days for visit in asked.visits if visit.pinned_on == monday)


def _pinned_hours(asked: WeeksAsked, monday: object) -> int:
    return sum(round(float(visit.hours) * TENTHS) for visit in asked.visits if visit.pinned_on == monday)


def _beyond(model: cp_model.CpModel, asked: WeeksAsked, hours: float, load: Any, room: int) -> list[Any]:
    prices = asked.prices
    steps = ((prices.level, prices.full_hour), (prices.crowded, prices.crowded_hour))
    terms = []
    for share, price in steps:
        over = model.new_int_var(0, max(room, 0), "")
        model.add(over >= load - round(float(share) * hours * TENTHS))
        terms.append(over * round(float(price) * CENTS / TENTHS))
    return terms


def _cost(
    asked: WeeksAsked,
    choices: Choices,
    begins: dict[tuple[int, int], cp_model.IntVar],
    nowhere: dict[int, cp_model.IntVar],
) -> Any:
    placed = sum(round(choices[key][week] * CENTS) * variable for (key, week), variable in begins.items())
    left_out = round(float(asked.prices.no_place) * CENTS)
    return placed + left_out * sum(nowhere.values())


def _Stop(cancelled: Callable[[], bool] | None) -> Any:  # noqa: N802 - it makes a class that needs the solver
    from ortools.sat.python import cp_model

    class Stop(cp_model.CpSolverSolutionCallback):
        """Stops at the next better plan after a cancel."""

        def on_solution_callback(self) -> None:
            if cancelled is not None and cancelled():
                self.stop_search()

    return Stop()
