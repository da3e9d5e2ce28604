"""What there is to find in the demo's engines is found by the program's own reckoning."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import closing
from pathlib import Path

import pytest

from annual_planner.library.shelf import Library, load_library
from annual_planner.planning.engine_view import EngineView
from annual_planner.planning.engines import read_engine
from annual_planner.store.fleet_reads import find_aircraft, fleet_ids
from annual_planner.store.opening import open_fleet
from annual_planner.store.plug_reads import engine_places
from annual_planner.store.session import Work
from annual_planner.trade.engines import Layout, Thread
from annual_planner.trade.plug_set import Reach
from annual_planner.trade.plugs import Verdict
from annual_planner.trade.recheck import Advice
from annual_planner.trade.rotation import Change
from annual_planner.trade.trends import Why
from demo_fleet.loader import DEMO_AIRPLANE, DEMO_TODAY


@pytest.fixture(scope="module")
def library() -> Library:
    return load_library()


@pytest.fixture(scope="module")
def work(sample: Path) -> Iterator[Work]:
    with closing(open_fleet(sample, read_only=True)) as fleet, fleet.reading() as reading:
        yield reading


def view(work: Work, library: Library, registration: str, position: int = 1) -> EngineView:
    return read_engine(work, find_aircraft(work, registration), position, library, DEMO_TODAY)


def test_every_engine_of_the_demo_has_a_type_a_full_set_of_plugs_and_a_test(
    work: Work, library: Library
) -> None:
    for aircraft_id in fleet_ids(work):
        for place in engine_places(work, aircraft_id):
            seen = read_engine(work, aircraft_id, place.position, library, DEMO_TODAY)
            assert all(at.plug is not None for at in seen.places), place.title
            assert seen.tests, place.title
            assert all(each.judged is not None for each in seen.tests), place.title


def test_the_guided_airplanes_third_cylinder_drifts_to_its_limit_through_the_exhaust_valve(
    work: Work, library: Library
) -> None:
    seen = view(work, library, DEMO_AIRPLANE)
    third = seen.cylinder(3)
    assert third is not None
    assert third.trend is not None
    outlook = third.trend.value.trend.outlook
    assert outlook is not None
    assert seen.hours_to_annual is not None
    assert outlook.early_hours < float(seen.hours_to_annual.value)
    assert third.latest is not None
    assert [each.key for each in third.latest.paths.value] == ["exhaust"]
    others = [each.trend.value.trend.outlook for each in seen.cylinders if each.trend and each is not third]
    assert others == [None, None, None]


def test_a_plug_with_a_cracked_nose_was_scrapped_and_replaced(work: Work, library: Library) -> None:
    seen = view(work, library, DEMO_AIRPLANE)
    [gone] = seen.removed
    assert gone.line.scrapped_why == "cracked nose"
    assert gone.looks[0].verdict is Verdict.REPLACE
    young = min(each.plug.run_hours for each in seen.places if each.plug and each.plug.run_hours is not None)
    assert young < seen.engine_hours / 2 if seen.engine_hours else False


def test_three_plugs_of_the_six_wont_reach_the_next_annual(work: Work, library: Library) -> None:
    seen = view(work, library, "N028RT")
    assert seen.engine_type.thread is Thread.MM14
    assert seen.outlook is not None
    places = seen.outlook.value.places
    assert (len(places[Reach.SHORT]), len(places[Reach.DOUBT]), len(places[Reach.WORN])) == (3, 0, 0)
    assert len(places[Reach.ENOUGH]) == 9


def test_a_low_cylinder_came_back_on_the_ladder(work: Work, library: Library) -> None:
    fourth = view(work, library, "N028RT").cylinder(4)
    assert fourth is not None
    assert fourth.latest is not None
    assert fourth.latest.line.first_psi == 41
    assert fourth.latest.recheck is not None
    assert fourth.latest.recheck.value.advice is Advice.CAME_BACK


def test_a_changed_cylinder_starts_a_new_series(work: Work, library: Library) -> None:
    second = view(work, library, "N028RT").cylinder(2)
    assert second is not None
    assert second.changes
    assert second.trend is not None
    assert second.trend.value.trend.why_not is Why.TOO_FEW
    assert "cylinder changed" in second.trend.value.trend.said


def test_another_restrictor_starts_a_new_series_on_the_nine_cylinder_radial(
    work: Work, library: Library
) -> None:
    seen = view(work, library, "N039TB")
    assert seen.engine_type.layout is Layout.RADIAL_SINGLE
    assert len(seen.cylinders) == 9
    for each in seen.cylinders:
        assert each.trend is not None
        assert len(each.trend.value.series) == 2
        assert "restrictor changed from 0.040 in to 0.060 in" in each.trend.value.trend.said


@pytest.mark.parametrize("registration", ["N045LS", "N066BU", "N095HT"])
def test_where_the_magnetos_oppose_each_other_the_usual_rotation_leaves_half_as_they_are(
    work: Work, library: Library, registration: str
) -> None:
    usual = view(work, library, registration).scheme.value
    assert len(usual.with_polarity(Change.STAYS)) == len(usual.moves) / 2 == 4


def test_looks_between_annuals_show_where_the_gaps_are_heading(work: Work, library: Library) -> None:
    seen = view(work, library, "N044LS")
    gaps = [each.plug.wear.value.gap for each in seen.places if each.plug and each.plug.wear]
    assert len(gaps) == 8
    assert sum(gap.trend.outlook is not None for gap in gaps) >= 6
    assert all(gap.per_100_h_in == pytest.approx(0.0014, abs=0.0003) for gap in gaps)


def test_each_engine_of_the_twin_has_plugs_and_readings_of_its_own(work: Work, library: Library) -> None:
    left, right = view(work, library, "N070VT"), view(work, library, "N070VT", 2)
    tags = [{each.plug.tag for each in seen.places if each.plug} for seen in (left, right)]
    assert [len(each) for each in tags] == [12, 12]
    assert not tags[0] & tags[1]
    assert left.tests[0].line.test_id != right.tests[0].line.test_id
