from __future__ import annotations

import json
import re
from dataclasses import replace
from datetime import date
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest

from annual_planner.exchange.engines import engine_table
from annual_planner.planning import engine_values
from annual_planner.planning.engine_values import engine_as_values
from annual_planner.planning.engines import NoEngineType, read_engine
from annual_planner.planning.explain import explain
from annual_planner.planning.explain_engine import explained
from annual_planner.records.compliances import RecordCompliance
from annual_planner.records.compression import RecordTest
from annual_planner.records.compression_checks import ReadCylinder
from annual_planner.records.cylinder_work import RecordCylinderChange
from annual_planner.records.plug_looks import RecordPlugCheck
from annual_planner.records.plug_stock import SetEngineType
from annual_planner.store.bulk import insert_many
from annual_planner.store.mappings import Base
from annual_planner.store.opening import open_fleet
from annual_planner.store.session import Fleet
from annual_planner.store.writing import change, rows_where
from annual_planner.trade.compression_safety import SAFETY_STEPS
from annual_planner.trade.plug_check import AFTER, BEFORE, PlugSeen
from annual_planner.trade.plug_set import Reach
from annual_planner.trade.plugs import Condition, Verdict
from annual_planner.trade.recheck import RecheckDone
from annual_planner.trade.refused import Refused
from annual_planner.trade.trends import Why
from tests.fleets import TODAY, fleet, server_template
from tests.records.engine_fleet import FOUR, NOW, OUT_ON, Shop, library, plug_key, shop
from tests.statements import statements

__all__ = ["fleet", "server_template"]

TICKED = tuple(step.key for step in SAFETY_STEPS)


def record(its: Shop, on: date, hours: str, *psi: float, **given: Any) -> None:
    readings = tuple(ReadCylinder(n, each) for n, each in enumerate(psi, 1))
    made = {"restrictor_in": 0.040, "tester": "red", "elevation_ft": 500.0, "library": library()}
    its.apply(RecordTest(its.assembly_id, on, Decimal(hours), readings, TICKED, **{**made, **given}))


@pytest.fixture
def its(fleet: Fleet) -> Shop:
    """A cylinder 2 that falls from test to test, and a plug 1T whose electrode wears away."""
    found = shop(fleet)
    for year, hours, low in (
        (2021, "100", 76.0),
        (2022, "200", 73.0),
        (2023, "300", 70.5),
        (2024, "400", 66.5),
    ):
        record(found, date(year, 5, 1), hours, 77.0, low, 76.0, 78.0)
    again = RecheckDone("run_again", 62.0)
    heard = ReadCylinder(2, 58.0, ("exhaust",), (again,))
    last = (ReadCylinder(1, 76.0), heard, ReadCylinder(3, 76.0), ReadCylinder(4, 77.0))
    found.apply(
        RecordTest(
            found.assembly_id, OUT_ON, NOW, last, TICKED, restrictor_in=0.040, tester="red",
            elevation_ft=500.0, library=library(),
        )
    )  # fmt: skip
    return found


@pytest.fixture
def worn(its: Shop) -> Shop:
    """Plug P1 with a long record of looks: its electrode at half a thousandth left and falling."""
    new = library().plug_type(plug_key()).electrode_in
    limit = library().plug_type(plug_key()).wear_limit_in
    rows = []
    with its.fleet.work("a test") as work:
        for n in range(6):
            size = new - (new - limit) * n / 6
            rows.append(
                {
                    "plug_id": 1,
                    "assembly_id": None,
                    "place": "1T",
                    "looked_on": date(2020 + n, 5, 1),
                    "engine_hours": None,
                    "stage": BEFORE,
                    "conditions": ["normal"],
                    "damage": [],
                    "dropped": False,
                    "gaps_in": [0.016 + 0.0004 * n],
                    "set_gap_in": None,
                    "electrode_in": size,
                    "oval_in": None,
                    "resistance_ohm": None,
                    "sparks_under_pressure": None,
                    "verdict": "clean",
                    "overruled_because": "",
                    "rotation_id": None,
                    "note": "",
                }
            )
        for n, row in enumerate(rows):
            row["engine_hours"] = Decimal(100 * n)
            row["assembly_id"] = its.assembly_id
        stays = list(rows_where(work, "plug_stay", plug_id=1))
        assert len(stays) == 1
        insert_many(work, "plug_check", rows)
    with its.fleet.work("a test") as work:
        saw = {"fitted_on": date(2026, 1, 4), "engine_hours_at_fitting": Decimal(500)}
        wants = {"fitted_on": date(2020, 1, 1), "engine_hours_at_fitting": Decimal(0)}
        change(work, "plug_stay", stays[0], saw, wants)
    return its


