"""The same instances through a general-purpose scheduling library over the same solver, to compare with."""

from __future__ import annotations

from itertools import combinations
from typing import Any

from tests.benchmarks.instance_files import Activity, Instance

MOST_TEAMS = 20_000


def library_finish(instance: Instance, seconds: float, workers: int) -> int | None:
    """Finish that the library finds in some seconds.

    None when it finds none or can't be given the instance.
    """
    from pyjobshop import Model

    model = Model()
    tasks = [model.add_task(name=str(n)) for n in range(1, len(instance.activities) + 1)]
    limits = [model.add_renewable(limit) for limit in instance.limits]
    people = [model.add_machine(name=str(n)) for n in range(len(instance.mastery))]
    for task, activity in zip(tasks, instance.activities, strict=True):
        if people:
            for team in _teams(activity, instance):
                model.add_mode(task, [people[p] for p in team], activity.duration)
        else:
            _add_mode(model, task, activity, limits)
        for then in activity.after_it:
            model.add_end_before_start(task, tasks[then - 1])
    result = model.solve(solver="ortools", time_limit=seconds, num_workers=workers, display=False)
    return round(result.objective) if result.best.tasks else None


def _add_mode(model: Any, task: Any, activity: Activity, limits: list[Any]) -> None:
    used = [(limit, amount) for limit, amount in zip(limits, activity.amounts, strict=True) if amount]
    model.add_mode(task, [limit for limit, _ in used], activity.duration, [amount for _, amount in used])


def _teams(activity: Activity, instance: Instance) -> list[tuple[int, ...]]:
    """Every team that can fill the seats of an activity.

    The library has no seats, but ways to choose from.
    """
    seats = [skill for skill, amount in enumerate(activity.amounts) for _ in range(amount)]
    able = [p for p, skills in enumerate(instance.mastery) if any(skills[skill] for skill in seats)]
    teams = [team for team in combinations(able, len(seats)) if _fills(team, seats, instance)]
    assert len(teams) <= MOST_TEAMS, f"{len(teams)} teams for one activity"
    return teams


def _fills(team: tuple[int, ...], seats: list[int], instance: Instance) -> bool:
    """Whether each seat can have one of the team (by asking those who sit to move on)."""
    holder: dict[int, int] = {}

    def sit(seat: int, asked: set[int]) -> bool:
        for person in team:
            if instance.mastery[person][seats[seat]] and person not in asked:
                asked.add(person)
                if person not in holder or sit(holder[person], asked):
                    holder[person] = seat
                    return True
        return False

    return all(sit(seat, set()) for seat in range(len(seats)))
