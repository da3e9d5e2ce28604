"""Renew both locks from the lists of what is needed.

    .venv/bin/python packaging/relock.py             keep what still fits, add what is new
    .venv/bin/python packaging/relock.py --upgrade   take the newest versions the lists allow

Needs uv (`.venv/bin/python -m pip install uv`). The locks hold names, versions and hashes and
nothing else: no index, no address, no path of the machine they were made on.
"""

import argparse
import shutil
import subprocess
import sys
from pathlib import Path

HERE = Path(__file__).resolve().parent
# In this order: the lock for the tests is held to the versions of the lock for running.
LISTS = ("requirements", "requirements-test")
OPTIONS = (
    "--quiet",
    "--python-version=3.11",
    "--generate-hashes",
    "--no-header",
    "--no-annotate",
    "--no-emit-index-url",
    "--no-emit-find-links",
)


def find_uv() -> str:
    """Return the path of uv, from beside this Python or from PATH; ends the program if there is none."""
    uv = shutil.which("uv", path=str(Path(sys.executable).parent)) or shutil.which("uv")
    if uv is None:
        sys.exit("uv is not installed. Install it with: .venv/bin/python -m pip install uv")
    return uv


def relock(uv: str, name: str, upgrade: bool) -> None:
    """Write `name`.lock from `name`.in."""
    command = [uv, "pip", "compile", *OPTIONS, f"{name}.in", "-o", f"{name}.lock"]
    subprocess.run([*command, *(["--upgrade"] if upgrade else [])], cwd=HERE, check=True)
    print(f"wrote packaging/{name}.lock")


def main() -> None:
    """Renew both locks."""
    parser = argparse.ArgumentParser(description="Renew the locks in packaging/.")
    parser.add_argument("--upgrade", action="store_true", help="take the newest versions the lists allow")
    upgrade = parser.parse_args().upgrade
    uv = find_uv()
    for name in LISTS:
        relock(uv, name, upgrade)


if __name__ == "__main__":
    main()
