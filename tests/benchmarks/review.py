"""How much longer a page of the review takes with 10,000 discrepancies than with a fleet of 20 airplanes.

Run: .venv/bin/python -m tests.benchmarks.review
"""

from __future__ import annotations

import tempfile
import time
from datetime import date, timedelta
from pathlib import Path
from statistics import median

from annual_planner.records.apply import apply
from annual_planner.records.discrepancy_found import Found
from annual_planner.records.edits import Changed
from annual_planner.records.row_edits import Subject, Together
from annual_planner.store.discrepancy_reads import review_ids, review_lines
from annual_planner.store.opening import open_fleet
from annual_planner.store.review_rows import Filter
from annual_planner.store.session import Fleet, Work
from tests.fleets import airplane

TODAY = date(2026, 5, 4)
SMALL, LARGE = (20, 60), (400, 10_000)
"""Airplanes and discrepancies."""
TIMES = 30
ZONES = ("engine", "cockpit", "propeller")


class Many:
    """So many discrepancies, spread over airplanes, places and five years."""

    says = "many discrepancies"

    def __init__(self, aircraft_ids: list[int], count: int) -> None:
        self.aircraft_ids = aircraft_ids
        self.count = count

    def apply(self, work: Work, today: date) -> Changed:
        """Write them all down."""
        together = Together(work, Subject("discrepancy", self.says))
        for number in range(self.count):
            on = today - timedelta(days=number * 37 % 1800)
            where = self.aircraft_ids[number % len(self.aircraft_ids)]
            Found(where, on, ZONES[number % 3], f"thing {number} worn").write(together, today)
        return together.settled(today)


def filled(path: Path, airplanes: int, count: int) -> Fleet:
    """A fleet of that size."""
    fleet = open_fleet(path, create=True)
    made = [apply(fleet, airplane(f"N0{n:03}BR"), "bench", TODAY).made_id for n in range(airplanes)]
    apply(fleet, Many([each for each in made if each is not None], count), "bench", TODAY)
    return fleet


def page_ms(fleet: Fleet) -> float:
    """Median time of one page of 200 by age, in milliseconds."""
    taken = []
    for _ in range(TIMES):
        with fleet.reading() as work:
            began = time.perf_counter()
            review_lines(work, review_ids(work, Filter())[:200])
            taken.append((time.perf_counter() - began) * 1000)
    return median(taken)


def main() -> None:
    """Print one line."""
    with tempfile.TemporaryDirectory() as folder:
        small = filled(Path(folder) / "small.fleet", *SMALL)
        large = filled(Path(folder) / "large.fleet", *LARGE)
        a, b = page_ms(small), page_ms(large)
        small.close()
        large.close()
    print(
        f"review page of 200: {b:.1f} ms of {LARGE[1]} on {LARGE[0]} airplanes,"
        f" {a:.1f} ms of {SMALL[1]} on {SMALL[0]}; ratio {b / a:.1f}"
    )


if __name__ == "__main__":
    main()
