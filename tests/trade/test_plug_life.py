from __future__ import annotations

from datetime import date, timedelta
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from annual_planner.trade.next_annual import hours_to_next_annual
from annual_planner.trade.plug_life import (
    Look,
    Stay,
    hours_at,
    hours_run,
    looks_for_wear,
    overlap,
    place_after,
)
from annual_planner.trade.refused import Refused

DAY = date(2020, 1, 1)
LENGTHS = st.lists(st.tuples(st.integers(1, 400), st.integers(0, 3000)), min_size=1, max_size=8)


def life(lengths: list[tuple[int, int]]) -> list[Stay]:
    """Stays end to end: days and tenths of hours of each, one engine."""
    stays, on, hours = [], DAY, Decimal(0)
    for number, (days, tenths) in enumerate(lengths):
        end, until = hours + Decimal(tenths) / 10, on + timedelta(days)
        stays.append(Stay(f"{number + 1}T", on, hours, until, end))
        on, hours = until, end
    return stays


@given(LENGTHS, st.integers(0, 100))
def test_hours_of_all_stays_together_are_the_hours_of_the_life(
    lengths: list[tuple[int, int]], before: int
) -> None:
    run = hours_run(Decimal(before), life(lengths), None)
    assert run == before + sum(Decimal(tenths) / 10 for _, tenths in lengths)


@given(LENGTHS)
def test_a_look_on_the_day_of_removal_counts_that_stay_whole_and_no_later_one(
    lengths: list[tuple[int, int]],
) -> None:
    stays = life(lengths)
    for number, stay in enumerate(stays, start=1):
        assert stay.until is not None
        assert hours_at(Decimal(0), stays, stay.until, None) == hours_run(Decimal(0), stays[:number], None)


@given(LENGTHS)
def test_hours_never_fall_from_look_to_look(lengths: list[tuple[int, int]]) -> None:
    stays = life(lengths)
    ends = [hours_at(Decimal(0), stays, stay.until or DAY, None) or Decimal(0) for stay in stays]
    assert ends == sorted(ends)


@given(LENGTHS)
def test_stays_end_to_end_do_not_overlap_and_one_that_begins_early_does(
    lengths: list[tuple[int, int]],
) -> None:
    stays = life(lengths)
    assert overlap(stays) is None
    last = stays[-1]
    assert last.until is not None
    early = Stay("9T", last.until - timedelta(1), Decimal(0))
    assert overlap([*stays, early]) is not None


def test_hours_that_nobody_knows_stay_unknown() -> None:
    open_stay = Stay("1T", DAY, Decimal(10))
    assert hours_run(None, [open_stay], Decimal(20)) is None
    assert hours_run(Decimal(0), [open_stay], None) is None
    assert hours_at(Decimal(0), [open_stay], DAY + timedelta(5), None) is None
    assert hours_at(Decimal(0), [open_stay], DAY, None) == 0


def test_looks_of_one_time_on_the_bench_are_one_with_the_gap_as_found_and_as_left() -> None:
    out = DAY + timedelta(300)
    stays = [Stay("1T", DAY, Decimal(0), out, Decimal(120)), Stay("2B", out, Decimal(120))]
    looks = [
        Look(out, Decimal(120), "1T", 7, gap_in=0.021),
        Look(out, Decimal(120), "1T", 7, gap_in=0.021, set_gap_in=0.017, electrode_in=0.09),
    ]
    [one] = looks_for_wear(Decimal(0), stays, looks)
    assert (one.hours, one.place, one.next_place) == (Decimal(120), "1T", "2B")
    assert (one.gap_in, one.set_gap_in, one.electrode_in) == (0.021, 0.017, 0.09)


def test_a_plug_that_lies_about_goes_nowhere() -> None:
    assert (
        place_after([Stay("1T", DAY, Decimal(0), DAY + timedelta(9), Decimal(9))], DAY + timedelta(9)) == ""
    )


@pytest.mark.parametrize(
    ("due_on", "next_on"),
    [
        (date(2026, 12, 31), "31 Dec 2026"),
        (date(2026, 5, 31), "31 May 2027"),
        (date(2026, 2, 28), "31 May 2027"),
    ],
)
def test_the_annual_in_hand_is_not_the_next_one(due_on: date, next_on: str) -> None:
    worked = hours_to_next_annual(date(2026, 5, 4), due_on, Decimal(10))
    assert next_on in worked.working.result
    assert worked.value > 0


@pytest.mark.parametrize(
    ("due_on", "monthly"), [(None, Decimal(10)), (date(2026, 9, 1), None), (date(2026, 9, 1), Decimal(0))]
)
def test_without_a_due_day_or_flying_there_are_no_hours(due_on: date | None, monthly: Decimal | None) -> None:
    with pytest.raises(Refused):
        hours_to_next_annual(date(2026, 5, 4), due_on, monthly)
