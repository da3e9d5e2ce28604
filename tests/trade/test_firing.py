"""Firing order and spark polarity as arithmetic."""

from __future__ import annotations

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from annual_planner.library.engines import load_engines
from annual_planner.trade.engines import Layout, MagnetoPhase, PolarityRule, place
from annual_planner.trade.firing import (
    Polarity,
    checked_order,
    keeps_polarity,
    magneto_speed,
    next_firing,
    polarities,
    polarity_at,
    signs_of_cycle,
    spark_rate,
)
from annual_planner.trade.refused import Refused
from annual_planner.trade.working import as_lines
from tests.engine_types import engine_type

orders = st.integers(2, 18).flatmap(lambda count: st.permutations(range(1, count + 1)))


@given(orders, st.integers(1, 5))
def test_sparks_of_one_magneto_alternate_from_cycle_to_cycle_without_a_break(
    order: list[int], cycle: int
) -> None:
    sparks = [signs_of_cycle(order, each)[cylinder] for each in (cycle, cycle + 1) for cylinder in order]
    assert all(after == -before for before, after in pairwise(sparks))


@given(orders)
def test_a_plug_keeps_its_sign_exactly_where_the_count_is_even(order: list[int]) -> None:
    assert (signs_of_cycle(order, 1) == signs_of_cycle(order, 2)) is keeps_polarity(order)
    assert keeps_polarity(order) is (len(order) % 2 == 0)


@given(orders)
def test_going_on_through_the_order_comes_back_after_every_cylinder(order: list[int]) -> None:
    at, met = order[0], []
    for _ in order:
        met.append(at)
        at = next_firing(order, at)
    assert met == order
    assert at == order[0]


@given(orders)
def test_both_plugs_of_a_cylinder_agree_exactly_where_the_magnetos_do(order: list[int]) -> None:
    if not keeps_polarity(order):
        return
    for phase, is_alike in ((MagnetoPhase.AGREE, True), (MagnetoPhase.OPPOSED, False)):
        engine = engine_type(order, phase=phase)
        for cylinder in order:
            top, bottom = (polarity_at(engine, place(f"{cylinder}{row}")) for row in "TB")
            assert (top is bottom) is is_alike


@pytest.mark.parametrize("order", [(), (1,), (1, 1), (0, 1), (1, 3)])
def test_what_is_no_firing_order_is_refused(order: tuple[int, ...]) -> None:
    with pytest.raises(Refused, match="no firing order"):
        checked_order(order)


@pytest.mark.parametrize(("cylinders", "poles"), [(0, 2), (4, 0), (-4, 2)])
def test_a_magneto_without_poles_or_cylinders_has_no_speed(cylinders: int, poles: int) -> None:
    with pytest.raises(ValueError, match="above 0"):
        magneto_speed(cylinders, poles)


def test_a_speed_under_nothing_gives_no_sparks() -> None:
    with pytest.raises(ValueError, match="under 0"):
        spark_rate(-1)


@pytest.mark.parametrize(
    ("rule", "expected"),
    [
        (PolarityRule.UNKNOWN, Polarity.UNKNOWN),
        (PolarityRule.ALL_ALIKE, Polarity.SAME),
        (PolarityRule.ALTERNATING, Polarity.ALTERNATES),
    ],
)
def test_another_ignition_follows_its_own_rule(rule: PolarityRule, expected: Polarity) -> None:
    sparks = polarities(engine_type((1, 3, 2, 4), polarity=rule))
    assert {each.polarity for each in sparks.value} == {expected}
    says_why = any("doesn't say how its ignition" in line for line in as_lines(sparks.working))
    assert says_why is (rule is PolarityRule.UNKNOWN)


def test_a_place_the_engine_lacks_has_no_polarity() -> None:
    with pytest.raises(Refused, match="no place 5T"):
        polarity_at(engine_type((1, 3, 2, 4)), place("5T"))
    with pytest.raises(Refused, match="no place 1F"):
        polarity_at(engine_type((1, 3, 2, 4)), place("1F"))


def test_radials_are_known_for_what_they_are() -> None:
    radials = [each for each in load_engines().engines if each.layout.is_radial]
    assert {each.layout for each in radials} == {Layout.RADIAL_SINGLE, Layout.RADIAL_DOUBLE}
