"""Invented annuals for tests.

People, zones, tools and jobs by chance, from a handful to a hundred and more.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import date, datetime, time, timedelta
from random import Random

from annual_planner.planning.crew.aims import Aims
from annual_planner.planning.crew.open_time import Calendar, Span, weekly
from annual_planner.planning.crew.problem import After, Job, Pauses, Person, Problem, Room, Seat, Tool

MONDAY = date(2026, 5, 4)
DAY = [(time(8), time(12)), (time(13), time(17))]
MECHANIC, INSPECTOR, OWNER = frozenset({"mechanic"}), frozenset({"inspector"}), frozenset({"owner"})
at = datetime.fromisoformat
MORE = {"lead": MECHANIC | INSPECTOR, "second": MECHANIC, "third": MECHANIC, "owner": OWNER}


def shop_weeks(weeks: int) -> Calendar:
    """Monday to Friday, eight to noon and one to five."""
    return weekly(MONDAY, MONDAY + timedelta(days=7 * weeks - 1), dict.fromkeys(range(5), DAY))


def saturdays(weeks: int) -> Calendar:
    """Saturdays only."""
    return weekly(MONDAY, MONDAY + timedelta(days=7 * weeks - 1), {5: DAY})


def people(weeks: int, owner: bool, away: Sequence[Span] = ()) -> tuple[Person, ...]:
    """Three mechanics, one of whom inspects, and perhaps an owner who comes on Saturdays."""
    three = (
        Person("lead", "Ada Lindqvist", MORE["lead"], away=tuple(away)),
        Person("second", "Bo Marten", MORE["second"]),
        Person("third", "Cy Novak", MORE["third"]),
    )
    return (*three, Person("owner", "Di Okafor", OWNER, hours=saturdays(weeks))) if owner else three


def annual(number: int, jobs: int, weeks: int = 6, owner: bool = True, with_clock: bool = True) -> Problem:
    """An annual by chance: the same number gives the same annual."""
    chance = Random(number)
    rooms = tuple(
        Room(key, key, chance.choice((1, 2, 2, 3))) for key in ("nose", "cabin", "left", "right", "tail")
    )
    tools = (Tool("jack", "left jack", 1), Tool("borescope", "borescope", 1), Tool("stand", "stand", 2))
    away = [Span(at("2026-05-12"), at("2026-05-14"))] if chance.random() < 0.4 else []
    made = tuple(_job(n, jobs, chance, owner, with_clock) for n in range(jobs))
    return Problem(shop_weeks(weeks), people(weeks, owner, away), made, rooms, tools)


def with_gates(problem: Problem, number: int) -> Problem:
    """The same annual with points that work passes, some before others, each between some of its jobs."""
    chance, jobs = Random(number), list(problem.jobs)
    gates: list[Job] = []
    for place in sorted(chance.sample(range(1, len(jobs)), min(3, len(jobs) - 1))):
        key = f"gate {len(gates)}"
        before = [After(jobs[n].key) for n in chance.sample(range(place), min(place, 4))]
        earlier = [After(each.key) for each in gates if chance.random() < 0.5]
        gates.append(Job(key, key, 0, seats=(), after=(*before, *earlier)))
        for n in range(place, len(jobs)):
            if n == len(jobs) - 1 or chance.random() < 0.5:
                jobs[n] = replace(jobs[n], after=(*jobs[n].after, After(key, why="it is passed")))
    return replace(problem, jobs=(*gates, *jobs))


def _job(n: int, jobs: int, chance: Random, owner: bool, with_clock: bool) -> Job:
    likely = chance.choice((1, 2, 2, 3, 4, 4, 6, 8, 12))
    seats = _seats(chance, owner)
    befores = sorted(chance.sample(range(n), min(n, chance.choice((0, 1, 1, 2)))))
    after = [After(f"job {b}") for b in befores if b > n - 15]
    extra = chance.random() if with_clock else 1.0
    if extra < 0.04 and after:
        after[0] = After(after[0].job, least_min=chance.choice((60, 720, 1440)), why="it sets")
    hot = 0.04 < extra < 0.07 and n > 0
    return Job(
        key=f"job {n}",
        title=f"job number {n}",
        likely=likely,
        low=max(1, likely // 2),
        high=likely * 2,
        seats=seats,
        room=chance.choice(("nose", "cabin", "left", "right", "tail", None)) if len(seats) == 1 else None,
        tools=((chance.choice(("jack", "borescope", "stand")), 1),) if chance.random() < 0.25 else (),
        after=(After(f"job {n - 1}", most_min=chance.choice((60, 1440))),) if hot else tuple(after),
        pauses=chance.choice((Pauses.ANY, Pauses.ANY, Pauses.BREAKS, Pauses.NONE)),
        not_before=at("2026-05-06T10:00") if chance.random() < 0.05 else None,
        cures_min=720 if 0.07 < extra < 0.1 else 0,
        other_hands_than=(f"job {n - 1}",)
        if n and chance.random() < 0.03 and seats == (Seat(MECHANIC),)
        else (),
    )


def _seats(chance: Random, owner: bool) -> tuple[Seat, ...]:
    kind = chance.random()
    if kind < 0.62:
        return (Seat(MECHANIC),)
    if kind < 0.75:
        return (Seat(INSPECTOR),)
    if kind < 0.85:
        return (Seat(MECHANIC), Seat(MECHANIC))
    if kind < 0.92 and owner:
        return (Seat(OWNER),)
    if kind < 0.97 and owner:
        return (Seat(people=frozenset({"owner", "second", "third"})),)
    return ()


FINISH_ONLY = Aims(few_changes=False, little_waiting=False)
"""As early as can be, whatever else that costs: what other aims are held against."""
