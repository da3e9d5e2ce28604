from __future__ import annotations

from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from annual_planner.records.apply import apply
from annual_planner.records.awaited_parts import ChangePart, ExpectPart, RemovePart
from annual_planner.records.shop import (
    MINUTES_IN_A_DAY,
    AddDaysOff,
    AddShopThing,
    ChangeShopThing,
    RemoveDaysOff,
    RemoveShopThing,
    SetOpenHours,
    SetRoom,
    check_week,
)
from annual_planner.records.visits import (
    ChangeVisit,
    ChangeWish,
    RemoveWish,
    WishDays,
)
from annual_planner.store.refusals import ChangedMeanwhile
from annual_planner.store.session import Fleet
from annual_planner.store.shop_reads import OpenStretch, owner_wishes, parts_awaited, planned_visits, shop
from annual_planner.store.writing import add
from annual_planner.trade.refused import Refused
from tests.fleets import ANN, TODAY, airplane, made

WEEK = tuple(
    OpenStretch(None, day, start, end) for day in range(5) for start, end in ((8 * 60, 720), (780, 17 * 60))
)
MONDAY = date(2026, 5, 11)


def package(fleet: Fleet, aircraft_id: int) -> int:
    with fleet.work(ANN) as work:
        values = {
            "aircraft_id": aircraft_id, "number": "2026-01", "title": "Annual", "start_on": MONDAY,
            "horizon_on": date(2027, 5, 31),
        }  # fmt: skip
        return add(work, "work_package", values, aircraft_id=aircraft_id)


def test_the_week_of_the_shop_is_written_anew_and_taken_back(fleet: Fleet) -> None:
    apply(fleet, SetOpenHours(None, (), WEEK), ANN, TODAY)
    shorter = WEEK[:2]
    changed = apply(fleet, SetOpenHours(None, WEEK, shorter), ANN, TODAY)
    with fleet.reading() as work:
        assert shop(work).open_hours == shorter
    assert changed.back is not None
    apply(fleet, changed.back, ANN, TODAY)
    with fleet.reading() as work:
        assert shop(work).open_hours == WEEK


def test_two_people_changing_the_week_do_not_overwrite_each_other(fleet: Fleet) -> None:
    apply(fleet, SetOpenHours(None, (), WEEK), ANN, TODAY)
    with pytest.raises(ChangedMeanwhile):
        apply(fleet, SetOpenHours(None, (), WEEK[:2]), "Ben", TODAY)
    with fleet.reading() as work:
        assert shop(work).open_hours == WEEK


@pytest.mark.parametrize(
    ("stretches", "said"),
    [
        ((OpenStretch(None, 0, 720, 480),), "Monday 12:00 to 08:00"),
        ((OpenStretch(None, 0, 480, 720), OpenStretch(None, 0, 700, 800)), "begins before 12:00"),
        ((OpenStretch(None, 7, 480, 720),), "Day 7"),
        ((OpenStretch(None, 0, 480, 1500),), "no stretch"),
    ],
)
def test_hours_that_can_not_be_are_refused(stretches: tuple[OpenStretch, ...], said: str) -> None:
    with pytest.raises(Refused, match=said):
        check_week(stretches)


@given(st.lists(st.integers(0, MINUTES_IN_A_DAY), unique=True, max_size=12).map(sorted))
def test_stretches_one_after_the_other_are_taken(ends: list[int]) -> None:
    pairs = zip(ends[::2], ends[1::2], strict=False)
    check_week(tuple(OpenStretch(1, 2, start, end) for start, end in pairs))


def test_days_off_come_and_go(fleet: Fleet) -> None:
    made_id = made(fleet, AddDaysOff(None, date(2026, 7, 4), date(2026, 7, 4), "holiday"))
    with fleet.reading() as work:
        (off,) = shop(work).days_off
    assert (off.first_on, off.why) == (date(2026, 7, 4), "holiday")
    apply(fleet, RemoveDaysOff(made_id), ANN, TODAY)
    with fleet.reading() as work:
        assert shop(work).days_off == ()
    with pytest.raises(Refused, match="before"):
        apply(fleet, AddDaysOff(None, date(2026, 7, 4), date(2026, 7, 3)), ANN, TODAY)


def test_bays_and_equipment_are_counted(fleet: Fleet) -> None:
    jacks = made(fleet, AddShopThing("equipment", "pair of jacks"))
    apply(fleet, ChangeShopThing(jacks, {"count": 1}, {"count": 2}), ANN, TODAY)
    with fleet.reading() as work:
        (thing,) = shop(work).things
    assert (thing.name, thing.count) == ("pair of jacks", 2)
    with pytest.raises(Refused, match="can't be shared"):
        apply(fleet, ChangeShopThing(jacks, {"count": 2}, {"count": 0}), ANN, TODAY)
    with pytest.raises(Refused, match=r"no kind 'rug'.*no name"):
        apply(fleet, AddShopThing("rug", " "), ANN, TODAY)
    apply(fleet, RemoveShopThing(jacks), ANN, TODAY)
    with fleet.reading() as work:
        assert shop(work).things == ()


