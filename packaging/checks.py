"""The checks of `bootstrap.py test`, in the order in which they run."""

import os
import re
import subprocess
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
RUN_LOCK = ROOT / "packaging" / "requirements.lock"
TEST_LOCK = ROOT / "packaging" / "requirements-test.lock"
# Two runs of tests side by side; a file isn't split between them, since its fleets are built once. The order
# stays that of the folders: files of few but long tests would come last, and one run wait for the other.
TOGETHER = ("-n", "2", "--dist", "loadfile", "--no-loadscope-reorder")
COVERAGE = ("--cov", "--cov-branch")
# The parts that must work on a machine without Qt, so that only the window depends on it.
WITHOUT_QT = ("planning", "records", "exchange", "store", "trade", "paper", "library")


@dataclass(frozen=True, slots=True)
class Check:
    """One check: its heading, and the work that tells whether it passed."""

    heading: str
    passes: Callable[[], bool]


def run_checks(programs: Path) -> list[str]:
    """Run every check, even after one failed, and return the headings of those that failed.

    `programs` is the folder with the programs of the virtual environment.
    """
    return [check.heading for check in checks(programs) if not passes(check)]


def passes(check: Check) -> bool:
    """Run one check under its heading."""
    print(f"\n== {check.heading}", flush=True)
    return check.passes()


def checks(programs: Path) -> list[Check]:
    """Return all checks. The tests stand last, so that a closing line of theirs ends the output."""
    python = str(programs / "python")

    def module(heading: str, *arguments: str) -> Check:
        return Check(heading, lambda: succeeds(python, "-m", *arguments))

    return [
        module("Lint", "ruff", "check", "."),
        module("Format", "ruff", "format", "--check", "."),
        module("Types", "mypy"),
        module("Types of the packaging scripts", "mypy", *packaging_scripts()),
        Check("Imports between layers", lambda: succeeds(str(programs / "lint-imports"))),
        Check("Locks", lambda: report(lock_faults(RUN_LOCK.read_text(), TEST_LOCK.read_text()))),
        module("Tests below the window, Qt kept out", *pytest_below_the_window()),
        module("All other tests", *pytest_on_the_rest()),
    ]


def packaging_scripts() -> list[str]:
    """Return the scripts beside this one, as paths below the root."""
    return sorted(str(path.relative_to(ROOT)) for path in (ROOT / "packaging").glob("*.py"))


def pytest_below_the_window() -> list[str]:
    """Return the arguments for the tests that must pass where PySide6 can't be imported."""
    without_qt = ["-p", "no:pytest-qt", "-p", "tests.no_qt"]
    return ["pytest", *without_qt, *TOGETHER, *COVERAGE, "--cov-report=", *folders_below_the_window()]


def pytest_on_the_rest() -> list[str]:
    """Return the arguments for all other tests but the benchmarks; the coverage is that of both runs."""
    left_out = [f"--ignore={each}" for each in ("tests/benchmarks", *folders_below_the_window())]
    return [
        "pytest",
        "tests",
        *left_out,
        *TOGETHER,
        *COVERAGE,
        "--cov-append",
        "--cov-report=term:skip-covered",
    ]


def folders_below_the_window() -> list[str]:
    """Return the folders of tests of the parts that know nothing of Qt."""
    return [f"tests/{part}" for part in WITHOUT_QT if (ROOT / "tests" / part).is_dir()]


def succeeds(*command: str) -> bool:
    """Run a command at the root of the project and tell whether it ended with status 0."""
    environ = {"QT_QPA_PLATFORM": "offscreen"} | os.environ
    return subprocess.call(command, cwd=ROOT, env=environ) == 0


def report(faults: list[str]) -> bool:
    """Print faults, or that there are none, and tell whether there are none."""
    print("\n".join(faults) or "no fault found", flush=True)
    return not faults


def lock_faults(run_lock: str, test_lock: str) -> list[str]:
    """Return what is wrong with the two locks, given their text.

    A lock names no address, and the lock for the tests holds all of the other at the same versions.
    """
    addresses = [line for lock in (run_lock, test_lock) for line in lock.splitlines() if "://" in line]
    strays = sorted(set(pins(run_lock)) - set(pins(test_lock)))
    return [f"an address in a lock: {line.strip()}" for line in addresses] + [
        f"not so in requirements-test.lock: {pin}" for pin in strays
    ]


def pins(lock: str) -> Iterator[str]:
    """Yield each `name==version` of a lock."""
    yield from re.findall(r"^[\w.\[\]-]+==[\w.!+]+", lock, flags=re.MULTILINE)