def test_the_page_of_an_engine_shows_each_place_with_its_plug(its: Shop) -> None:
    view = its.view()
    assert (view.registration, view.position, view.engine_type.key) == ("N012AP", 1, FOUR)
    assert view.engine_hours == NOW
    assert [place.plug.tag for place in view.places if place.plug] == [f"P{n}" for n in range(1, 9)]
    assert {place.next_place for place in view.places} == {place.place for place in view.places}


def test_a_falling_cylinder_is_foreseen_and_a_steady_one_is_not(its: Shop) -> None:
    falling, steady = its.view().cylinder(2), its.view().cylinder(3)
    assert falling is not None
    assert falling.trend is not None
    assert falling.trend.value.trend.outlook is not None
    assert falling.latest is not None
    assert falling.latest.line.reading_psi == 62.0
    assert steady is not None
    assert steady.trend is not None
    assert steady.trend.value.trend.why_not is Why.NO_DIRECTION


def test_a_low_reading_keeps_what_was_read_first_and_where_air_was_heard(its: Shop) -> None:
    reading = its.view().tests[0].reading(2)
    assert reading is not None
    assert (reading.line.first_psi, reading.line.reading_psi) == (58.0, 62.0)
    assert [path.key for path in reading.paths.value] == ["exhaust"]
    assert reading.recheck is not None
    assert reading.recheck.value.advice.value.startswith("came back")


def test_work_on_a_cylinder_starts_its_readings_anew(its: Shop) -> None:
    changed = RecordCylinderChange(its.assembly_id, 2, date(2025, 6, 1), None, "overhauled", "", library())
    its.apply(changed)
    cylinder = its.view().cylinder(2)
    assert cylinder is not None
    assert cylinder.trend is not None
    assert [len(run.tests) for run in cylinder.trend.value.series] == [4, 1]
    assert cylinder.trend.value.trend.why_not is Why.TOO_FEW


def test_the_set_says_which_plug_will_not_reach_the_next_annual(worn: Shop) -> None:
    worn.apply(RecordCompliance(1, date(2026, 4, 20), None))
    view = worn.view()
    assert view.outlook is not None
    assert view.hours_to_annual is not None
    assert view.hours_to_annual.value > 100
    assert view.at(view.places[0].place).reach in (Reach.SHORT, Reach.DOUBT)
    assert view.unfit == (view.places[0].place,)
    assert view.outlook.value.cost_later > view.outlook.value.cost_now


def test_without_a_known_annual_the_outlook_says_why_it_is_missing(its: Shop) -> None:
    view = its.view()
    assert view.outlook is None
    assert "annual" in view.outlook_refused


def test_an_engine_of_no_type_is_refused_with_what_to_do(its: Shop) -> None:
    its.apply(SetEngineType(its.assembly_id, FOUR, "", library()))
    with pytest.raises(NoEngineType, match="Choose its engine type"):
        its.view()


@pytest.mark.parametrize("position", [0, 2, -1])
def test_a_position_without_an_engine_is_refused(its: Shop, position: int) -> None:
    with pytest.raises(Refused, match=f"no engine {position}"):
        its.view(position)


