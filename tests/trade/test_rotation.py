"""Rotation as arithmetic, and what goes into every place."""

from __future__ import annotations

from itertools import permutations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from annual_planner.trade.engines import EngineType, MagnetoPhase, Place, PolarityRule, Row, place
from annual_planner.trade.firing import Polarity, polarities, polarity_at
from annual_planner.trade.going_in import going_in
from annual_planner.trade.refused import Refused
from annual_planner.trade.rotation import (
    PRACTICE,
    Change,
    custom,
    cycles_of,
    mirrored,
    next_other_row,
    next_same_row,
    rotation,
    schemes,
    stepping,
    swapped,
    usual,
)
from annual_planner.trade.working import as_lines
from tests.engine_types import engine_type, plug_type

orders = st.integers(2, 9).flatmap(lambda count: st.permutations(range(1, count + 1)))


@st.composite
def engines(draw: st.DrawFn) -> EngineType:
    order = draw(orders)
    places = [Place(each, row) for each in order for row in (Row.TOP, Row.BOTTOM)]
    return engine_type(
        order,
        phase=draw(st.sampled_from(MagnetoPhase)),
        polarity=draw(st.sampled_from(PolarityRule)),
        left_feeds=draw(st.frozensets(st.sampled_from(places))),
    )


@given(engines())
def test_no_scheme_sends_two_plugs_to_one_place(engine: EngineType) -> None:
    for scheme in (*schemes(engine), stepping(engine, 3, change_row=True)):
        assert sorted(scheme.moves) == sorted(scheme.moves.values()) == sorted(engine.places)


@given(engines())
def test_cycles_close_and_every_plug_is_home_after_the_rotations_told(engine: EngineType) -> None:
    for scheme in schemes(engine):
        worked = rotation(engine, scheme).value
        assert sorted(at for walk in worked.cycles for at in walk) == sorted(engine.places)
        at = {start: start for start in engine.places}
        for turn in range(1, worked.rotations_until_home + 1):
            at = {start: worked.next_place(now) for start, now in at.items()}
            is_home = all(start == now for start, now in at.items())
            assert is_home is (turn == worked.rotations_until_home)


@given(engines())
def test_a_move_changes_polarity_exactly_where_both_ends_are_known_to_differ(engine: EngineType) -> None:
    """The parity rule for moves agrees with the signs of the two places, got another way."""
    for move in rotation(engine, next_other_row(engine)).value.moves:
        ends = (polarity_at(engine, move.old), polarity_at(engine, move.new))
        if Polarity.ALTERNATES in ends:
            assert move.polarity is Change.ALTERNATES
        elif Polarity.UNKNOWN not in ends:
            assert move.polarity is (Change.STAYS if ends[0] is ends[1] else Change.CHANGES)
        elif move.magneto_changes:
            assert move.polarity is Change.UNKNOWN


@given(engines())
def test_a_plug_at_home_again_has_its_first_polarity_again(engine: EngineType) -> None:
    worked = rotation(engine, usual(engine)).value
    by_place = {move.old: move.polarity for move in worked.moves}
    for walk in worked.cycles:
        changes = [by_place[at] for at in walk]
        if set(changes) <= {Change.CHANGES, Change.STAYS}:
            assert changes.count(Change.CHANGES) % 2 == 0


@given(orders)
def test_the_usual_scheme_takes_an_odd_count_through_every_place_and_an_even_one_through_half(
    order: list[int],
) -> None:
    engine = engine_type(order)
    walks = {len(walk) for walk in rotation(engine, next_other_row(engine)).value.cycles}
    assert walks == {len(order) if len(order) % 2 == 0 else 2 * len(order)}


@given(engines(), st.data())
def test_rejected_plugs_leave_holes_for_new_ones_and_no_other_plug_shifts(
    engine: EngineType, data: st.DataObject
) -> None:
    rejected = data.draw(st.frozensets(st.sampled_from(engine.places)))
    scheme = usual(engine)
    whole = {each.place: each.came_from for each in going_in(engine, scheme).value}
    for each in going_in(engine, scheme, rejected).value:
        if whole[each.place] in rejected:
            assert each.came_from is None
            assert each.new_types == ("alder",)
        else:
            assert each.came_from == whole[each.place]


def test_a_plug_that_changes_magneto_with_unknown_phase_is_told_to_be_unknown() -> None:
    worked = rotation(e := engine_type((1, 3, 2, 4), phase=MagnetoPhase.UNKNOWN), next_other_row(e))
    assert len(worked.value.with_polarity(Change.UNKNOWN)) == 4
    assert len(worked.value.with_polarity(Change.CHANGES)) == 4
    assert any("can't be told" in line for line in as_lines(worked.working))


