"""Engine and plug types: what ships is whole, and a wrong file is refused with every fault in it."""

from __future__ import annotations

import tomllib
from pathlib import Path

import pytest

from annual_planner.library.engines import EngineShelf, load_engines, read_engines
from annual_planner.library.files import shipped
from annual_planner.trade.engines import EngineType, Layout, MagnetoPhase, Row, place
from annual_planner.trade.plugs import Thread
from annual_planner.trade.refused import Refused

SHELF = load_engines()
PLUG = """[[plug_type]]
key = "shop_plug"
title = "Plug of the shop"
maker = "Shop"
thread = "18 mm"
electrode = "massive"
gap_low_in = 0.016
gap_high_in = 0.021
electrode_in = 0.1
wear_limit_in = 0.05
price = 10
source = "the maker's sheet"
"""
ENGINE = """[[engine]]
key = "shop_engine"
title = "Engine of the shop"
maker = "Shop"
layout = "inline"
firing_order = [1, 2]
cylinders = [{ number = 1, x = 0, y = 0 }, { number = 2, x = 0, y = 1 }]
rows = [{ row = "T", plug_types = ["shop_plug"] }, { row = "B", plug_types = ["shop_plug"] }]
left_magneto = ["1T", "2T"]
right_magneto = ["1B", "2B"]
phase = "unknown"
polarity = "by_firing_index"
thread = "18 mm"
torque = { low_nm = 34, high_nm = 40, source = "the maker's sheet" }
bore_in = 4
restrictor = { choice = "by_bore", source = "AC 43.13-1B" }
compression = { kind = "master_orifice", source = "the maker's sheet" }
"""


def read(folder: Path, engine: str = ENGINE, plug: str = PLUG) -> EngineShelf:
    for name, text in (("engines", engine), ("plugs", plug)):
        (folder / name).mkdir(exist_ok=True)
        (folder / name / "shop.toml").write_text(text, encoding="utf-8")
    return read_engines(folder)


def refusal(folder: Path, engine: str = ENGINE, plug: str = PLUG) -> str:
    with pytest.raises(Refused) as caught:
        read(folder, engine, plug)
    assert caught.value.remedy
    return caught.value.said


def changed(text: str, old: str, new: str) -> str:
    assert old in text
    return text.replace(old, new)


def test_every_layout_and_both_threads_ship() -> None:
    assert {each.layout for each in SHELF.engines} == set(Layout)
    assert {each.thread for each in SHELF.engines} == set(Thread)
    assert {each.cylinder_count for each in SHELF.engines if each.layout is Layout.OPPOSED} == {4, 6, 8}
    assert {each.phase for each in SHELF.engines} == set(MagnetoPhase)
    assert any(each.rows_differ for each in SHELF.engines)


def test_shipped_firing_orders_are_published_ones() -> None:
    file = Path(__file__).parent.parent / "outside" / "firing_orders.toml"
    published = tomllib.loads(file.read_text(encoding="utf-8"))["engine"]
    orders = {tuple(each["order"]) for each in published}
    assert {each.firing_order for each in SHELF.engines} <= orders


@pytest.mark.parametrize("engine", SHELF.engines, ids=lambda each: each.key)
def test_every_plug_of_a_shipped_engine_has_one_magneto_and_a_type(engine: EngineType) -> None:
    assert len(engine.places) == 2 * engine.cylinder_count == 2 * len(engine.left_feeds)
    assert all(engine.plug_types_at(at) for at in engine.places)
    assert {engine.magneto_at(at) for at in engine.places} == {"left", "right"}


@pytest.mark.parametrize("engine", SHELF.engines, ids=lambda each: each.key)
def test_cylinders_of_the_drawing_stand_a_spacing_apart(engine: EngineType) -> None:
    stands = [complex(each.x, each.y) for each in engine.cylinders]
    apart = min(abs(a - b) for a in stands for b in stands if a is not b)
    assert apart > 0.9


def test_radials_are_numbered_as_seen_from_the_front() -> None:
    """Clockwise from the rear is to the left from the front; number 1 is at the top."""
    radial = SHELF.engine("ostermoor_r9")
    first, second = radial.cylinders[0], radial.cylinders[1]
    assert first.y == min(each.y for each in radial.cylinders)
    assert second.x < first.x
    assert {each.row for each in radial.rows} == {Row.FRONT, Row.REAR}