def test_a_fouled_plug_in_the_tray_waits_with_its_verdict(its: Shop) -> None:
    rotation = its.take_out("1T", "1B")
    look = RecordPlugCheck(
        1, rotation, BEFORE, OUT_ON, PlugSeen((Condition.LEAD_FOULED,), gaps_in=(0.022,)), library=library()
    )
    its.apply(look)
    its.apply(replace(look, stage=AFTER, seen=PlugSeen(gaps_in=(0.022,)), set_gap_in=0.017))
    view = its.view()
    assert view.tray is not None
    slot = view.tray.slots[0]
    assert slot.before is not None
    assert slot.after is not None
    assert (slot.verdict, slot.plug.last_gap_in) == (Verdict.CLEAN, 0.017)
    assert slot.plug.hours_since_set == Decimal(0)
    assert view.tray.gaskets.said == "0 gaskets out of 2 plugs; not asked at 1T, 1B"


EVERY = [
    "", "plug 1t", "plug 4B", "cylinder 2", "rotation", "proposal", "polarity", "test", "test 2021-05-01",
    "torque", "restrictor", "set", "hours",
]  # fmt: skip


@pytest.mark.parametrize("thing", EVERY)
def test_every_number_has_its_working(worn: Shop, thing: str) -> None:
    worn.apply(RecordCompliance(1, date(2026, 4, 20), None))
    with worn.fleet.reading() as work:
        working = explain(work, f"N012AP engine 1 {thing}", library(), TODAY)
    assert working.title
    assert working.result
    assert working == explained(worn.view(), thing.split())


@pytest.mark.parametrize(
    ("thing", "said"),
    [
        ("plug 9T", "no place 9T"),
        ("plug x", "no place of a plug"),
        ("cylinder 7", "no cylinder 7"),
        ("cylinder two", "no cylinder two"),
        ("test 1999-01-01", "no compression test of 1999-01-01"),
        ("tray", "No plugs"),
        ("set", "annual"),
        ("colour", "nothing of an engine"),
        ("plug 1T 2T", "nothing of an engine"),
    ],
)
def test_what_can_not_be_explained_is_refused_with_the_choices(its: Shop, thing: str, said: str) -> None:
    with pytest.raises(Refused, match=said):
        explained(its.view(), thing.split())


def test_the_values_are_json_and_have_the_keys_that_are_written_down(worn: Shop) -> None:
    worn.take_out("2T")
    values = engine_as_values(worn.view())
    assert json.loads(json.dumps(values, allow_nan=False)) == values
    written = re.findall(r"^\| `(\w+)` \|", engine_values.__doc__ or "", flags=re.MULTILINE)
    assert list(values) == written
    assert values["places"][0]["plug"]["tag"] == "P1"
    assert values["places"][2]["plug"] is None
    assert values["tray"]["slots"][0]["place"] == "2T"


def test_the_table_names_places_tray_and_cylinders(its: Shop) -> None:
    its.take_out("2T")
    text = engine_table(its.view())
    for said in ("N012AP engine 1", "P1", "tray: 0 gaskets out of 1 plug", "62/80", "exhaust"):
        assert said in text


def test_an_engine_is_read_from_indexes_alone_in_as_many_questions_whatever_there_is(tmp_path: Path) -> None:
    its = shop(open_fleet(tmp_path / "asked.fleet", create=True))
    with statements(its.fleet) as first, its.fleet.reading() as work:
        read_engine(work, its.aircraft_id, 1, library(), TODAY)
    its.take_out()
    record(its, TODAY, "500", 70.0, 61.0, 70.0, 70.0)
    with statements(its.fleet) as sent, its.fleet.reading() as work:
        read_engine(work, its.aircraft_id, 1, library(), TODAY)
    assert len(first.selects) == len(sent.selects)
    with its.fleet.engine.connect() as connection:
        steps = [
            str(row[3])
            for statement, parameters in sent.selects
            for row in connection.exec_driver_sql(f"EXPLAIN QUERY PLAN {statement}", parameters)
        ]
    its.fleet.close()
    scans = {step.split()[1] for step in steps if step.startswith("SCAN")}
    assert not scans & set(Base.metadata.tables), steps
