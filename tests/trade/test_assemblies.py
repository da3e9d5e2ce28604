from __future__ import annotations

from decimal import Decimal
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from annual_planner.trade.assemblies import Stay, assembly_hours, due_on_airframe, within_life_limit
from annual_planner.trade.refused import Refused

D = Decimal
tenths = st.integers(0, 50_000).map(lambda n: D(n) / 10)


@given(st.lists(tenths, min_size=2, max_size=10, unique=True).map(sorted), tenths, tenths)
def test_an_assembly_flies_only_while_it_is_fitted(marks: list[Decimal], base: Decimal, now: Decimal) -> None:
    spans = list(pairwise(marks))[::2]
    stays = [Stay(fitted, removed) for fitted, removed in spans]
    hours = assembly_hours(base, stays, now).value
    assert hours == base + sum((min(max(now, a), b) - a for a, b in spans), D(0))
    assert base <= hours <= base + max(now, D(0))


def test_the_order_of_the_stays_does_not_matter() -> None:
    stays = [Stay(D(2075)), Stay(D(2000), D(2030))]
    assert assembly_hours(D(450), stays, D(2085)).value == D(490)


@pytest.mark.parametrize("first", [Stay(D(100)), Stay(D(100), D(201))])
def test_an_assembly_is_not_fitted_twice_at_once(first: Stay) -> None:
    with pytest.raises(Refused, match="while still fitted"):
        assembly_hours(D(0), [first, Stay(D(200))], D(300))


def test_an_assembly_is_not_removed_before_it_was_fitted() -> None:
    with pytest.raises(ValueError, match="not removed at fewer hours"):
        Stay(D(200), D(199))


@given(tenths, tenths, tenths)
def test_when_the_airframe_gets_there_so_does_the_assembly(
    due: Decimal, now: Decimal, airframe: Decimal
) -> None:
    at = due_on_airframe(due, now, airframe).value
    if at >= airframe:
        assert assembly_hours(now, [Stay(airframe)], at).value == due


def test_a_life_limit_has_no_allowance() -> None:
    assert within_life_limit(D("2500.0"), D("2500.0")).value
    assert not within_life_limit(D("2500.0"), D("2500.1")).value
