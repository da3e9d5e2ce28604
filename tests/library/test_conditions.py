"""What a used plug says comes from a file that names every condition once."""

from __future__ import annotations

from pathlib import Path

import pytest

from annual_planner.library.conditions import load_conditions
from annual_planner.library.shelf import Library, load_library
from annual_planner.trade.plugs import Condition, Verdict
from annual_planner.trade.refused import Refused
from tests.library.test_library_faults import write

FUSED = """
[[condition]]
key = "{key}"
looks_like = "as the shop sees it"
causes = ["one of ours"]
look_next = ["everywhere"]
verdict = "{verdict}"
source = "shop habit"
"""
PLUG = """
[[plug_type]]
key = "of_the_shop"
title = "Plug of the shop"
maker = "Somebody"
thread = "18 mm"
electrode = "massive"
gap_low_in = 0.016
gap_high_in = 0.021
electrode_in = 0.1
wear_limit_in = {limit}
price = 20
source = "shop habit"
"""


@pytest.fixture(scope="module")
def library() -> Library:
    return load_library()


def test_every_condition_has_a_row_of_its_own(library: Library) -> None:
    assert set(load_conditions()) == set(library.conditions_say()) == set(Condition)
    assert len(library.conditions) == len(Condition)


def test_a_shop_says_a_condition_in_its_own_words(tmp_path: Path) -> None:
    write(tmp_path, "plug_conditions.toml", FUSED.format(key="fused", verdict="replace"))
    said = load_library(tmp_path).conditions_say()
    assert said[Condition.FUSED].looks_like == "as the shop sees it"
    assert said[Condition.WORN] == load_conditions()[Condition.WORN]
    assert load_conditions(tmp_path)[Condition.FUSED] == said[Condition.FUSED]


@pytest.mark.parametrize(
    ("key", "verdict", "named"),
    [("rusty", "replace", "key: expected one of the conditions normal"), ("fused", "scrap it", "verdict:")],
)
def test_an_unknown_condition_or_verdict_is_named(tmp_path: Path, key: str, verdict: str, named: str) -> None:
    write(tmp_path, "plug_conditions.toml", FUSED.format(key=key, verdict=verdict))
    with pytest.raises(Refused) as caught:
        load_library(tmp_path)
    assert f'plug_conditions.toml, condition "{key}", {named}' in caught.value.said


def test_a_shops_plug_type_joins_the_whole_library_and_a_faulty_one_stops_it(tmp_path: Path) -> None:
    write(tmp_path, "plugs/ours.toml", PLUG.format(limit=0.05))
    assert load_library(tmp_path).plug_type("of_the_shop").title == "Plug of the shop"
    write(tmp_path, "plugs/ours.toml", PLUG.format(limit=0.2))
    with pytest.raises(Refused, match=r'plugs/ours\.toml, plug_type "of_the_shop"') as caught:
        load_library(tmp_path)
    assert "wear_limit_in" in caught.value.said


def test_types_are_found_by_key_or_refused_with_the_near_ones(library: Library) -> None:
    assert library.engine("ostermoor_r9").title == "Ostermoor R-9"
    with pytest.raises(Refused) as caught:
        library.engine("ostermor_r9")
    assert "ostermoor_r9" in caught.value.remedy
    with pytest.raises(Refused) as caught:
        library.plug_type("brannock_m81")
    assert "brannock_m18" in caught.value.remedy


def test_no_shipped_row_softens_what_scraps_a_plug(library: Library) -> None:
    scraps = {each.condition for each in library.conditions if each.verdict is Verdict.REPLACE}
    assert {Condition.FUSED, Condition.CRACKED_NOSE, Condition.METAL_SPRAYED} <= scraps
