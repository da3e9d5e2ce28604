"""What the place is made of: the layout of every engine, what is typed, and what is planned to go in."""

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st
from PySide6.QtCore import QSize

from annual_planner.desktop.app import Program
from annual_planner.desktop.plugs.check_typed import (
    LOOKS,
    read_gaps,
    read_inches,
    read_looks,
    read_ohms,
    read_sparks,
    read_wear,
    seen_of,
    typed_inches,
    typed_looks,
)
from annual_planner.desktop.plugs.engine_drawing import EngineDrawing
from annual_planner.desktop.plugs.shape import neighbour, shape_of
from annual_planner.desktop.plugs.tags import read_tags
from annual_planner.desktop.plugs.trend_chart import ticks
from annual_planner.library.engines import load_engines
from annual_planner.trade.engines import EngineType, place
from annual_planner.trade.plugs import Condition
from annual_planner.trade.refused import Refused

pytestmark = pytest.mark.desktop
KINDS = pytest.mark.parametrize("kind", load_engines().engines, ids=lambda kind: kind.key)


@KINDS
def test_every_place_of_every_engine_has_a_spot_of_its_own(kind: EngineType) -> None:
    shape = shape_of(kind)
    assert {spot.place for spot in shape.spots} == set(kind.places)
    at = [(round(spot.x, 3), round(spot.y, 3)) for spot in shape.spots]
    assert len(set(at)) == len(at)
    assert len(shape.barrels) == kind.cylinder_count


@KINDS
def test_arrow_keys_reach_every_place(kind: EngineType) -> None:
    shape = shape_of(kind)
    ways = ((-1, 0), (1, 0), (0, -1), (0, 1))
    reached, todo = {kind.places[0]}, [kind.places[0]]
    while todo:
        for beside in {neighbour(shape, todo[-1], *way) for way in ways} - reached or {None}:
            if beside is None:
                todo.pop()
                break
            reached.add(beside)
            todo.append(beside)
            break
    assert reached == set(kind.places)


@KINDS
@pytest.mark.parametrize("percent", [100, 150])
def test_words_of_plugs_never_run_into_each_other(program: Program, kind: EngineType, percent: int) -> None:
    program.theme.set_percent(percent)
    drawing = EngineDrawing(program.theme, "Engine")
    drawing.take(kind, {})
    drawing.resize(drawing.minimumSizeHint().expandedTo(QSize(560, 420)))
    beside = [drawing.words_beside(spot) for spot in shape_of(kind).spots if spot.side]
    inner = [box.adjusted(0, 1, 0, -1) for box in beside]
    assert not [(a, b) for n, a in enumerate(inner) for b in inner[n + 1 :] if a.intersects(b)]
    drawing.deleteLater()


@given(st.integers(1, 199))
def test_thousandths_and_inches_read_alike(thousandths: int) -> None:
    assert read_inches(str(thousandths)) == read_inches(f"{thousandths / 1000:.3f}")
    assert read_inches(typed_inches(thousandths / 1000)) == thousandths / 1000


@given(st.lists(st.sampled_from(sorted(LOOKS)), min_size=1, unique=True))
def test_conditions_read_back_as_they_are_typed(letters: list[str]) -> None:
    found = read_looks("".join(letters))
    assert set(typed_looks(tuple(each.value for each in found))) == set(letters)


def test_a_whole_look_is_read_from_its_fields() -> None:
    seen = seen_of("17 18", "lo", "80x100", "1.2k", "y", "d")
    assert seen.gaps_in == (0.017, 0.018)
    assert seen.conditions == (Condition.LEAD_FOULED, Condition.OIL_FOULED)
    assert seen.oval_in == (0.08, 0.1)
    assert seen.resistance_ohm == 1200
    assert seen.sparks_under_pressure
    assert seen.dropped


@pytest.mark.parametrize("text", ["x", "1.2.3", "17-18"])
def test_what_is_no_gap_is_refused_in_words(text: str) -> None:
    with pytest.raises(Refused, match="is no gap"):
        read_gaps(text)


def test_nothing_typed_is_nothing_measured() -> None:
    assert read_gaps("") == ()
    assert read_ohms(" ") is None
    assert read_sparks("") is None
    assert read_wear("").electrode_in is None


def test_a_row_of_tags_is_spelled_out_and_a_backward_one_refused() -> None:
    assert read_tags("A-08..A-11, B1") == ("A-08", "A-09", "A-10", "A-11", "B1")
    with pytest.raises(Refused, match="no row of tags"):
        read_tags("A-12..A-3")


@given(st.floats(0, 100), st.floats(0.01, 500), st.integers(2, 12))
def test_ticks_stand_in_order_within_their_ends(low: float, span: float, most: int) -> None:
    found = ticks(low, low + span, most)
    assert len(found) <= most + 1
    assert all(one < other for one, other in pairwise(found))
    assert all(low - span * 1e-6 - 1e-5 <= each <= low + span * (1 + 1e-6) + 1e-5 for each in found)


def test_the_usual_way_down_a_bank_is_top_then_bottom() -> None:
    shape = shape_of(load_engines().engine("wrenlake_o6"))
    assert neighbour(shape, place("5T"), 0, 1) == place("5B")
    assert neighbour(shape, place("5B"), -1, 0) == place("6B")
