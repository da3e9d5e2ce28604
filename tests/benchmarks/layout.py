"""Laying out the demo's annual: the first answer, the best in time, and a re-plan after a day of illness.

    python -m tests.benchmarks.layout [--seconds 5]

Prints one line for each: seconds, finish, what is known of the best, and how many cards moved.
"""

from __future__ import annotations

import argparse
import tempfile
import time
from contextlib import closing
from datetime import date, datetime
from pathlib import Path

from annual_planner.library.shelf import load_library
from annual_planner.planning.card_jobs import Asked, asked_of_package
from annual_planner.planning.crew.laid_out import LaidOut
from annual_planner.planning.crew.solve import lay_out
from annual_planner.planning.packages import BuildPackage
from annual_planner.records.apply import apply
from annual_planner.records.shop import AddDaysOff
from annual_planner.store.fleet_reads import find_aircraft, people
from annual_planner.store.opening import open_fleet
from annual_planner.store.session import Fleet
from demo_fleet.loader import DEMO_AIRPLANE, DEMO_TODAY, build_demo

START = date(2026, 5, 11)
NOW = datetime(2026, 5, 11, 8)  # noqa: DTZ001 - the shop's own clock
ILL = "Tobin Ashgrove"


def main() -> None:
    parser = argparse.ArgumentParser(description="Lay out the demo's annual.")
    parser.add_argument("--seconds", type=float, default=5)
    seconds = parser.parse_args().seconds
    library = load_library()
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "demo.fleet"
        build_demo(path)
        with closing(open_fleet(path)) as fleet:
            with fleet.reading() as work:
                plane = find_aircraft(work, DEMO_AIRPLANE)
            package = apply(fleet, BuildPackage(plane, START, "Annual", library), "bench", DEMO_TODAY).made_id
            assert package is not None

            def asked() -> Asked:
                with fleet.reading() as work:
                    return asked_of_package(work, package, library, NOW)

            first = _laid("by rules alone", asked(), 0)
            best = _laid("searched", asked(), seconds, hint=first)
            _fall_ill(fleet)
            _laid("searched anew after one is ill for a day", asked(), seconds)
            _laid("re-planned after one is ill for a day", asked(), seconds, keep=best)


def _laid(
    what: str, asked: Asked, seconds: float, *, hint: LaidOut | None = None, keep: LaidOut | None = None
) -> LaidOut:
    began = time.perf_counter()
    answers: list[float] = []
    plan = lay_out(
        asked.problem, seconds=seconds, hint=hint, keep=keep,
        on_better=lambda _plan: answers.append(time.perf_counter() - began),
    ).value  # fmt: skip
    first = f"first answer {answers[0]:.2f} s, " if answers else ""
    moved = f", {len(plan.moved)} moved" if keep is not None else ""
    print(
        f"{what}: {len(asked.problem.jobs)} jobs, {first}{time.perf_counter() - began:.2f} s, "
        f"{plan.said}{moved}"
    )
    return plan


def _fall_ill(fleet: Fleet) -> None:
    with fleet.reading() as work:
        who = next(each.person_id for each in people(work) if each.name == ILL)
    apply(fleet, AddDaysOff(who, date(2026, 5, 13), date(2026, 5, 13), "ill"), "bench", DEMO_TODAY)


if __name__ == "__main__":
    main()
