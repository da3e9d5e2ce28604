"""Rotation and polarity against cases worked out apart from the program.

Sources: the firing orders of FAA-H-8083-32 ch 1 and of mechanics' textbooks, each named in
firing_orders.toml; the mirror scheme of an engine maintenance manual for six cylinders and of trade pages for
four; reversal of flux between sparks, FAA-H-8083-32 ch 4. Magneto speeds: the same handbook, as recalled.
Spark rate: its "about 17 a second at 2,100 rpm".
"""

from __future__ import annotations

import tomllib
from itertools import pairwise
from pathlib import Path
from typing import Any

import pytest

from annual_planner.trade import rotation as plug_rotation
from annual_planner.trade.engines import EngineType, MagnetoPhase, Row, place
from annual_planner.trade.firing import (
    Polarity,
    firing_interval_deg,
    keeps_polarity,
    magneto_speed,
    polarity_at,
    signs_of_cycle,
    spark_rate,
)
from annual_planner.trade.rotation import Change, rotation
from tests.engine_types import engine_type

HERE = Path(__file__).parent
Facts = dict[str, Any]


def read(name: str) -> Facts:
    return tomllib.loads((HERE / name).read_text(encoding="utf-8"))


CASES = read("rotation_cases.toml")
FIRING = read("firing_orders.toml")
SPARKS = read("torque_and_gap_cases.toml")["spark_rate"]
ORDERS = {case["engine"]: case["firing_order"] for case in CASES["rotation"]}
SCHEMES = {
    "next_in_firing_order_other_row": plug_rotation.next_other_row,
    "mirror_cylinder_other_row": plug_rotation.mirrored,
}
PHASES = {"same": MagnetoPhase.AGREE, "opposite": MagnetoPhase.OPPOSED}


def name_of(case: Facts) -> str:
    words = ("id", "engine", "scheme", "wiring", "phase", "cylinders", "poles", "rpm")
    return " ".join(str(case[each]) for each in words if each in case)


def made(case: Facts, order: list[int]) -> EngineType:
    radial = case["engine"].startswith("radial")
    rows = (Row.FRONT, Row.REAR) if radial else (Row.TOP, Row.BOTTOM)
    phase = PHASES[case.get("phase", "same")]
    return engine_type(order, rows=rows, wiring=case.get("wiring", "crossed"), phase=phase)


def from_first(walk: list[str]) -> tuple[str, ...]:
    start = walk.index(min(walk))
    return tuple(walk[start:] + walk[:start])


def test_the_tables_hold_as_many_cases_as_were_worked_out() -> None:
    counts = {table: len(cases) for table, cases in CASES.items()}
    assert counts == {"rotation": 11, "polarity": 10, "magneto_speed": 8, "rotation_polarity": 40}
    assert len(FIRING["engine"]) == 16


@pytest.mark.parametrize("case", CASES["rotation"], ids=name_of)
def test_every_plug_goes_where_the_case_says(case: Facts) -> None:
    engine = made(case, case["firing_order"])
    worked = rotation(engine, SCHEMES[case["scheme"]](engine)).value
    assert worked.scheme.key == case["scheme"]
    assert {str(each.old): str(each.new) for each in worked.moves} == case["moves"]
    walks = {from_first([str(at) for at in walk]) for walk in worked.cycles}
    assert walks == {from_first(walk) for walk in case["cycles"]}
    assert worked.rotations_until_home == case["rotations_until_home"]
    assert {len(walk) for walk in worked.cycles} == {case["distinct_places_a_plug_sees"]}


@pytest.mark.parametrize("case", CASES["rotation_polarity"], ids=name_of)
def test_a_scheme_does_to_polarity_what_the_case_says(case: Facts) -> None:
    engine = made(case, ORDERS[case["engine"]])
    worked = rotation(engine, SCHEMES[case["scheme"]](engine)).value
    assert len(worked.moves) == case["plugs"]
    assert len(worked.moves) - worked.change_magneto == case["stay_on_same_magneto"]
    assert len(worked.with_polarity(Change.CHANGES)) == case["polarity_changes"]
    assert [str(at) for at in worked.with_polarity(Change.STAYS)] == case["unchanged_from"]


