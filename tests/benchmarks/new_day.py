"""How long a large fleet's due state takes to be brought to another day.

    python -m tests.benchmarks.new_day [--aircraft 10000 --requirements 60]

Prints processor seconds, which other programs on the machine leave alone: all of it worked out anew (as after
the schema has changed, or when the day goes back), then day after day, and after a week and a month away.
Each is told as a share of working all of it out anew.
"""

from __future__ import annotations

import argparse
import sys
import tempfile
import time
from datetime import date, timedelta
from pathlib import Path

from annual_planner.records.due_today import bring_forward
from annual_planner.store.opening import open_fleet
from annual_planner.store.session import Fleet
from tests.benchmarks.fleet_page import BY, TODAY, fill

STEPS = (1, 1, 1, 7, 31)
"""Days from one look at the fleet to the next."""


def seconds_to(fleet: Fleet, day: date) -> float:
    """Processor seconds that bringing the fleet to a day takes."""
    began = time.process_time()
    assert bring_forward(fleet, BY, day)
    return time.process_time() - began


def main(words: list[str]) -> int:
    """Make the fleet, bring it from day to day, print a line for each."""
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("--aircraft", type=int, default=10_000)
    asked.add_argument("--requirements", type=int, default=60)
    given = asked.parse_args(words)
    with (
        tempfile.TemporaryDirectory() as folder,
        open_fleet(Path(folder) / "large.fleet", create=True) as fleet,
    ):
        fill(fleet, aircraft=given.aircraft, requirements=given.requirements)
        day = TODAY - timedelta(days=1)
        anew = seconds_to(fleet, day)
        print(f"{given.aircraft} airplanes x {given.requirements}: all worked out anew {anew:.1f} s")
        for days in STEPS:
            day += timedelta(days=days)
            took = seconds_to(fleet, day)
            print(f"{days} days on: {took:.2f} s = {took / anew:.3f} of that")
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
