"""How long the page of one engine takes in a large fleet, and all forecasts for one engine.

    python -m tests.benchmarks.engine_page [--engines 2000 --years 10]

Fills a fleet with engines of six cylinders, each with yearly rotations, looks and compression tests (about a
million rows for 2,000 engines and ten years), and a fleet of 20 of them. Prints the time of reading one
engine in the large fleet over the same in the small one (at most 1.5 is wanted), and the processor time of
every forecast of one engine (under 50 ms is wanted). Both fleets are read in turn, another engine each time;
medians of processor time.
"""

from __future__ import annotations

import argparse
import random
import statistics
import sys
import tempfile
import time
from collections import Counter
from collections.abc import Callable, Iterator
from datetime import date, timedelta
from decimal import Decimal
from pathlib import Path
from typing import Any

from annual_planner.library.shelf import Library, load_library
from annual_planner.planning.compression_views import cylinder_views, judged_tests
from annual_planner.planning.engine_facts import compression_facts, engine_facts
from annual_planner.planning.engines import read_engine
from annual_planner.planning.plug_views import bench_of
from annual_planner.store.bulk import insert_many
from annual_planner.store.opening import open_fleet
from annual_planner.store.plug_reads import engine_history
from annual_planner.store.session import Fleet
from annual_planner.trade.engines import EngineType
from annual_planner.trade.rotation import usual
from tests.benchmarks.fleet_page import in_turn

TODAY = date(2026, 5, 4)
BY = "a benchmark"
TYPE = "wrenlake_o6s"
SMALL = 20
YEARLY_HOURS = 90
TABLES = (
    "aircraft", "assembly", "installation", "aircraft_standing", "spark_plug", "plug_rotation", "plug_stay",
    "plug_check", "compression_test", "cylinder_reading",
)  # fmt: skip
Rows = dict[str, list[dict[str, Any]]]


def fill(fleet: Fleet, engine: EngineType, *, engines: int, years: int) -> int:
    """Write so many engines with so many years of history; how many rows it took."""
    count: Counter[str] = Counter()
    with fleet.work(BY) as work:
        for first in range(1, engines + 1, 100):
            rows: Rows = {table: [] for table in TABLES}
            for number in range(first, min(first + 100, engines + 1)):
                _OneEngine(number, engine, years, rows, count).write()
            for table in TABLES:
                insert_many(work, table, rows[table])
    return sum(count.values())


class _OneEngine:
    """Writes the rows of one engine."""

    def __init__(self, number: int, engine: EngineType, years: int, rows: Rows, count: Counter[str]) -> None:
        self._number = number
        self._engine = engine
        self._years = years
        self._rows = rows
        self._count = count
        self._draw = random.Random(number)
        self._key = engine.plug_types_at(engine.places[0])[0].key

    def write(self) -> None:
        """Write the airplane, its engine, its plugs and its tests."""
        self._airplane()
        moves = usual(self._engine).moves
        plugs = {at: self._plug() for at in self._engine.places}
        rotation_id: int | None = None
        for year in range(self._years):
            on, hours = self._day(year), Decimal(YEARLY_HOURS * year)
            stays = {
                at: self._stay(plug_id, str(at), on, hours, rotation_id) for at, plug_id in plugs.items()
            }
            self._test(on, hours)
            if year < self._years - 1:
                rotation_id = self._rotate(year + 1, plugs, stays)
                plugs = {moves[at]: plug_id for at, plug_id in plugs.items()}

    def _day(self, year: int) -> date:
        return TODAY - timedelta(days=365 * (self._years - year) - 200 + self._number % 30)

    def _add(self, table: str, **values: Any) -> int:
        self._count[table] += 1
        self._rows[table].append({"id": self._count[table], **values})
        return self._count[table]

    def _airplane(self) -> None:
        number, now = self._number, Decimal(YEARLY_HOURS * self._years)
        self._add(
            "aircraft", registration=f"N0{number:05}", maker="Maker", model="M", serial=str(number),
            year_built=1980, category="standard", uses=[], features=["wheels"], counts={"engines": 1},
            owner_id=None, base="", stated_hours_per_month=None, notes="",
        )  # fmt: skip
        self._add(
            "assembly", kind="engine", maker="Maker", model="E", serial=str(number), type_key=TYPE,
            hours_since_overhaul_at_fitting=None,
        )  # fmt: skip
        self._add(
            "installation", assembly_id=number, aircraft_id=number, position=1, fitted_on=date(2010, 1, 1),
            airframe_hours_at_fitting=Decimal(0), assembly_hours_at_fitting=Decimal(0), removed_on=None,
            airframe_hours_at_removal=None, assembly_hours_at_removal=None,
        )  # fmt: skip
        self._count["aircraft_standing"] += 1
        self._rows["aircraft_standing"].append(
            {
                "aircraft_id": number, "comes_first_on": TODAY, "first_requirement_id": None,
                "first_title": "", "state": "in date", "overdue": 0, "due_soon": 0,
                "annual_due_on": TODAY + timedelta(days=190), "hours_now": now, "landings_now": 900,
                "read_on": TODAY, "hours_per_month": Decimal("7.5"), "worked_out_on": TODAY,
            }
        )  # fmt: skip

    def _plug(self) -> int:
        tag = f"B{self._count['spark_plug'] + 1:07}"
        return self._add(
            "spark_plug", type_key=self._key, tag=tag, bought_on=None, hours_before=Decimal(0),
            scrapped_on=None, scrapped_why="", spare=False, note="",
        )  # fmt: skip

    def _stay(
        self, plug_id: int, at: str, on: date, hours: Decimal, rotation_id: int | None
    ) -> dict[str, Any]:
        self._add(
            "plug_stay", plug_id=plug_id, assembly_id=self._number, place=at, fitted_on=on,
            engine_hours_at_fitting=hours, removed_on=None, engine_hours_at_removal=None, gasket_out=None,
            fitted_by_rotation_id=rotation_id, removed_by_rotation_id=None, why="",
        )  # fmt: skip
        return self._rows["plug_stay"][-1]

    def _rotate(self, year: int, plugs: dict[Any, int], stays: dict[Any, dict[str, Any]]) -> int:
        on, hours = self._day(year), Decimal(YEARLY_HOURS * year)
        rotation_id = self._add(
            "plug_rotation", assembly_id=self._number, rotated_on=on, engine_hours=hours,
            scheme_key=usual(self._engine).key, moved="going in", state="in", departures={},
            new_gaskets=len(plugs), package_id=None, note="",
        )  # fmt: skip
        for at, plug_id in plugs.items():
            stays[at].update(
                removed_on=on, engine_hours_at_removal=hours, gasket_out=True,
                removed_by_rotation_id=rotation_id,
            )  # fmt: skip
            for stage, gap in (("before cleaning", 0.0205), ("after cleaning", 0.0195)):
                self._look(plug_id, str(at), on, hours, stage, gap, rotation_id)
        return rotation_id

    def _look(
        self, plug_id: int, at: str, on: date, hours: Decimal, stage: str, gap: float, rotation_id: int
    ) -> None:
        size = 0.080 - 0.000035 * float(hours) + self._draw.choice((-0.0003, 0.0, 0.0003))
        self._add(
            "plug_check", plug_id=plug_id, assembly_id=self._number, place=at, looked_on=on,
            engine_hours=hours, stage=stage, conditions=["normal"], damage=[], dropped=False, gaps_in=[gap],
            set_gap_in=gap if stage == "after cleaning" else None, electrode_in=round(size, 4), oval_in=None,
            resistance_ohm=None, sparks_under_pressure=True, verdict="clean", overruled_because="",
            rotation_id=rotation_id, note="",
        )  # fmt: skip

    def _test(self, on: date, hours: Decimal) -> None:
        test_id = self._add(
            "compression_test", assembly_id=self._number, tested_on=on, engine_hours=hours,
            minutes_since_shutdown=20, oil_temperature_c=66.0, cold=False, regulated_psi=80.0,
            restrictor_in=0.040, tester="Bench tester", master_psi=47.0, ambient_psi_a=14.5,
            elevation_ft=None, altimeter_inhg=None, after_work="", safety_ticked=[], package_id=None, note="",
        )  # fmt: skip
        for cylinder in sorted(self._engine.firing_order):
            psi = 78.0 - float(hours) / 100 + self._draw.choice((-1, 0, 1))
            self._add(
                "cylinder_reading", test_id=test_id, cylinder=cylinder, reading_psi=psi, first_psi=None,
                heard=[], rechecked=[], note="",
            )  # fmt: skip


