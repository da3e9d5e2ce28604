"""How long the fleet's first due page and one meter reading take in a very large fleet.

    python -m tests.benchmarks.fleet_page [--aircraft 10000 --requirements 60]

Prints two ratios. The first page of the due list over the same rows by bare indexed SQL: at most 2 is wanted.
Recording one reading in this fleet over recording one in a fleet of 100 airplanes: at most 1.2 is wanted.
Both sides of a ratio are measured in turn within one run, and the medians are compared. The page is in memory
on both sides, so it is measured in processor time, which other programs on the machine leave alone; the
reading waits for the disk and is measured by the clock.
"""

from __future__ import annotations

import argparse
import sqlite3
import statistics
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from datetime import date, timedelta
from decimal import Decimal
from pathlib import Path
from typing import Any

from annual_planner.records.apply import apply
from annual_planner.records.readings import RecordReading
from annual_planner.store.bulk import insert_many
from annual_planner.store.fleet_reads import due_page
from annual_planner.store.opening import open_fleet
from annual_planner.store.session import Fleet

TODAY = date(2026, 5, 4)
BY = "a benchmark"
FIRST_READ_ON = date(2025, 4, 1)
MONTHS_READ = 12
SMALL = 100
PAGE = 200

BARE = """
SELECT due.requirement_id, due.aircraft_id, aircraft.registration, requirement.title, requirement.key,
       requirement.citation, requirement.source, requirement.force, due.interval, due.counts_on, due.last_on,
       due.last_hours, due.due_on, due.due_hours, due.hours_left, due.state, due.first_limit, due.forecast_on,
       due.early_on, due.late_on, due.comes_first_on, due.note
FROM due JOIN requirement ON requirement.id = due.requirement_id
     JOIN aircraft ON aircraft.id = due.aircraft_id
WHERE due.state != 'ended' ORDER BY due.comes_first_on, due.requirement_id LIMIT 200
"""


def fill(fleet: Fleet, *, aircraft: int, requirements: int) -> None:
    """Write so many airplanes with a year of readings and so many requirements each, with their due state."""
    with fleet.work(BY) as work:
        for table, make in (
            ("aircraft", _airplane),
            ("meter", _meter),
            ("meter_reading", _readings),
            ("requirement", _requirements),
            ("compliance", _compliances),
            ("due", _dues),
            ("aircraft_standing", _standing),
        ):
            rows: list[dict[str, Any]] = []
            for number in range(1, aircraft + 1):
                rows += make(number, requirements)
                if len(rows) >= 50_000:
                    insert_many(work, table, rows)
                    rows = []
            insert_many(work, table, rows)


def _airplane(number: int, _: int) -> Iterator[dict[str, Any]]:
    yield {
        "id": number, "registration": f"N0{number:05}", "maker": f"Maker {number % 7}",
        "model": f"M{number % 31}", "serial": str(number), "year_built": 1980, "category": "standard",
        "uses": [], "features": ["wheels", "carburetor", "magnetos", "fixed_pitch", "elt", "battery"],
        "counts": {"engines": 1, "wheels": 3, "cylinders": 4, "plugs": 8, "magnetos": 2},
        "owner_id": None, "base": "", "stated_hours_per_month": None, "notes": "",
    }  # fmt: skip


def _meter(number: int, _: int) -> Iterator[dict[str, Any]]:
    yield {
        "id": number, "aircraft_id": number, "kind": "tach", "fitted_on": date(2000, 1, 1),
        "offset_hours": Decimal(0), "of_record": True, "replaced_on": None,
    }  # fmt: skip


def _flown(number: int) -> int:
    """Hours a month."""
    return 4 + number % 7


def _readings(number: int, _: int) -> Iterator[dict[str, Any]]:
    for month in range(MONTHS_READ):
        yield {
            "meter_id": number, "aircraft_id": number,
            "read_on": FIRST_READ_ON + timedelta(days=30 * month),
            "meter_hours": Decimal(1000 + _flown(number) * month), "landings": 2000 + 9 * month, "note": "",
        }  # fmt: skip


def _ids(number: int, requirements: int) -> range:
    return range((number - 1) * requirements + 1, number * requirements + 1)


def _requirements(number: int, requirements: int) -> Iterator[dict[str, Any]]:
    for place, need in enumerate(_ids(number, requirements)):
        yield {
            "id": need, "aircraft_id": number, "assembly_id": None, "key": "annual" if place == 0 else "",
            "title": f"Requirement {place}", "source": "invented", "citation": f"cited {place}",
            "force": "rule" if place % 2 == 0 else "recommended",
            "every_hours": None if place % 3 == 0 else Decimal(50 + place), "every_cycles": None,
            "every_calendar_months": 12 if place % 3 == 0 else None, "every_months": None, "every_days": None,
            "logic": "first", "recurring": True, "enroute_excess_hours": Decimal(0), "effective_on": None,
            "effective_hours": None, "fixed_on": None, "directive_number": "", "directive_revised_on": None,
            "terminated": "", "note": "",
        }  # fmt: skip


