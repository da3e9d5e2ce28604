"""Run Annual Planner, or run its checks, on a machine that has only Python.

    python3 packaging/bootstrap.py run              open the window on the demo fleet
    python3 packaging/bootstrap.py run --headless   build the demo fleet, write one airplane's package as PDF
    python3 packaging/bootstrap.py test             run every check

The first time takes about a minute: it looks for the system libraries, makes `.venv` and installs
the locked packages. After that a stamp in `.venv` says that nothing is left to do.
Standard library only, since it runs before anything is installed.
"""

import sys

# Before the imports below, which an older Python would fail on with a message that helps nobody.
if sys.version_info < (3, 11):  # noqa: UP036 - this script alone is started by whatever Python is there
    sys.exit("Annual Planner needs Python 3.11 or newer; this is {}.{}.".format(*sys.version_info))

import argparse
import hashlib
import os
import subprocess
from pathlib import Path

import checks
import system

ROOT = Path(__file__).resolve().parent.parent
VENV = ROOT / ".venv"
PROGRAMS = VENV / ("Scripts" if os.name == "nt" else "bin")
PYTHON = PROGRAMS / ("python.exe" if os.name == "nt" else "python")
LOCKS = {"run": checks.RUN_LOCK, "test": checks.TEST_LOCK}
PDF_NAME = "annual-package.pdf"
NO_SCREEN = """There is no screen here: neither DISPLAY nor WAYLAND_DISPLAY is set.
Start this on a desktop, or build the demo fleet and print one airplane's package without a window:
  python3 packaging/bootstrap.py run --headless"""


def main() -> int:
    """Do what the command line asks and return the exit status."""
    asked = parse()
    if asked.command == "test":
        return test()
    return run_headless() if asked.headless else run_window()


def parse() -> argparse.Namespace:
    """Read the command line."""
    parser = argparse.ArgumentParser(description="Run Annual Planner, or run its checks.")
    commands = parser.add_subparsers(dest="command", required=True)
    run = commands.add_parser("run", help="open the demo fleet")
    run.add_argument("--headless", action="store_true", help="no window: write one airplane's package as PDF")
    commands.add_parser("test", help="run every check")
    return parser.parse_args()


def run_window() -> int:
    """Open the window on the demo fleet."""
    if not system.has_screen(os.environ):
        say(NO_SCREEN)
        return 1
    prepare("run", system.missing_libraries(system.libraries_for_window(os.environ)))
    say("opening the demo fleet")
    return planner("demo")


def run_headless() -> int:
    """Build the demo fleet in a fresh file and write its demo airplane's package; needs no Qt library."""
    pdf = Path.cwd() / PDF_NAME
    prepare("run", [])
    say("building the demo fleet")
    status = planner("demo", "--headless", "--pdf", str(pdf))
    if status == 0:
        say(f"the annual package is in {pdf}")
    return status


def test() -> int:
    """Run every check and say at the end which failed."""
    prepare("test", system.missing_libraries(system.FOR_QT) + system.missing_for_tests())
    failed = checks.run_checks(PROGRAMS)
    say("\nfailed: " + "; ".join(failed) if failed else "\nall checks passed")
    return 1 if failed else 0


def say(text: str) -> None:
    """Print at once, so that it stands before what a child process prints."""
    print(text, flush=True)


def planner(*arguments: str) -> int:
    """Run the program from the root of the project and return its exit status."""
    return subprocess.call([str(PYTHON), "-m", "annual_planner", *arguments], cwd=ROOT)


def prepare(purpose: str, missing: list[system.Missing]) -> None:
    """Make the machine and the virtual environment ready for `purpose`, "run" or "test"."""
    get_system_packages(system.missing_for_venv() + missing)
    if is_stamped(purpose):
        return
    make_venv()
    install_lock(purpose)
    stamp(purpose)


def get_system_packages(missing: list[system.Missing]) -> None:
    """Install what the machine lacks, or end the program with the line that would."""
    if not missing:
        return
    packages = system.packages_of(missing)
    if not system.can_install():
        sys.exit(system.how_to_install(missing))
    say("installing system packages: " + " ".join(packages))
    if not system.install(packages):
        sys.exit("The system packages could not be installed.\n" + system.how_to_install(missing))


def make_venv() -> None:
    """Make `.venv`, again if the one there is broken or of another Python."""
    if venv_is_usable():
        return
    say("making .venv")
    subprocess.run([sys.executable, "-m", "venv", "--clear", str(VENV)], check=True)


def venv_is_usable() -> bool:
    """Tell whether `.venv` has pip and runs the very Python that runs this script."""
    if not PYTHON.exists():
        return False
    question = [str(PYTHON), "-c", "import sys, pip; print(sys.version)"]
    answer = subprocess.run(question, capture_output=True, text=True, check=False)
    return answer.returncode == 0 and answer.stdout.strip() == sys.version.strip()


def install_lock(purpose: str) -> None:
    """Install exactly the locked packages, each checked by its hash; ends the program if that fails."""
    say(f"installing the packages of {LOCKS[purpose].name} (about a minute)")
    exact = ("--require-hashes", "--no-deps", "--only-binary", ":all:")
    quiet = ("-qq", "--no-input", "--disable-pip-version-check")  # errors only
    command = [str(PYTHON), "-m", "pip", "install", *quiet, *exact, "-r", str(LOCKS[purpose])]
    if subprocess.call(command) != 0:
        sys.exit("The packages could not be installed: see pip's message above, then start this again.")


def stamp(purpose: str) -> None:
    """Note that `.venv` is ready; what serves the tests holds all that is needed to run."""
    for served in {"run", purpose}:
        stamp_file(served).write_text(expected_stamp(served))


def is_stamped(purpose: str) -> bool:
    """Tell whether `.venv` was made ready for `purpose` from the lock as it is now, for this Python."""
    path = stamp_file(purpose)
    return PYTHON.exists() and path.exists() and path.read_text() == expected_stamp(purpose)


def stamp_file(purpose: str) -> Path:
    """Return where the stamp for `purpose` is kept."""
    return VENV / f"ready-to-{purpose}"


def expected_stamp(purpose: str) -> str:
    """Return the SHA-256 of the lock together with this Python's version."""
    return hashlib.sha256(LOCKS[purpose].read_bytes() + sys.version.encode()).hexdigest()


if __name__ == "__main__":
    sys.exit(main())