@pytest.mark.parametrize("case", CASES["polarity"], ids=name_of)
def test_sparks_of_one_magneto_have_the_signs_of_the_case(case: Facts) -> None:
    order = case["firing_order"]
    for cycle in (1, 2):
        signs = {str(cylinder): sign for cylinder, sign in signs_of_cycle(order, cycle).items()}
        assert signs == case[f"cycle_{cycle}"]
    assert keeps_polarity(order) is case["constant"]
    assert firing_interval_deg(len(order)) == pytest.approx(case["firing_interval_deg"], rel=1e-4)


@pytest.mark.parametrize("case", CASES["polarity"], ids=name_of)
def test_the_polarity_of_places_agrees_with_the_signs_of_the_cylinders(case: Facts) -> None:
    engine = made(case, case["firing_order"])
    for cylinder, sign in case["cycle_1"].items():
        expected = (
            {1: Polarity.SAME, -1: Polarity.OPPOSITE}[sign] if case["constant"] else Polarity.ALTERNATES
        )
        assert polarity_at(engine, place(f"{cylinder}{engine.rows[0].row}")) is expected


@pytest.mark.parametrize("case", CASES["magneto_speed"], ids=name_of)
def test_a_magneto_turns_as_fast_as_the_case_says(case: Facts) -> None:
    assert magneto_speed(case["cylinders"], case["poles"]).value == pytest.approx(case["ratio"], rel=1e-4)


@pytest.mark.parametrize("case", SPARKS, ids=name_of)
def test_a_plug_sparks_as_often_as_the_case_says(case: Facts) -> None:
    rate = spark_rate(case["rpm"]).value
    assert rate == pytest.approx(case["sparks_per_second_per_plug"], rel=1e-4)
    assert rate * 3600 == pytest.approx(case["sparks_per_hour_per_plug"], rel=1e-4)


@pytest.mark.parametrize("case", FIRING["engine"], ids=name_of)
def test_every_published_order_can_be_rotated_and_its_polarity_told(case: Facts) -> None:
    order = case["order"]
    engine = engine_type(order)
    worked = rotation(engine, plug_rotation.usual(engine)).value
    home = len(order) if len(order) % 2 == 0 else 2 * len(order)
    assert worked.rotations_until_home == home
    assert worked.change_row == worked.change_place == 2 * len(order)
    assert firing_interval_deg(len(order)) == pytest.approx(case["firing_interval_deg"], rel=1e-6)
    assert keeps_polarity(order) is (case["polarity"] == "constant")


@pytest.mark.parametrize("number", [14, 18])
def test_double_row_orders_follow_their_published_rule(number: int) -> None:
    [order] = [each["order"] for each in FIRING["engine"] if each["id"] == f"radial{number}"]
    step = {14: 9, 18: 11}[number]
    assert all((after - before) % number == step for before, after in pairwise(order))


@pytest.mark.parametrize(
    "case", [each for each in FIRING["engine"] if each["id"] in ("radial5", "radial7", "radial9")]
)
def test_single_row_orders_fire_all_odd_numbers_then_all_even_ones(case: Facts) -> None:
    numbers = range(1, case["cylinders"] + 1)
    assert case["order"] == [
        *(each for each in numbers if each % 2),
        *(each for each in numbers if not each % 2),
    ]


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("opposed6_145236", "opposed6_163254"),
        ("opposed4_1324", "opposed4_1423"),
        ("radial9", "radial9_reversed"),
    ],
)
def test_an_engine_that_turns_the_other_way_sends_plugs_back_where_they_came_from(
    one: str, other: str
) -> None:
    orders = {each["id"]: each["order"] for each in FIRING["engine"]}
    forth, back = (plug_rotation.next_other_row(engine_type(orders[each])).moves for each in (one, other))
    assert all(back[new] == old for old, new in forth.items())
