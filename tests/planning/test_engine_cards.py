from __future__ import annotations

from dataclasses import replace

import pytest

from annual_planner.library.engines import EngineShelf, load_engines
from annual_planner.library.shelf import Library
from annual_planner.planning.drafts import Draft, annual_drafts, template_drafts
from annual_planner.planning.engine_cards import UNKNOWN_TYPE, Types
from annual_planner.store.rows import AircraftSheet
from annual_planner.trade.engines import EngineType
from tests.planning.conftest import Planned

TOLD = ("hot_top_plugs_out", "hot_compression", "open_bottom_plugs", "service_plugs", "install_plugs")


@pytest.fixture(scope="module")
def shelf() -> EngineShelf:
    return load_engines()


@pytest.fixture(scope="module")
def sheet(settled: Planned) -> AircraftSheet:
    return settled.view().aircraft


def cards(library: Library, sheet: AircraftSheet, types: Types) -> dict[str, Draft]:
    return {draft.key: draft for draft in annual_drafts(library.cards, sheet, types)}


def measured(draft: Draft, words: str) -> tuple[str, str | None, str | None, int]:
    found = next(each for each in draft.content.measurements if words in each.name)
    return found.name, found.low, found.high, found.count


def test_without_a_type_the_cards_are_as_before_and_say_what_is_missing(
    library: Library, sheet: AircraftSheet
) -> None:
    found = cards(library, sheet, {})
    assert all(found[key].note == UNKNOWN_TYPE for key in TOLD)
    assert found["service_oil_filter"].note == ""
    names = [each.name for each in found["install_plugs"].content.measurements]
    assert names == ["Torque, 14 mm thread", "Torque, 18 mm thread"]
    assert "deep plug socket" in found["install_plugs"].content.tools


def test_a_type_gives_torque_gaskets_gaps_limits_and_restrictor(
    library: Library, sheet: AircraftSheet, shelf: EngineShelf
) -> None:
    found = cards(library, sheet, {1: shelf.engine("wrenlake_o6")})
    assert all(not found[key].note for key in TOLD)
    assert measured(found["install_plugs"], "Torque") == ("Torque, 18 mm thread", "300", "360", 12)
    assert measured(found["service_plugs"], "Smallest gap") == ("Smallest gap", "0.016", "0.021", 12)
    assert measured(found["hot_compression"], "Reading") == ("Reading at 80 psi", None, "80", 6)
    gaskets = [each.quantity for each in found["install_plugs"].content.parts if each.name == "Plug gasket"]
    assert gaskets == ["12"]
    tools = [tool for key in TOLD for tool in found[key].content.tools]
    assert "restrictor 0.040 in for the tester (bore 5.125 in)" in tools
    assert "second wrench to hold the lead" in tools
    assert "short plug socket for 18 mm plugs" in tools
    assert any(tool.startswith("thread chaser 18 mm") for tool in tools)
    assert "deep plug socket" not in tools


def test_the_type_goes_before_the_thread_and_the_counts_on_the_sheet(
    library: Library, sheet: AircraftSheet, shelf: EngineShelf
) -> None:
    wrong = replace(sheet, features=(*sheet.features, "plugs_18mm"))
    found = cards(library, wrong, {1: shelf.engine("pellworm_l6")})
    torques = [each for each in found["install_plugs"].content.measurements if "Torque" in each.name]
    assert [(each.name, each.count) for each in torques] == [("Torque, 14 mm thread", 12)]
    uncounted = replace(sheet, counts={"engines": 1, "wheels": 3})
    assert cards(library, uncounted, {1: shelf.engine("ostermoor_r9")})["install_plugs"].content.parts


def test_each_engine_of_a_twin_goes_by_its_own_type(
    library: Library, sheet: AircraftSheet, shelf: EngineShelf
) -> None:
    twin = replace(sheet, counts={"engines": 2, "cylinders": 8, "plugs": 16, "wheels": 3})
    found = cards(library, twin, {1: shelf.engine("wrenlake_o4"), 2: shelf.engine("halvergate_s6")})
    assert measured(found["install_plugs#1"], "Torque")[3] == 8
    assert measured(found["install_plugs#2"], "Torque")[3] == 12
    half = cards(library, twin, {2: shelf.engine("halvergate_s6")})
    assert half["install_plugs#1"].note == UNKNOWN_TYPE
    assert not half["install_plugs#2"].note


def test_the_limit_of_a_reading_is_the_one_the_type_has(
    library: Library, sheet: AircraftSheet, shelf: EngineShelf
) -> None:
    def reading(key: str) -> tuple[str | None, str]:
        content = cards(library, sheet, {1: shelf.engine(key)})["hot_compression"].content
        return next((each.low, each.note) for each in content.measurements if each.per == "cylinder")

    by_master, spread, loss = reading("wrenlake_o6"), reading("halvergate_s6"), reading("wrenlake_o4")
    assert by_master[0] is None
    assert "no reading under that of the master restrictor" in by_master[1]
    assert spread[0] == loss[0] == "60"
    assert "over 15 psi between cylinders: investigate" in spread[1]
    assert "between cylinders" not in loss[1]


def test_gaps_are_told_by_row_where_the_rows_take_different_plugs(
    library: Library, sheet: AircraftSheet, shelf: EngineShelf
) -> None:
    content = cards(library, sheet, {1: shelf.engine("halvergate_s6")})["service_plugs"].content
    note = next(each.note for each in content.measurements if each.name == "Smallest gap")
    assert note == (
        "top: Brannock M18C massive, colder 0.015 to 0.018 in; bottom: Brannock M18 massive 0.016 to 0.021 in"
    )


def test_new_plugs_are_named_by_what_the_engine_takes(
    library: Library, sheet: AircraftSheet, shelf: EngineShelf
) -> None:
    template = next(each for each in library.cards if each.key == "replace_plugs")
    engine: EngineType = shelf.engine("wrenlake_o4")
    (draft,) = template_drafts(template, sheet, origin="due", types={1: engine})
    assert draft.content.parts[0].name == ("Spark plug, Brannock M18 massive or Quillfire W18 fine wire")
