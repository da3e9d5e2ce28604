"""Which records belong to an airplane when engines and plugs have been elsewhere too."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import closing
from datetime import date
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest

from annual_planner.store.fleet_reads import find_aircraft
from annual_planner.store.hand_over_reads import handed_over
from annual_planner.store.hand_over_rows import HandedOver
from annual_planner.store.opening import open_fleet
from annual_planner.store.session import Fleet
from annual_planner.store.writing import add, change, rows_where
from tests.exchange.hand_over.handed import file_of, take_in
from tests.fleets import airplane, made
from tests.statements import statements

MOVED = date(2026, 2, 1)


@pytest.fixture(scope="module")
def moved(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Fleet]:
    """The engine of N012AP went to N034BQ on a day; it was tested before and after, its plug looked at."""
    folder = tmp_path_factory.mktemp("moved")
    with closing(open_fleet(folder / "moved.fleet", create=True)) as fleet:
        first = made(fleet, airplane())
        second = made(fleet, airplane("N034BQ", serial="18", assemblies=()))
        with fleet.work("a test") as work:
            _move(work, first, second)
        yield fleet


def _move(work: Any, first: int, second: int) -> None:
    engine = next(key for key, row in rows_where(work, "assembly").items() if row["kind"] == "engine")
    [(stay, was)] = rows_where(work, "installation", assembly_id=engine).items()
    left = {
        "removed_on": MOVED,
        "airframe_hours_at_removal": Decimal(1510),
        "assembly_hours_at_removal": Decimal(510),
    }
    change(work, "installation", stay, {}, left)
    fitted = {"fitted_on": MOVED, "airframe_hours_at_fitting": Decimal(1500), "position": 1}
    hours = {"assembly_hours_at_fitting": Decimal(510)}
    add(work, "installation", {"assembly_id": engine, "aircraft_id": second, **fitted, **hours})
    package = {"aircraft_id": first, "number": "1", "title": "Annual", "start_on": MOVED, "horizon_on": MOVED}
    package_id = add(work, "work_package", package)
    for on in (date(2026, 1, 10), date(2026, 3, 1)):
        test = {"assembly_id": engine, "tested_on": on, "regulated_psi": 80.0, "safety_ticked": []}
        test_id = add(work, "compression_test", {**test, "package_id": package_id})
        reading = {"test_id": test_id, "cylinder": 1, "reading_psi": 75.0, "heard": [], "rechecked": []}
        add(work, "cylinder_reading", reading)
    _plugs(work, engine, was["fitted_on"])


def _plugs(work: Any, engine: int, fitted_on: object) -> None:
    other = add(work, "assembly", {"kind": "engine", "maker": "Brindle", "model": "B-100", "serial": "E9"})
    plug = add(work, "spark_plug", {"type_key": "x", "tag": "P1", "hours_before": Decimal(40)})
    stay = {"plug_id": plug, "place": "1T", "fitted_on": date(2025, 1, 1)}
    ran = {"engine_hours_at_fitting": Decimal(0), "engine_hours_at_removal": Decimal(60)}
    add(work, "plug_stay", {**stay, "assembly_id": other, "removed_on": date(2025, 6, 1), **ran})
    now = {"assembly_id": engine, "engine_hours_at_fitting": Decimal(500), "fitted_on": fitted_on}
    add(work, "plug_stay", {**stay, **now})


def records_of(fleet: Fleet, registration: str) -> HandedOver:
    with fleet.reading() as work:
        return handed_over(work, find_aircraft(work, registration), keeper="x", handed_on=MOVED)


def test_the_airplane_that_an_engine_left_keeps_its_history_until_then(moved: Fleet) -> None:
    tables = records_of(moved, "N012AP").tables
    assert [row["tested_on"] for row in tables["compression_test"]] == [date(2026, 1, 10)]
    assert len(tables["cylinder_reading"]) == 1
    assert {row["aircraft_id"] for row in tables["installation"]} == {tables["aircraft"][0]["id"]}


def test_the_engine_brings_all_its_history_to_where_it_is_fitted(moved: Fleet) -> None:
    tables = records_of(moved, "N034BQ").tables
    assert len(tables["compression_test"]) == len(tables["cylinder_reading"]) == 2
    assert {row["package_id"] for row in tables["compression_test"]} == {None}, "another airplane's visit"
    assert {row["kind"] for row in tables["assembly"]} == {"airframe", "engine"}


def test_a_plug_brings_the_hours_it_ran_in_other_engines(moved: Fleet) -> None:
    tables = records_of(moved, "N034BQ").tables
    assert [row["hours_before"] for row in tables["spark_plug"]] == [Decimal(100)]
    assert len(tables["plug_stay"]) == 1


@pytest.mark.parametrize("registration", ["N012AP", "N034BQ"])
def test_both_can_be_handed_over_and_taken_in(moved: Fleet, registration: str, tmp_path: Path) -> None:
    path, _ = file_of(moved, tmp_path, registration)
    with closing(open_fleet(tmp_path / "next.fleet", create=True)) as following:
        assert take_in(following, path) == 1


def test_names_that_are_taken_get_another_and_the_person_is_told(moved: Fleet, tmp_path: Path) -> None:
    from annual_planner.exchange.hand_over.reading import opened_hand_over
    from annual_planner.records.taking_in_preview import preview

    path, _ = file_of(moved, tmp_path, "N034BQ")
    with closing(open_fleet(tmp_path / "next.fleet", create=True)) as following:
        with following.work("a test") as work:
            add(work, "spark_plug", {"type_key": "x", "tag": "P1", "hours_before": None})
        with following.reading() as work, opened_hand_over(path) as found:
            remarks = preview(work, found.records, MOVED).remarks
        take_in(following, path)
        with following.reading() as work:
            tags = [row["tag"] for row in rows_where(work, "spark_plug").values()]
    assert tags == ["P1", "P1 (N034BQ)"]
    assert any("taken in as 'P1 (N034BQ)'" in remark for remark in remarks)


def test_reading_takes_as_many_queries_for_much_as_for_little(moved: Fleet) -> None:
    little = queries(moved, "N034BQ")
    with moved.work("a test") as work:
        meter = next(iter(rows_where(work, "meter", aircraft_id=find_aircraft(work, "N012AP"))))
        aircraft_id = find_aircraft(work, "N012AP")
        for day in range(1, 29):
            read = {"meter_id": meter, "aircraft_id": aircraft_id, "read_on": date(2026, 2, day)}
            add(work, "meter_reading", {**read, "meter_hours": Decimal(1510)})
    assert queries(moved, "N012AP") == little


def queries(fleet: Fleet, registration: str) -> int:
    with fleet.reading() as work:
        aircraft_id = find_aircraft(work, registration)
        with statements(fleet) as sent:
            handed_over(work, aircraft_id, keeper="x", handed_on=MOVED)
    return len(sent)
