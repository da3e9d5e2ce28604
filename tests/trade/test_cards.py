"""Values of cards: three-point hours, quantities, fit."""

from __future__ import annotations

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from annual_planner.trade.cards import (
    CardTemplate,
    CountWord,
    Hours,
    Phase,
    Quantity,
    Subject,
    WorkKind,
)

tenths = st.integers(1, 500).map(lambda n: Decimal(n) / 10)


def card(needs: tuple[str, ...] = (), excludes: tuple[str, ...] = ()) -> CardTemplate:
    hours = Hours(Decimal(1), Decimal(1), Decimal(1))
    return CardTemplate(
        "key",
        "Title",
        "engine",
        Phase.INSPECT,
        WorkKind.INSPECT,
        Subject.ENGINE,
        hours,
        ("Look.",),
        needs=needs,
        excludes=excludes,
    )


@given(st.lists(tenths, min_size=3, max_size=3).map(sorted))
def test_expected_hours_lie_between_best_and_worst(three: list[Decimal]) -> None:
    hours = Hours(*three)
    assert hours.low <= hours.expected <= hours.high
    assert 0 <= hours.spread <= hours.high - hours.low


def test_expected_hours_weigh_the_likely_four_times() -> None:
    assert Hours(Decimal(1), Decimal(2), Decimal(9)).expected == 3


@given(times=tenths, wheels=st.integers(0, 6))
def test_a_multiple_of_a_count_grows_with_the_count(times: Decimal, wheels: int) -> None:
    assert Quantity(times, CountWord.WHEELS).for_counts({"wheels": wheels}) == times * wheels


def test_a_plain_quantity_asks_for_no_count() -> None:
    assert Quantity(Decimal(3)).for_counts({}) == 3


def test_a_count_that_is_missing_is_not_taken_as_none() -> None:
    with pytest.raises(KeyError):
        Quantity(Decimal(1), CountWord.PLUGS).for_counts({"wheels": 3})


@pytest.mark.parametrize(
    ("quantity", "said"),
    [
        (Quantity(Decimal(2)), "2"),
        (Quantity(Decimal(1), CountWord.PLUGS), "plugs"),
        (Quantity(Decimal(2), CountWord.WHEELS), "2 × wheels"),
    ],
)
def test_quantities_are_said_as_people_say_them(quantity: Quantity, said: str) -> None:
    assert str(quantity) == said


@pytest.mark.parametrize(
    ("features", "fits"),
    [({"oleo"}, True), ({"oleo", "flaps"}, True), (set(), False), ({"oleo", "skis"}, False)],
)
def test_a_card_fits_with_all_it_needs_and_none_it_excludes(features: set[str], fits: bool) -> None:
    assert card(needs=("oleo",), excludes=("skis",)).fits(frozenset(features)) is fits


def test_phases_stand_in_the_order_of_the_work() -> None:
    assert [phase.order for phase in Phase] == list(range(10))
    assert Phase.HOT_CHECKS.order < Phase.OPEN.order < Phase.INSPECT.order < Phase.RECORDS.order
