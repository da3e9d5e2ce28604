"""The kept plan as people look at it, and its lanes."""

from __future__ import annotations

import multiprocessing
from datetime import date, timedelta

import pytest

from annual_planner.planning.crew.child import Done
from annual_planner.planning.shop_weeks.child import WeeksChild
from annual_planner.planning.shop_weeks.kept import (
    GIVES_UP,
    IN_TIME,
    NO_PLACE,
    TOO_LATE,
    against,
    has_places,
    kept_plan,
    lines_alone,
    visit_lines,
)
from annual_planner.planning.shop_weeks.lanes import NO_BAY, lanes_alone, lanes_of
from annual_planner.planning.shop_weeks.placing import place_visits
from annual_planner.planning.shop_weeks.visits import Days, Visit, WeeksAsked
from annual_planner.store.shop_reads import PlannedVisit
from tests.planning.shop_weeks.made import FIRST, many, visit, weeks

JUNE = date(2026, 6, 15)


def asked(*visits: Visit, bays: int = 1) -> WeeksAsked:
    return WeeksAsked(weeks(26), visits, tuple(f"bay {n}" for n in range(1, bays + 1)))


def row(key: int, week_on: date, bay: str = "bay 1") -> PlannedVisit:
    return PlannedVisit(key, key, week_on, bay, 1, None, False, "", 1)


@pytest.mark.parametrize("seed", range(4))
def test_a_plan_that_was_kept_is_read_back_as_it_was(seed: int) -> None:
    question = many(60, bays=3, seed=seed)
    plan = place_visits(question, seconds=0).value
    rows = [
        row(each.visit.key, question.weeks[each.week].monday, each.bay)
        for each in plan.placed
        if each.week is not None
    ]
    again = kept_plan(question, rows)
    assert {each.visit.key: each for each in again.placed} == {each.visit.key: each for each in plan.placed}
    assert again.cost == pytest.approx(plan.cost)


def test_a_visit_keeps_its_bay_where_that_is_free_and_takes_another_where_not() -> None:
    question = asked(visit(1, JUNE, bay_days=5), visit(2, JUNE, bay_days=5), bays=2)
    plan = kept_plan(question, [row(1, FIRST, "bay 2"), row(2, FIRST, "bay 2")])
    assert {each.bay for each in plan.placed} == {"bay 1", "bay 2"}
    assert plan.of(1).bay == "bay 2"


def test_what_finds_no_bay_keeps_its_week_and_has_a_lane_of_its_own() -> None:
    question = asked(*(visit(key, JUNE, bay_days=5) for key in range(1, 5)))
    second = FIRST + timedelta(weeks=1)
    rows = [row(1, FIRST), row(2, FIRST), row(3, FIRST), row(4, second)]
    lines = visit_lines(question, kept_plan(question, rows), {})
    lanes = lanes_of(question, lines, FIRST)
    assert [line.standing for line in lines].count(NO_PLACE) == 2
    assert lanes.lanes == ("bay 1", NO_BAY, NO_BAY)
    assert {bar.lane for bar in lanes.bars if bar.first_on < second} == {0, 1, 2}


def test_the_standing_says_in_time_given_up_or_too_late() -> None:
    question = asked(visit(1, JUNE), visit(2, JUNE), visit(3, JUNE), visit(4, JUNE))
    rows = [row(1, date(2026, 6, 8)), row(2, FIRST), row(3, date(2026, 6, 22))]
    lines = {line.key: line for line in visit_lines(question, kept_plan(question, rows), {1: "Ada"})}
    assert [lines[key].standing for key in (1, 2, 3, 4)] == [IN_TIME, GIVES_UP, TOO_LATE, NO_PLACE]
    assert lines[2].months_up == 1
    assert lines[1].owner == "Ada"
    assert lines[4].week_on is None


def test_a_fleet_without_a_plan_has_no_place() -> None:
    question = asked(visit(1, JUNE))
    assert not has_places(kept_plan(question, []))
    assert has_places(kept_plan(question, [row(1, FIRST)]))


def test_a_place_that_cant_be_any_more_costs_as_much_as_none() -> None:
    blocked = visit(1, JUNE, blocked=(Days(FIRST, FIRST + timedelta(days=6)),))
    question = asked(blocked)
    plan = kept_plan(question, [row(1, FIRST)])
    assert plan.cost >= float(question.prices.no_place)
    (line,) = visit_lines(question, plan, {})
    assert (line.standing, line.why) == (NO_PLACE, "its owner can't spare it then")


def test_what_speaks_against_a_week_is_said_even_for_a_pinned_visit() -> None:
    day_off = Days(FIRST, FIRST + timedelta(days=6))
    one = visit(1, date(2026, 5, 31), blocked=(day_off,), pinned_on=FIRST)
    question = asked(one)
    assert "its owner can't spare it then" in against(question, one, FIRST)
    late = against(question, one, date(2026, 6, 8))
    assert late[0].startswith("its annual is due 31 May 2026: it may not fly in after that")


def test_the_axis_gives_a_weeks_open_days_its_width_and_finds_the_week_back() -> None:
    question = asked(visit(1, JUNE))
    lanes = lanes_of(question, visit_lines(question, kept_plan(question, []), {}), FIRST - timedelta(days=3))
    assert lanes.start_on == FIRST - timedelta(weeks=1)
    assert lanes.at(FIRST) == 1.0
    assert lanes.at(FIRST + timedelta(days=4), ends=True) == 2.0
    assert lanes.monday(1.5) == FIRST
    assert lanes.monday(0.5) is None
    assert lanes.count == 27


def test_the_load_of_a_week_counts_what_begins_in_it_and_what_stands_in_it() -> None:
    question = asked(visit(1, JUNE, bay_days=8), bays=2)
    lines = visit_lines(question, kept_plan(question, [row(1, FIRST)]), {})
    first, second = lanes_of(question, lines, FIRST).loads[:2]
    assert (first.begin, second.begin) == (1, 0)
    assert (first.bay_days, second.bay_days) == (5, 3)
    assert first.all_bay_days == 10
    assert first.hours + second.hours == pytest.approx(24)
    assert first.room_hours == pytest.approx(170)


def test_without_bays_the_kept_visits_stand_as_they_were_written() -> None:
    visits = (visit(1, JUNE), visit(2, JUNE), visit(3, JUNE))
    lines = lines_alone(visits, [row(1, FIRST, "bay 2"), row(2, date(2026, 6, 8), "bay 1")], {1: "Ada"})
    lanes = lanes_alone(lines, FIRST)
    assert [(line.key, line.week_on, line.owner) for line in lines] == [
        (1, FIRST, "Ada"),
        (2, date(2026, 6, 8), ""),
    ]
    assert [line.standing for line in lines] == [GIVES_UP, IN_TIME]
    assert lanes.lanes == ("bay 1", "bay 2")
    assert [bar.lane for bar in lanes.bars] == [1, 0]
    assert lanes.count == 6
    assert lanes.at(FIRST) == 0


def test_the_search_in_a_child_brings_the_plan_and_leaves_nothing_running() -> None:
    question = asked(visit(1, JUNE), visit(2, JUNE), bays=2)
    messages = []
    with WeeksChild(question, seconds=120, workers=1) as child:
        while not child.over:
            messages += child.messages(wait_s=30)
    (last,) = messages
    assert isinstance(last, Done)
    assert last.worked.value.proven
    assert multiprocessing.active_children() == []
