"""A throw-away PostgreSQL server for the tests, in a folder of its own and reached by a socket only.

A machine without a server fails these tests; `-m "not postgres"` leaves them out.
"""

import os
import pwd
import shutil
import subprocess
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest

# What makes a server safe against a power cut only costs time here.
OPTIONS = "-c listen_addresses='' -c fsync=off -c synchronous_commit=off -c full_page_writes=off"


@pytest.fixture(scope="session")
def pg_url() -> Iterator[str]:
    """The address of an empty database on a server that lives as long as the test run."""
    with running_server(programs()) as url:
        yield url


def programs() -> Path:
    """The folder of the newest server's programs, or of the one that PG_CTL names."""
    found = sorted(Path("/usr/lib/postgresql").glob("*/bin/pg_ctl"), key=lambda path: float(path.parts[4]))
    chosen = os.environ.get("PG_CTL") or (found[-1] if found else shutil.which("pg_ctl"))
    if chosen is None or not Path(chosen).exists():
        pytest.fail(
            "no PostgreSQL server found: install one, or leave it out with -m 'not postgres'", pytrace=False
        )
    return Path(chosen).resolve().parent


@contextmanager
def running_server(bin_: Path) -> Iterator[str]:
    """Make, start, and at the end stop and remove a server; yields its address."""
    # Not tmp_path: it is closed to the user below, and too long for a socket's path.
    root = Path(tempfile.mkdtemp(prefix="pg-", dir="/tmp"))
    try:
        start(bin_, root)
        yield f"postgresql+psycopg://test@/postgres?host={root}"
    finally:
        stop(bin_, root)
        shutil.rmtree(root, ignore_errors=True)


def start(bin_: Path, root: Path) -> None:
    """Make a cluster below `root` and start its server."""
    if os.geteuid() == 0:
        os.chown(root, *pwd.getpwnam("postgres")[2:4])
    cluster = ("-A", "trust", "-U", "test", "-E", "UTF8", "--locale=C.UTF-8", "--no-sync")
    must(root, bin_ / "initdb", "-D", root / "d", *cluster)
    options = f"{OPTIONS} -k {root}"
    must(
        root, bin_ / "pg_ctl", "-D", root / "d", "-l", root / "log", "-w", "-t", "60", "-o", options, "start"
    )


def stop(bin_: Path, root: Path) -> None:
    """Stop the server at once; nothing in it is kept."""
    as_server_user(Path("/"), bin_ / "pg_ctl", "-D", root / "d", "-m", "immediate", "stop")


def must(folder: Path, *command: str | Path) -> None:
    """Run a command as the server's user; if it fails, the test fails with what it printed."""
    done = as_server_user(folder, *command)
    if done.returncode:
        pytest.fail(f"{command[0]} failed:\n{done.stdout}{done.stderr}", pytrace=False)


def as_server_user(folder: Path, *command: str | Path) -> subprocess.CompletedProcess[str]:
    """Run a command in `folder`; as root in the name of postgres, since the server refuses root."""
    other = ["runuser", "-u", "postgres", "--"] if os.geteuid() == 0 else []
    words = [*other, *map(str, command)]
    return subprocess.run(words, cwd=folder, capture_output=True, text=True, timeout=90, check=False)
