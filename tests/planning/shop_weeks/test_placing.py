"""Visits in the shop's weeks, checked apart from the code that places them."""

from __future__ import annotations

from collections import Counter
from datetime import date, timedelta
from decimal import Decimal

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from annual_planner.planning.shop_weeks.placing import if_moved, place_visits, why_there
from annual_planner.planning.shop_weeks.visits import Days, Visit, WeeksAsked, WeeksPlan
from annual_planner.trade.refused import Refused
from tests.planning.shop_weeks.made import FIRST, many, visit, weeks

MAY_END = date(2026, 5, 31)


def asked(*visits: Visit, bays: int = 1, **given: object) -> WeeksAsked:
    names = tuple(f"bay {n}" for n in range(1, bays + 1))
    return WeeksAsked(weeks(26), visits, names, **given)  # type: ignore[arg-type]


def by_rule(question: WeeksAsked) -> WeeksPlan:
    return place_visits(question, seconds=0).value


def solved(question: WeeksAsked, seconds: float = 120) -> WeeksPlan:
    """The best plan; the search ends when it is proven, long before its time."""
    return place_visits(question, seconds=seconds, workers=1).value


def check(question: WeeksAsked, plan: WeeksPlan) -> None:
    """No bay holds two airplanes on a day; each stands on open days of its week, in a bay there is."""
    open_days = [day for week in question.weeks for day in week.open_days]
    stands: Counter[tuple[str, date]] = Counter()
    assert Counter(each.visit.key for each in plan.placed) == Counter(v.key for v in question.visits)
    for each in plan.placed:
        if each.week is None:
            continue
        assert each.first_on is not None
        assert each.last_on is not None
        assert each.bay in question.bays
        week = question.weeks[each.week]
        assert each.first_on in week.open_days
        days = [day for day in open_days if each.first_on <= day <= each.last_on]
        assert len(days) == each.visit.bay_days or each.last_on == open_days[-1]
        stands.update((each.bay, day) for day in days)
        assert each.visit.pinned_on in (None, week.monday)
        if each.visit.pinned_on is None:
            assert week.last_on >= each.visit.earliest_on
            assert not any(
                d.first_on <= day <= d.last_on for d in each.visit.blocked for day in week.open_days
            )
    assert not stands or max(stands.values()) == 1


def test_an_annual_waits_for_the_month_it_is_due_in() -> None:
    plan = solved(asked(visit(1, date(2026, 7, 31))))
    (placed,) = plan.placed
    assert placed.first_on is not None
    assert placed.first_on.month == 7
    assert plan.proven
    assert plan.cost == 0


def test_two_airplanes_of_one_week_take_turns_where_there_is_one_bay() -> None:
    question = asked(visit(1, FIRST), visit(2, FIRST, bay_days=2))
    plan = solved(question)
    check(question, plan)
    assert sorted(each.first_on for each in plan.placed) == [FIRST, FIRST + timedelta(days=3)]  # type: ignore[type-var]


def test_a_blocked_week_is_kept_and_a_wished_one_preferred() -> None:
    june = Days(date(2026, 6, 1), date(2026, 6, 30))
    wished = Days(date(2026, 5, 18), date(2026, 5, 22))
    (placed,) = solved(asked(visit(1, date(2026, 6, 30), blocked=(june,), wished=(wished,)))).placed
    assert placed.first_on is not None
    assert wished.first_on <= placed.first_on <= wished.last_on


def test_a_pinned_visit_stays_where_a_person_put_it() -> None:
    monday = date(2026, 5, 11)
    (placed,) = solved(asked(visit(1, date(2026, 9, 30), pinned_on=monday))).placed
    assert placed.first_on == monday


def test_room_is_left_for_findings() -> None:
    crowd = [visit(n, FIRST + timedelta(days=6), hours=Decimal(60), bay_days=2) for n in range(1, 5)]
    question = asked(*crowd, bays=4, kept_free=Decimal("0.5"))
    per_week = Counter(each.week for each in solved(question).placed)
    assert max(per_week.values()) == 1, "a week has 200 h, of which 100 h may be planned: one visit of 60 h"


def test_what_finds_no_week_is_said() -> None:
    always = Days(FIRST - timedelta(days=1000), FIRST + timedelta(days=1000))
    worked = place_visits(asked(visit(1, MAY_END, blocked=(always,))), seconds=0)
    assert worked.value.placed[0].week is None
    assert "0 of 1" in worked.working.result


def test_the_working_of_a_week_shows_what_the_weeks_around_it_would_cost() -> None:
    question = asked(visit(1, date(2026, 7, 31)))
    working = why_there(question, by_rule(question), 1).working
    assert any("gives up 1 of 12 months" in step.result for step in working.steps)


def test_a_move_says_who_else_must_move() -> None:
    question = asked(visit(1, FIRST, bay_days=5), visit(2, date(2026, 5, 30), bay_days=5))
    plan = solved(question)
    first = plan.of(1)
    assert first.week is not None
    moved = if_moved(question, plan, 2, question.weeks[first.week].monday).value
    assert moved.others == ("N01",)
    assert moved.dearer > 0
    check(question, plan)


@pytest.mark.parametrize(
    ("visits", "bays", "said"),
    [
        ((visit(1, FIRST, bay_days=0),), 1, "N01: 0 days"),
        ((visit(1, FIRST, hours=Decimal(-4)),), 1, "N01"),
        ((visit(1, FIRST, pinned_on=date(2026, 5, 5)),), 1, "pinned to 5 May 2026"),
        ((visit(1, FIRST), visit(1, FIRST)), 1, "twice"),
        ((visit(1, FIRST),), 0, "no bay"),
    ],
)
def test_what_can_not_be_asked_is_refused_by_name(visits: tuple[Visit, ...], bays: int, said: str) -> None:
    with pytest.raises(Refused, match=said):
        asked(*visits, bays=bays)


def test_a_shop_without_an_open_day_is_refused() -> None:
    with pytest.raises(Refused, match="no open day"):
        WeeksAsked(weeks(0), (), ("bay 1",))


@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(st.integers(0, 10_000), st.integers(1, 40), st.integers(1, 3))
def test_plans_by_rule_never_put_two_airplanes_in_one_place(seed: int, count: int, bays: int) -> None:
    question = many(count, bays=bays, seed=seed, span=20)
    check(question, by_rule(question))


@pytest.mark.parametrize("seed", range(3))
def test_the_solver_is_never_dearer_than_the_rule_and_never_below_its_bound(seed: int) -> None:
    question = many(40, bays=2, seed=seed, hours=120)
    ruled = by_rule(question)
    for seconds in (0.01, 1):
        found = solved(question, seconds)
        check(question, found)
        assert found.cost <= ruled.cost
        assert found.bound is not None
        assert found.bound <= found.cost + 0.01
