"""Faults are found before any search, all at once, each naming what is involved."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import pytest

from annual_planner.planning.crew.open_time import Calendar, Span
from annual_planner.planning.crew.problem import (
    After,
    FaultyProblem,
    Job,
    Pauses,
    Person,
    Pinned,
    Problem,
    Room,
    Seat,
    Tool,
    inspection,
)
from annual_planner.planning.crew.solve import lay_out
from tests.planning.crew.annuals import MECHANIC, at, people, shop_weeks

SHOP = shop_weeks(1)
ADA = Person("lead", "Ada", MECHANIC)


def faults_of(*jobs: Job, who: tuple[Person, ...] = (ADA,), shop: Calendar = SHOP) -> tuple[str, ...]:
    rooms, tools = (Room("nose", "nose section", 1),), (Tool("jack", "left jack", 1),)
    with pytest.raises(FaultyProblem) as refused:
        Problem(shop, who, jobs, rooms, tools)
    return refused.value.faults


def test_a_loop_names_its_jobs() -> None:
    one, two = Job("a", "first", 2, after=(After("b"),)), Job("b", "second", 2, after=(After("a"),))
    (line,) = faults_of(one, two, Job("c", "third", 1, after=(After("b"),)))
    assert "'first'" in line
    assert "'second'" in line
    assert "'third'" not in line


@pytest.mark.parametrize(
    ("job", "words"),
    [
        (Job("a", "weld", 2, seats=(Seat(frozenset({"welder"})),)), "nobody may do it"),
        (Job("a", "weld", 2, seats=(Seat(), Seat()),), "more people at once"),
        (Job("a", "weld", -1), "below 0"),
        (Job("a", "weld", 4, low=5), "low over likely to high"),
        (Job("a", "weld", 10**6), "more than a year"),
        (Job("a", "weld", 2, arrives="the rod comes"), "no date"),
        (Job("a", "weld", 2, room="attic"), "attic"),
        (Job("a", "weld", 2, tools=(("jack", 2),)), "there are 1"),
        (Job("a", "weld", 20, pauses=Pauses.NONE), "without a pause"),
        (Job("a", "weld", 2, outside_min=60), "outside"),
        (Job("a", "weld", 2, cures_min=-5), "below 0"),
        (Job("a", "weld", 2, after=(After("b", least_min=60, most_min=30),)), "under its least"),
        (Job("a", "weld", 2, pinned=Pinned(people=("nobody",))), "not given"),
        (Job("a", "weld", 2, not_before=at("2026-05-06"), not_after=at("2026-05-05")), "at the earliest"),
    ],
)  # fmt: skip
def test_a_fault_of_a_job_is_one_line_that_names_it(job: Job, words: str) -> None:
    (line,) = faults_of(job)
    assert "weld" in line
    assert words in line


def test_faults_of_people_and_calendar_name_them() -> None:
    job = Job("a", "wash", 1)
    assert faults_of(job, who=(replace(ADA, hours=Calendar(())),)) == ("Ada has no hours.",)
    gone = replace(ADA, away=(Span(at("2026-05-01"), at("2026-06-01")),), cost_per_hour=Decimal(-1))
    assert len(faults_of(job, who=(gone,))) == 2
    assert faults_of(job, shop=Calendar(())) == ("The shop's calendar has no open day.",)


def test_all_faults_come_at_once() -> None:
    assert len(faults_of(Job("a", "one", -1), Job("b", "two", 2, room="attic"))) == 2


def test_an_inspection_follows_its_job_by_other_hands() -> None:
    job = Job("a", "fit the hose", 4, seats=(Seat(MECHANIC),))
    look = inspection(job, Seat(MECHANIC), steps=1, within_min=60)
    problem = Problem(SHOP, people(1, owner=False), (job, look))
    plan = lay_out(problem, seconds=0).value
    first, then = plan.place("a"), plan.place("a:inspection")
    assert then.starts >= first.ends
    assert set(first.people).isdisjoint(then.people)