def test_where_all_plugs_get_one_polarity_no_rotation_changes_it() -> None:
    engine = engine_type((1, 3, 2, 4), polarity=PolarityRule.ALL_ALIKE)
    assert len(rotation(engine, next_other_row(engine)).value.with_polarity(Change.STAYS)) == 8


def test_an_odd_radial_alternates_by_itself() -> None:
    engine = engine_type((1, 3, 5, 2, 4), rows=(Row.FRONT, Row.REAR))
    worked = rotation(engine, next_other_row(engine))
    assert len(worked.value.with_polarity(Change.ALTERNATES)) == 10
    assert {each.polarity for each in polarities(engine).value} == {Polarity.ALTERNATES}


def test_polarities_name_what_is_unknown_and_why() -> None:
    worked = polarities(engine_type((1, 3, 2, 4), phase=MagnetoPhase.UNKNOWN))
    assert worked.working.result == "8 places, 4 of them unknown"
    assert any("meter" in text for text in worked.working.assumptions)


ROWS_DIFFER = engine_type((1, 4, 5, 2, 3, 6), plugs=((plug_type("alder"),), (plug_type("birch"),)))


@pytest.mark.parametrize("scheme", [next_other_row, mirrored, swapped])
def test_rows_with_different_plugs_refuse_a_change_of_row(scheme) -> None:  # type: ignore[no-untyped-def]
    with pytest.raises(Refused, match="top Alder; bottom Birch") as caught:
        scheme(ROWS_DIFFER)
    assert "same row" in caught.value.remedy


def test_rows_with_different_plugs_are_rotated_within_their_row() -> None:
    worked = rotation(ROWS_DIFFER, usual(ROWS_DIFFER)).value
    assert worked.change_row == 0
    assert worked.change_place == 12
    assert [each.key for each in schemes(ROWS_DIFFER)] == [next_same_row(ROWS_DIFFER).key]


def test_a_new_plug_is_of_a_type_its_row_takes() -> None:
    goes = going_in(ROWS_DIFFER, usual(ROWS_DIFFER), [place("1T"), place("1B")]).value
    assert {str(each.place): each.new_types for each in goes if each.came_from is None} == {
        "4T": ("alder",),
        "4B": ("birch",),
    }


def test_a_plug_of_a_type_its_next_place_does_not_take_is_refused_by_place() -> None:
    engine = engine_type((1, 3, 2, 4))
    with pytest.raises(Refused, match="elm from 1T to 3B"):
        going_in(engine, usual(engine), types={place("1T"): "elm", place("2T"): "alder"})


def test_a_rejected_plug_of_a_wrong_type_is_no_hindrance() -> None:
    engine = engine_type((1, 3, 2, 4))
    goes = going_in(engine, usual(engine), [place("1T")], {place("1T"): "elm"}).value
    assert next(each for each in goes if each.place == place("3B")).came_from is None


def test_a_rejected_place_the_engine_lacks_is_refused() -> None:
    engine = engine_type((1, 3, 2, 4))
    with pytest.raises(Refused, match="no place 5T"):
        going_in(engine, usual(engine), [place("5T")])


def test_a_scheme_of_ones_own_must_fill_every_place_once() -> None:
    engine = engine_type((1, 2))
    with pytest.raises(Refused, match="exactly one plug"):
        custom(engine, "own", "Own", dict.fromkeys(engine.places, engine.places[0]), PRACTICE)


def test_a_scheme_of_another_engine_is_refused() -> None:
    with pytest.raises(Refused, match="another engine"):
        rotation(engine_type((1, 3, 2, 4)), next_other_row(engine_type((1, 2))))


def test_cycles_of_every_order_of_four_hold_each_thing_once() -> None:
    places = engine_type((1, 2)).places
    for after in permutations(places):
        walks = cycles_of(dict(zip(places, after, strict=True)))
        assert sorted(at for walk in walks for at in walk) == sorted(places)


def test_the_working_shows_every_move_cycle_and_count() -> None:
    engine = engine_type((1, 4, 5, 2, 3, 6))
    lines = "\n".join(as_lines(rotation(engine, usual(engine)).working))
    assert "1T to 4B → same magneto, polarity changes" in lines
    assert "cycle 1, 6 places → 1T → 4B → 5T → 2B → 3T → 6B → 1T" in lines
    assert "plugs that change magneto → 0" in lines