def page_seconds(large: Fleet, small: Fleet, engines: int, library: Library) -> tuple[float, float]:
    """Median processor seconds of reading one engine in each fleet."""

    def page(fleet: Fleet, known: int) -> Callable[[int], object]:
        numbers = _numbers(known)

        def read(_: int) -> None:
            with fleet.reading() as work:
                view = read_engine(work, next(numbers), 1, library, TODAY)
                assert len(view.tests) > 0

        return read

    return in_turn(page(large, engines), page(small, SMALL), 60, time.thread_time)


def _numbers(known: int) -> Iterator[int]:
    draw = random.Random(7)
    while True:
        yield draw.randint(1, known)


def forecast_seconds(fleet: Fleet, engine: EngineType, library: Library) -> float:
    """Median processor seconds of the wear of every plug and the trend of every cylinder of one engine."""
    rule, facts, hours = engine_facts(engine).rule, compression_facts(), Decimal(YEARLY_HOURS * 10)
    with fleet.reading() as work:
        history = engine_history(work, 1, ())
    fitted = [stay.plug_id for stay in history.stays if stay.removed_on is None]
    took = []
    for _ in range(40):
        began = time.thread_time()
        bench = bench_of(history, 1, hours, library)
        plugs = [bench.plug(history.plugs[each]) for each in fitted]
        cylinder_views(engine.firing_order, judged_tests(history, rule, facts), history.changes, rule)
        took.append(time.thread_time() - began)
        assert all(plug.wear is not None for plug in plugs)
    return statistics.median(took)


def main(words: list[str]) -> int:
    """Make the fleets, measure, print."""
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("--engines", type=int, default=2_000)
    asked.add_argument("--years", type=int, default=10)
    given = asked.parse_args(words)
    library = load_library()
    engine = library.engine(TYPE)
    with tempfile.TemporaryDirectory() as folder:
        large = open_fleet(Path(folder) / "large.fleet", create=True)
        small = open_fleet(Path(folder) / "small.fleet", create=True)
        rows = fill(large, engine, engines=given.engines, years=given.years)
        fill(small, engine, engines=SMALL, years=given.years)
        in_large, in_small = page_seconds(large, small, given.engines, library)
        forecasts = forecast_seconds(large, engine, library)
        large.close()
        small.close()
    print(
        f"{given.engines} engines, {rows} rows: page of one engine {in_large * 1000:.1f} ms"
        f" / in a fleet of {SMALL} {in_small * 1000:.1f} ms = {in_large / in_small:.2f} (wanted <= 1.5)"
    )
    print(f"all forecasts for one engine: {forecasts * 1000:.1f} ms of processor time (wanted < 50)")
    return 0 if in_large / in_small <= 1.5 and forecasts < 0.050 else 1


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