def test_a_type_is_found_by_its_key_or_refused_with_those_there_are() -> None:
    assert SHELF.engine("wrenlake_o4").title == "Wrenlake O-4"
    assert SHELF.plug_type("quillfire_m14").thread is Thread.MM14
    with pytest.raises(Refused, match="'nothing'") as caught:
        SHELF.engine("nothing")
    assert "wrenlake_o4" in caught.value.remedy
    with pytest.raises(Refused, match="plug type 'nothing'"):
        SHELF.plug_type("nothing")


def test_an_engine_of_the_shop_is_added_and_replaces_its_key(tmp_path: Path) -> None:
    read(tmp_path)
    added = load_engines(tmp_path)
    assert len(added.engines) == len(SHELF.engines) + 1
    read(tmp_path, changed(ENGINE, "shop_engine", "wrenlake_o4"))
    assert load_engines(tmp_path).engine("wrenlake_o4").title == "Engine of the shop"


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ("[1, 2]", "[1, 1]", "each cylinder from 1 to the last, once"),
        ("{ number = 2, x = 0, y = 1 }", "{ number = 2, x = 0, y = 0 }", "stand apart"),
        ("{ number = 2, x = 0, y = 1 }", "{ number = 3, x = 0, y = 1 }", "place each cylinder"),
        ('row = "B"', 'row = "R"', "rows T and B, or F and R"),
        ('["1B", "2B"]', '["1B"]', "feed each place once (see 2B)"),
        ('["1B", "2B"]', '["1B", "2B", "1T"]', "feed each place once (see 1T)"),
        ('["1B", "2B"]', '["1B", "2X"]', "places such as 3T"),
        ("low_nm = 34", "low_nm = 44", "low_nm no higher than high_nm"),
        ('"master_orifice"', '"leakage_limit"', "lowest_psi"),
        ('"master_orifice"', '"spread"', "spread_psi"),
        ('"by_bore"', '"fixed"', "fixed_in"),
        ('phase = "unknown"', 'phase = "both"', "'agree', 'opposed' or 'unknown'"),
        ('layout = "inline"', 'layout = "radial_single_row"', "odd number of cylinders"),
        ('plug_types = ["shop_plug"] }]', 'plug_types = ["no_plug"] }]', "a known plug type"),
        ('thread = "18 mm"', 'thread = "14 mm"', "plug types with a 14 mm thread"),
        ("bore_in = 4", "bore_in = 4\nstroke_in = 4", "the unknown key stroke_in"),
    ],
)
def test_a_wrong_engine_is_refused_by_what_is_wrong(tmp_path: Path, old: str, new: str, said: str) -> None:
    said_of_it = refusal(tmp_path, changed(ENGINE, old, new))
    assert 'engines/shop.toml, engine "shop_engine"' in said_of_it
    assert said in said_of_it


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ("gap_low_in = 0.016", "gap_low_in = 0.022", "gap_low_in under gap_high_in"),
        ("wear_limit_in = 0.05", "wear_limit_in = 0.1", "wear_limit_in under electrode_in"),
        ("price = 10", "price = -1", "price"),
        ('"18 mm"', '"12 mm"', "'14 mm' or '18 mm'"),
    ],
)
def test_a_wrong_plug_type_is_refused_by_what_is_wrong(tmp_path: Path, old: str, new: str, said: str) -> None:
    assert said in refusal(tmp_path, plug=changed(PLUG, old, new))


def test_all_faults_of_both_files_are_told_at_once(tmp_path: Path) -> None:
    said = refusal(tmp_path, changed(ENGINE, "[1, 2]", "[1, 1]"), changed(PLUG, "price = 10", "price = -1"))
    assert said.startswith("2 faults")


def test_a_double_row_must_fire_from_row_to_row(tmp_path: Path) -> None:
    text = shipped().joinpath("engines/radial.toml").read_text(encoding="utf-8")
    assert "1, 10, 5, 14" in text
    wrong = text.replace("1, 10, 5, 14", "1, 5, 10, 14")
    plugs = shipped().joinpath("plugs/plugs.toml").read_text(encoding="utf-8")
    assert "from row to row" in refusal(tmp_path, wrong, plugs)


def test_a_place_is_read_as_written_or_refused() -> None:
    assert str(place(" 12t ")) == "12T"
    for text in ("", "T3", "0T", "3X", "123T"):
        with pytest.raises(Refused, match="no place of a plug"):
            place(text)


def test_an_opposed_engine_has_an_even_number_of_cylinders(tmp_path: Path) -> None:
    wrong = changed(changed(ENGINE, "[1, 2]", "[1, 2, 3]"), '"inline"', '"opposed"')
    assert "an even number of cylinders for the layout opposed" in refusal(tmp_path, wrong)
