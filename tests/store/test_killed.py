"""What was acknowledged is there after the program was killed in the middle of writing."""

from __future__ import annotations

import subprocess
import sys
import time
from pathlib import Path

from annual_planner.store.faults import check
from annual_planner.store.fleet_reads import people
from annual_planner.store.opening import open_fleet

KILLS = 5

WRITER = """
import sys
from annual_planner.store.opening import open_fleet
from annual_planner.store.writing import add

run, fleet = sys.argv[2], open_fleet(sys.argv[1])
for number in range(100_000):
    with fleet.work("a test") as work:
        add(work, "person", {"name": f"Person {run} {number}", "roles": []})
    print(f"Person {run} {number}", flush=True)
"""


def test_no_acknowledged_row_is_lost_and_the_file_stays_whole(tmp_path: Path) -> None:
    path = tmp_path / "killed.fleet"
    open_fleet(path, create=True).close()
    acknowledged: set[str] = set()
    for run in range(KILLS):
        acknowledged |= written_until_killed(path, run)
    with open_fleet(path) as fleet, fleet.reading() as work:
        kept = {each.name for each in people(work)}
        faults = check(fleet)
    assert faults == []
    assert acknowledged
    assert acknowledged - kept == set()
    assert len(kept - acknowledged) <= KILLS  # at most the one under way at each kill


def written_until_killed(path: Path, run: int) -> set[str]:
    """The names that a writing program said it had committed before it was killed."""
    command = [sys.executable, "-c", WRITER, str(path), str(run)]
    with subprocess.Popen(command, stdout=subprocess.PIPE, text=True) as writer:
        assert writer.stdout is not None
        first = writer.stdout.readline()
        time.sleep(0.02 + 0.017 * run)
        writer.kill()
        return {line.rstrip("\n") for line in [first, *writer.stdout] if line.endswith("\n")}