def _done_on(need: int) -> date:
    return date(2025, 6, 1) + timedelta(days=need * 7919 % 300)


def _done_hours(number: int, need: int) -> Decimal:
    return Decimal(1000 + _flown(number) * (_done_on(need) - FIRST_READ_ON).days // 30)


def _compliances(number: int, requirements: int) -> Iterator[dict[str, Any]]:
    for need in _ids(number, requirements):
        yield {
            "requirement_id": need, "done_on": _done_on(need), "done_hours": _done_hours(number, need),
            "done_cycles": None, "method": "", "entry": "", "done_by": "", "enroute": False,
        }  # fmt: skip


def _dues(number: int, requirements: int) -> Iterator[dict[str, Any]]:
    for need in _ids(number, requirements):
        comes = _done_on(need) + timedelta(days=365)
        yield {
            "requirement_id": need, "aircraft_id": number, "due_on": comes, "due_hours": Decimal(1150),
            "due_cycles": None, "hours_left": Decimal(40), "state": "in date", "first_limit": "date",
            "forecast_on": comes, "early_on": comes, "late_on": comes, "comes_first_on": comes,
            "last_on": _done_on(need), "last_hours": Decimal(1050),
            "counts_on": "airframe", "interval": "100 h", "note": "",
        }  # fmt: skip


def _standing(number: int, requirements: int) -> Iterator[dict[str, Any]]:
    first = min(_ids(number, requirements), key=_done_on)
    yield {
        "aircraft_id": number, "comes_first_on": _done_on(first) + timedelta(days=365),
        "first_requirement_id": first, "first_title": "Requirement", "state": "in date", "overdue": 0,
        "due_soon": 0, "annual_due_on": None, "hours_now": Decimal(1110), "landings_now": 2099,
        "read_on": date(2026, 2, 25), "hours_per_month": Decimal(10), "worked_out_on": TODAY,
    }  # fmt: skip


def in_turn(
    first: Callable[[int], object],
    second: Callable[[int], object],
    times: int,
    clock: Callable[[], float] = time.perf_counter,
) -> tuple[float, float]:
    """Median seconds of two pieces of work done in turn; the first few of each don't count."""
    took: tuple[list[float], list[float]] = ([], [])
    for time_number in range(times + 5):
        for work, seconds in zip((first, second), took, strict=True):
            began = clock()
            work(time_number)
            seconds.append(clock() - began)
    return statistics.median(took[0][5:]), statistics.median(took[1][5:])


def page_seconds(fleet: Fleet) -> tuple[float, float]:
    """Median seconds of the first due page, and of the same rows by bare SQL."""
    assert fleet.path is not None
    # The same SQLite library, so that both see one set of locks.
    bare = sqlite3.connect(fleet.path)

    def page(_: int) -> None:
        with fleet.reading() as work:
            assert len(due_page(work, limit=PAGE)) == PAGE

    def by_hand(_: int) -> None:
        assert len(bare.execute(BARE).fetchall()) == PAGE

    try:
        return in_turn(page, by_hand, 300, time.thread_time)
    finally:
        bare.close()


def reading_seconds(large: Fleet, small: Fleet) -> tuple[float, float]:
    """Median seconds of recording one meter reading in each fleet."""

    def record(fleet: Fleet, first: int) -> Callable[[int], object]:
        return lambda number: apply(
            fleet, RecordReading((first + number) % SMALL + 1, date(2026, 4, 1), Decimal(1120)), BY, TODAY
        )

    # Never the same airplane in turn: the courses drawn for the one would be at hand for the other.
    return in_turn(record(large, 0), record(small, SMALL // 2), 80)


def main(words: list[str]) -> int:
    """Make the fleets, measure, print."""
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("--aircraft", type=int, default=10_000)
    asked.add_argument("--requirements", type=int, default=60)
    given = asked.parse_args(words)
    with tempfile.TemporaryDirectory() as folder:
        large = open_fleet(Path(folder) / "large.fleet", create=True)
        small = open_fleet(Path(folder) / "small.fleet", create=True)
        fill(large, aircraft=given.aircraft, requirements=given.requirements)
        fill(small, aircraft=SMALL, requirements=given.requirements)
        page, bare = page_seconds(large)
        in_large, in_small = reading_seconds(large, small)
        large.close()
        small.close()
    print(
        f"{given.aircraft} airplanes x {given.requirements}: first due page {page * 1000:.2f} ms"
        f" / bare SQL {bare * 1000:.2f} ms = {page / bare:.2f} (wanted <= 2);"
        f" one reading {in_large * 1000:.1f} ms / in {SMALL} airplanes {in_small * 1000:.1f} ms"
        f" = {in_large / in_small:.2f} (wanted <= 1.2)"
    )
    return 0 if page / bare <= 2 and in_large / in_small <= 1.2 else 1


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
