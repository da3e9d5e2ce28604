"""How close plans come to the best known on published instances.

Reads every `.sm` (single-mode) and `.dzn` (multi-skill) file of a folder into the program's own problem and
lays it out. Where `best_known.csv` lies beside the files, gaps are against it. With `--against-library` the
same instances go through a general-purpose scheduling library too, each right after ours, with the same
limit.
"""

from __future__ import annotations

import argparse
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from time import perf_counter

from annual_planner.planning.crew.open_time import STEP
from annual_planner.planning.crew.solve import lay_out
from tests.benchmarks.instance_files import BEGIN, Instance, as_problem, best_known, read_instance
from tests.benchmarks.library_instances import library_finish
from tests.planning.crew.annuals import FINISH_ONLY


@dataclass(frozen=True, slots=True)
class Outcome:
    """One instance solved: by whom, finish, whether proven best, best known (or none), seconds."""

    file: str
    by: str
    finish: int | None
    proven: bool
    best: int | None
    seconds: float

    @property
    def gap(self) -> float | None:
        """Share by which the finish is above the best known."""
        if self.finish is None or not self.best:
            return None
        return self.finish / self.best - 1

    def __str__(self) -> str:
        gap = "no best known" if self.gap is None else f"gap {self.gap:.2%}"
        proven = "proven" if self.proven else ""
        finish = f"{self.file:44} {self.by:8} {self.finish!s:>5} {self.best!s:>5}"
        return f"{finish}  {gap:>13} {self.seconds:6.1f} s {proven}"


def ours(instance: Instance, seconds: float, workers: int, seed: int = 0) -> tuple[int | None, bool]:
    """Finish in time units, and whether it is proven best."""
    plan = lay_out(as_problem(instance), seconds=seconds, workers=workers, seed=seed, aims=FINISH_ONLY).value
    return (plan.finish - BEGIN) // STEP, plan.proven


def _timed(
    path: Path, by: str, best: int | None, solve: Callable[[Instance], tuple[int | None, bool]]
) -> Outcome:
    instance = read_instance(path)
    began = perf_counter()
    finish, proven = solve(instance)
    outcome = Outcome(path.name, by, finish, proven, best, perf_counter() - began)
    print(outcome, flush=True)
    return outcome


def outcomes(
    folder: Path, seconds: float, workers: int, library: bool, seed: int = 0, only: str = ""
) -> list[Outcome]:
    """Every instance of a folder, solved; one line is printed for each."""
    best, found = best_known(folder), []
    for path in sorted([*folder.glob("*.sm"), *folder.glob("*.dzn")]):
        if only in path.name:
            known = best.get(path.name)
            found.append(_timed(path, "ours", known, lambda i: ours(i, seconds, workers, seed)))
            if library:
                found.append(
                    _timed(path, "library", known, lambda i: (library_finish(i, seconds, workers), False))
                )
    return found


def summary(found: list[Outcome]) -> list[str]:
    """Mean gap of each, one line each."""
    lines = []
    for by in dict.fromkeys(outcome.by for outcome in found):
        mine = [outcome for outcome in found if outcome.by == by]
        gaps = [outcome.gap for outcome in mine if outcome.gap is not None]
        mean = f"mean gap {sum(gaps) / len(gaps):.2%}" if gaps else "no best known beside them"
        at_best = sum(gap <= 0 for gap in gaps)
        proven = sum(outcome.proven for outcome in mine)
        lines.append(f"{by}: {mean} over {len(gaps)} instances, {at_best} at the best known, {proven} proven")
    return lines


def main(arguments: list[str] | None = None) -> None:
    """Print a line for each instance and the mean gap."""
    parser = argparse.ArgumentParser(description="Plans of published instances against the best known.")
    parser.add_argument("folder", type=Path)
    parser.add_argument("--seconds", type=float, default=20)
    parser.add_argument("--workers", type=int, default=2)
    parser.add_argument("--seed", type=int, default=0)
    parser.add_argument("--only", default="", help="part of a file name")
    parser.add_argument("--against-library", action="store_true")
    chosen = parser.parse_args(arguments)
    found = outcomes(
        chosen.folder, chosen.seconds, chosen.workers, chosen.against_library, chosen.seed, chosen.only
    )
    for line in summary(found):
        print(line)


if __name__ == "__main__":
    main()