def test_a_part_is_awaited_and_arrives(fleet: Fleet) -> None:
    visit = package(fleet, made(fleet, airplane()))
    made(fleet, ExpectPart(visit, "fuel selector seals", None))
    tyre = made(fleet, ExpectPart(visit, "main tyre", date(2026, 5, 14)))
    with fleet.reading() as work:
        assert [part.name for part in parts_awaited(work, visit)] == ["main tyre", "fuel selector seals"]
    apply(fleet, ChangePart(tyre, {"arrived_on": None}, {"arrived_on": TODAY}), ANN, TODAY)
    with fleet.reading() as work:
        assert parts_awaited(work, visit)[0].arrived_on == TODAY
    apply(fleet, RemovePart(tyre), ANN, TODAY)
    with pytest.raises(Refused, match="no name"):
        apply(fleet, ExpectPart(visit, " ", None), ANN, TODAY)


def test_a_visit_begins_on_a_monday(fleet: Fleet) -> None:
    plane = made(fleet, airplane())
    with fleet.work(ANN) as work:
        visit = add(work, "planned_visit", {"aircraft_id": plane, "week_on": MONDAY, "bay": "north"})
    with pytest.raises(Refused, match="Tuesday"):
        apply(fleet, ChangeVisit(visit, {"week_on": MONDAY}, {"week_on": date(2026, 5, 12)}), ANN, TODAY)
    later = date(2026, 5, 18)
    changed = apply(
        fleet, ChangeVisit(visit, {"week_on": MONDAY}, {"week_on": later, "pinned": True}), ANN, TODAY
    )
    with fleet.reading() as work:
        (stored,) = planned_visits(work, MONDAY, date(2026, 6, 1))
    assert (stored.week_on, stored.pinned) == (later, True)
    assert changed.kinds == {"visit"}


def test_an_owner_wishes_and_blocks_days(fleet: Fleet) -> None:
    plane = made(fleet, airplane())
    wish = made(fleet, WishDays(plane, date(2026, 6, 1), date(2026, 6, 14), blocked=True, why="family visit"))
    with fleet.reading() as work:
        (stored,) = owner_wishes(work)
    assert (stored.blocked, stored.why) == (True, "family visit")
    apply(fleet, RemoveWish(wish), ANN, TODAY)
    with fleet.reading() as work:
        assert owner_wishes(work) == ()


def test_a_wish_gets_other_days_and_never_ends_before_it_begins(fleet: Fleet) -> None:
    plane = made(fleet, airplane())
    first, last = date(2026, 6, 1), date(2026, 6, 14)
    wish = made(fleet, WishDays(plane, first, last))
    with pytest.raises(Refused):
        apply(fleet, ChangeWish(wish, {"last_on": last}, {"last_on": date(2026, 5, 1)}), ANN, TODAY)
    later = date(2026, 6, 20)
    changed = apply(fleet, ChangeWish(wish, {"last_on": last}, {"last_on": later}), ANN, TODAY)
    with fleet.reading() as work:
        assert [(each.first_on, each.last_on) for each in owner_wishes(work)] == [(first, later)]
    assert changed.back is not None
    apply(fleet, changed.back, ANN, TODAY)
    with fleet.reading() as work:
        assert [each.last_on for each in owner_wishes(work)] == [last]


def test_two_things_have_two_names_whatever_the_letters(fleet: Fleet) -> None:
    made(fleet, AddShopThing("equipment", "Borescope"))
    hangar = made(fleet, AddShopThing("bay", "hangar"))
    with pytest.raises(Refused, match="already equipment 'Borescope'"):
        apply(fleet, AddShopThing("equipment", " borescope "), ANN, TODAY)
    with pytest.raises(Refused, match="already equipment 'Borescope'"):
        apply(fleet, ChangeShopThing(hangar, {"name": "hangar"}, {"name": "BORESCOPE"}), ANN, TODAY)


def test_the_room_of_a_zone_is_said_changed_taken_back_and_left_to_the_table_again(fleet: Fleet) -> None:
    def room() -> dict[str, int]:
        with fleet.reading() as work:
            return shop(work).room_for

    apply(fleet, SetRoom("cockpit", None, 1), ANN, TODAY)
    changed = apply(fleet, SetRoom("cockpit", 1, 3), ANN, TODAY)
    assert room() == {"cockpit": 3}
    assert changed.back is not None
    apply(fleet, changed.back, ANN, TODAY)
    assert room() == {"cockpit": 1}
    with pytest.raises(ChangedMeanwhile):
        apply(fleet, SetRoom("cockpit", 3, 4), ANN, TODAY)
    with pytest.raises(Refused, match="0 people can't be in a zone"):
        apply(fleet, SetRoom("cockpit", 1, 0), ANN, TODAY)
    apply(fleet, SetRoom("cockpit", 1, None), ANN, TODAY)
    assert room() == {}
