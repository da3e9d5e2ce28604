"""The question of the shop's weeks from a stored fleet, and a plan kept in it."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest

from annual_planner.planning.shop_weeks.placing import if_moved, place_visits
from annual_planner.planning.shop_weeks.stored import KeepWeeks, first_monday, weeks_from_fleet
from annual_planner.records.apply import apply
from annual_planner.store.fleet_reads import find_aircraft
from annual_planner.store.opening import open_fleet
from annual_planner.store.session import Fleet
from annual_planner.store.shop_reads import planned_visits
from annual_planner.store.writing import add
from annual_planner.trade.refused import Refused
from demo_fleet.loader import DEMO_TODAY
from tests.planning.fleet import TODAY, small_fleet


@pytest.fixture
def fleet(own_sample: Path) -> Fleet:
    return open_fleet(own_sample)


def test_planning_begins_on_a_monday() -> None:
    assert [first_monday(date(2026, 5, day)) for day in (3, 4, 5)] == [
        date(2026, 5, 4), date(2026, 5, 4), date(2026, 5, 11),
    ]  # fmt: skip


def test_every_airplane_of_the_demo_is_placed_or_left_out_with_its_reason(fleet: Fleet) -> None:
    with fleet, fleet.reading() as work:
        found = weeks_from_fleet(work, DEMO_TODAY)
    assert len(found.asked.visits) + len(found.left_out) == 12
    assert all(reason for _, reason in found.left_out)
    assert len(found.asked.bays) == 2
    assert {visit.bay_days for visit in found.asked.visits} == {3, 5}, "26 h and 44 h at 10 h a day"


def test_people_who_are_away_days_the_shop_is_shut_and_public_holidays_count_off(fleet: Fleet) -> None:
    with fleet, fleet.reading() as work:
        weeks = {week.monday: week for week in weeks_from_fleet(work, DEMO_TODAY).asked.weeks}
    ordinary, course = weeks[date(2026, 5, 11)], weeks[date(2026, 5, 25)]
    assert (ordinary.hours, course.hours) == (112, 56), "three mechanics, one of them four days a week"
    assert date(2026, 5, 25) not in course.open_days, "a public holiday, as when work is laid out"
    assert len(weeks[date(2026, 6, 29)].open_days) == 4, "the airfield day is a Friday, 3 July"


def test_a_kept_plan_spares_what_is_pinned_and_one_undo_takes_it_back(fleet: Fleet) -> None:
    with fleet:
        with fleet.reading() as work:
            plane = find_aircraft(work, "N012MH")
        monday = date(2026, 6, 8)
        with fleet.work("Greta") as work:
            add(work, "planned_visit", {"aircraft_id": plane, "week_on": monday, "pinned": True})
        with fleet.reading() as work:
            asked = weeks_from_fleet(work, DEMO_TODAY).asked
        plan = place_visits(asked, seconds=0).value
        assert plan.of(plane).first_on is not None
        mondays = tuple(week.monday for week in asked.weeks)
        keep = KeepWeeks(mondays[0], mondays[-1], plan.placed, mondays)
        changed = apply(fleet, keep, "Greta", DEMO_TODAY)
        with fleet.reading() as work:
            kept = {each.aircraft_id: each for each in planned_visits(work, mondays[0], mondays[-1])}
        assert kept[plane].week_on == monday
        assert len(kept) == len(asked.visits)
        assert changed.back is not None
        apply(fleet, changed.back, "Greta", DEMO_TODAY)
        with fleet.reading() as work:
            assert len(planned_visits(work, mondays[0], mondays[-1])) == 1


def test_a_shop_without_bays_is_told_where_to_write_them_down(tmp_path: Path) -> None:
    with small_fleet(tmp_path) as fleet, fleet.reading() as work, pytest.raises(Refused, match="no bay"):
        weeks_from_fleet(work, TODAY)


def test_a_move_pins_its_airplane_takes_the_others_along_and_one_undo_takes_it_back(fleet: Fleet) -> None:
    with fleet:
        with fleet.reading() as work:
            plane = find_aircraft(work, "N012MH")
            asked = weeks_from_fleet(work, DEMO_TODAY).asked
        mondays = tuple(week.monday for week in asked.weeks)
        plan = place_visits(asked, seconds=0).value
        apply(fleet, KeepWeeks(mondays[0], mondays[-1], plan.placed, mondays), "Greta", DEMO_TODAY)
        moved = if_moved(asked, plan, plane, mondays[5]).value.plan
        keep = KeepWeeks(mondays[0], mondays[-1], moved.placed, mondays, frozenset({plane}), "a move")
        changed = apply(fleet, keep, "Greta", DEMO_TODAY)
        with fleet.reading() as work:
            kept = {each.aircraft_id: each for each in planned_visits(work, mondays[0], mondays[-1])}
        assert (kept[plane].week_on, kept[plane].pinned) == (mondays[5], True)
        assert [each.aircraft_id for each in kept.values() if each.pinned] == [plane]
        assert len(kept) == len(asked.visits)
        assert changed.back is not None
        apply(fleet, changed.back, "Greta", DEMO_TODAY)
        with fleet.reading() as work:
            back = {each.aircraft_id: each for each in planned_visits(work, mondays[0], mondays[-1])}
        assert not any(each.pinned for each in back.values())
        assert back[plane].week_on == mondays[plan.of(plane).week or 0]
