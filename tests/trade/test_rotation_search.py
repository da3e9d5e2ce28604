"""The proposed rotation is as good as any there is, held against trying them all."""

from __future__ import annotations

from itertools import permutations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from annual_planner.library.engines import load_engines
from annual_planner.trade.engines import EngineType, MagnetoPhase, Place, PolarityRule, Row
from annual_planner.trade.rotation import Change, polarity_change
from annual_planner.trade.rotation_search import cheapest_assignment, proposed
from annual_planner.trade.working import as_lines
from tests.engine_types import engine_type, plug_type

SHELF = load_engines()
tables = st.integers(1, 5).flatmap(
    lambda size: st.lists(
        st.lists(st.integers(0, 9), min_size=size, max_size=size), min_size=size, max_size=size
    )
)


@given(tables)
def test_the_cheapest_assignment_costs_no_more_than_any_other(prices: list[list[int]]) -> None:
    def cost(columns: tuple[int, ...] | list[int]) -> int:
        return sum(row[column] for row, column in zip(prices, columns, strict=True))

    chosen = cheapest_assignment(prices)
    assert sorted(chosen) == list(range(len(prices)))
    assert cost(chosen) == min(cost(each) for each in permutations(range(len(prices))))


@st.composite
def fours(draw: st.DrawFn) -> EngineType:
    """Engines of four cylinders, wired in any way, likely or not."""
    order = draw(st.permutations((1, 2, 3, 4)))
    places = [Place(each, row) for each in order for row in (Row.TOP, Row.BOTTOM)]
    return engine_type(
        order,
        phase=draw(st.sampled_from(MagnetoPhase)),
        left_feeds=draw(st.frozensets(st.sampled_from(places))),
    )


def complete_ones(engine: EngineType) -> list[int]:
    """How many plugs stay on their magneto in each rotation that changes row and polarity of every plug."""
    counts = []
    for row in (Row.TOP, Row.BOTTOM):
        olds = [Place(each, row) for each in (1, 2, 3, 4)]
        found = []
        for news in permutations([Place(each, row.other) for each in (1, 2, 3, 4)]):
            moves = list(zip(olds, news, strict=True))
            if all(polarity_change(engine, *move) is Change.CHANGES for move in moves):
                found.append(sum(engine.magneto_at(old) is engine.magneto_at(new) for old, new in moves))
        counts.append(found)
    return [top + bottom for top in counts[0] for bottom in counts[1]]


@settings(max_examples=60)
@given(fours())
def test_a_complete_rotation_is_proposed_exactly_where_one_exists_with_most_on_their_magneto(
    engine: EngineType,
) -> None:
    possible = complete_ones(engine)
    value = proposed(engine).value
    assert value.complete is bool(possible)
    if possible:
        assert len(value.rotation.moves) - value.rotation.change_magneto == max(possible)
        assert value.rotation.change_row == len(value.rotation.with_polarity(Change.CHANGES)) == 8
    else:
        assert value.missing
        assert value.because


def test_the_usual_six_gets_the_usual_scheme() -> None:
    worked = proposed(SHELF.engine("wrenlake_o6"))
    assert worked.value.rotation.scheme.key == "next_in_firing_order_other_row"
    assert worked.value.rotation.change_magneto == 0
    assert worked.working.result.endswith("row and polarity change for all 12 plugs")


def test_a_four_whose_magnetos_oppose_gets_the_mirror_scheme() -> None:
    """The usual scheme would leave half of the plugs with their polarity."""
    value = proposed(SHELF.engine("tarnholt_f4")).value
    assert value.complete
    assert value.rotation.scheme.key == "mirror_cylinder_other_row"


def test_an_eight_whose_magnetos_oppose_gets_one_though_neither_named_scheme_does_it() -> None:
    value = proposed(SHELF.engine("wrenlake_o8")).value
    assert value.complete
    assert len(value.rotation.with_polarity(Change.CHANGES)) == 16
    assert value.rotation.change_magneto == 0


def test_one_magneto_for_each_row_with_opposed_phase_goes_two_on() -> None:
    value = proposed(engine_type((1, 4, 5, 2, 3, 6), wiring="row", phase=MagnetoPhase.OPPOSED)).value
    assert value.complete
    assert value.rotation.change_magneto == 12


@pytest.mark.parametrize(
    ("engine", "said"),
    [
        (engine_type((1, 3, 2, 4), wiring="row", phase=MagnetoPhase.UNKNOWN), "magnetos agree"),
        (engine_type((1, 3, 2, 4), polarity=PolarityRule.ALL_ALIKE), "same polarity"),
        (engine_type((1, 3, 2, 4), polarity=PolarityRule.UNKNOWN), "how this ignition"),
        (
            engine_type((1, 3, 2, 4), plugs=((plug_type("alder"),), (plug_type("birch"),))),
            "different plugs",
        ),
        (
            engine_type((1, 2), left_feeds=frozenset({Place(1, Row.TOP)}), phase=MagnetoPhase.OPPOSED),
            "too few places",
        ),
    ],
)  # fmt: skip
def test_where_none_exists_it_says_so_and_why(engine: EngineType, said: str) -> None:
    worked = proposed(engine)
    assert not worked.value.complete
    assert said in worked.value.because
    assert worked.working.result.startswith("no scheme changes row and polarity")
    assert any(said in line for line in as_lines(worked.working))


def test_rows_with_different_plugs_still_get_a_change_of_polarity_within_the_row() -> None:
    value = proposed(SHELF.engine("halvergate_s6")).value
    assert len(value.rotation.with_polarity(Change.CHANGES)) == 12
    assert value.rotation.change_row == 0


@pytest.mark.parametrize("key", ["ostermoor_r7", "ostermoor_r9"])
def test_an_odd_radial_is_rotated_for_its_places_only(key: str) -> None:
    engine = SHELF.engine(key)
    worked = proposed(engine)
    assert worked.value.complete
    assert worked.value.rotation.change_row == len(engine.places)
    assert worked.working.result.endswith("polarity alternates by itself")


@pytest.mark.parametrize("engine", SHELF.engines, ids=lambda each: each.key)
def test_every_shipped_engine_gets_a_proposal_that_is_complete_or_says_why(engine: EngineType) -> None:
    value = proposed(engine).value
    assert value.complete is not bool(value.because)
    assert sorted(value.rotation.scheme.moves.values()) == sorted(engine.places)
