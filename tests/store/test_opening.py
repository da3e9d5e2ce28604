from __future__ import annotations

import os
import signal
import sqlite3
import subprocess
import sys
from contextlib import suppress
from pathlib import Path

import pytest
from sqlalchemy import text

from annual_planner.store import engines
from annual_planner.store.engines import journal_settings, wal_is_safe
from annual_planner.store.lockfile import lock_path
from annual_planner.store.opening import open_fleet
from annual_planner.store.people_reads import fleet_fact, set_fleet_fact
from annual_planner.store.refusals import CannotWrite, FleetInUse, NotAFleet
from annual_planner.trade.refused import Refused


def test_every_setting_that_keeps_commits_is_read_back(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(engines, "journal_settings", journal_settings)  # other tests don't await the disk
    journal, _ = journal_settings(sqlite3.sqlite_version_info)
    with open_fleet(tmp_path / "a.fleet", create=True) as fleet, fleet.engine.connect() as connection:
        asked = ("journal_mode", "foreign_keys", "trusted_schema", "busy_timeout", "synchronous")
        read = [connection.exec_driver_sql(f"PRAGMA {name}").scalar() for name in asked]
    assert read == [journal.lower(), 1, 0, 10_000, 3 if journal == "DELETE" else 2]


@pytest.mark.parametrize(
    ("version", "safe"),
    [((3, 40, 1), False), ((3, 44, 6), True), ((3, 45, 0), False), ((3, 50, 6), False), ((3, 50, 7), True),
     ((3, 51, 2), False), ((3, 51, 3), True), ((3, 53, 4), True)],
)  # fmt: skip
def test_the_write_ahead_log_is_used_only_without_its_reset_fault(
    version: tuple[int, int, int], safe: bool
) -> None:
    assert wal_is_safe(version) is safe


def test_a_second_program_is_kept_out_but_may_read(tmp_path: Path) -> None:
    path = tmp_path / "a.fleet"
    with open_fleet(path, create=True) as fleet:
        with fleet.work("Ann") as work:
            set_fleet_fact(work, "name", "Grass strip")
        with pytest.raises(FleetInUse, match="open in another program"):
            open_fleet(path)
        with open_fleet(path, read_only=True) as reader:
            with reader.reading() as work:
                assert fleet_fact(work, "name") == "Grass strip"
            with pytest.raises(CannotWrite), reader.work("Ben"):
                pass
    open_fleet(path).close()
    assert not lock_path(path).exists()


def test_a_killed_program_leaves_no_lock_behind(tmp_path: Path) -> None:
    path = tmp_path / "a.fleet"
    program = (
        "import sys, time; from annual_planner.store.opening import open_fleet\n"
        f"fleet = open_fleet({str(path)!r}, create=True); print('open', flush=True); time.sleep(60)"
    )
    child = subprocess.Popen([sys.executable, "-c", program], stdout=subprocess.PIPE)
    assert child.stdout is not None
    child.stdout.readline()
    with pytest.raises(FleetInUse):
        open_fleet(path)
    os.kill(child.pid, signal.SIGKILL)
    child.wait()
    child.stdout.close()
    open_fleet(path).close()


def test_reading_can_not_write(tmp_path: Path) -> None:
    with open_fleet(tmp_path / "a.fleet", create=True) as fleet:
        with pytest.raises(CannotWrite), fleet.reading() as work:
            set_fleet_fact(work, "name", "x")
        with fleet.work("Ann") as work:
            set_fleet_fact(work, "name", "y")


def test_a_failed_work_leaves_nothing(tmp_path: Path) -> None:
    with open_fleet(tmp_path / "a.fleet", create=True) as fleet:
        with suppress(ZeroDivisionError), fleet.work("Ann") as work:
            set_fleet_fact(work, "name", "half")
            raise ZeroDivisionError
        with fleet.reading() as work:
            assert fleet_fact(work, "name") == ""


def test_what_is_no_fleet_is_refused_and_left_as_it_is(tmp_path: Path) -> None:
    note, other, folder = tmp_path / "note.txt", tmp_path / "other.db", tmp_path
    note.write_text("not a database, only words " * 50)
    with sqlite3.connect(other) as connection:
        connection.execute("CREATE TABLE mine (x)")
    connection.close()
    before = note.read_bytes(), other.read_bytes()
    for path in (note, other, folder, tmp_path / "missing.fleet", tmp_path / "no" / "folder.fleet"):
        with pytest.raises(NotAFleet):
            open_fleet(path)
    with pytest.raises(NotAFleet):
        open_fleet(other, create=True)
    assert (note.read_bytes(), other.read_bytes()) == before
    assert not list(tmp_path.glob("*.lock"))


def test_a_fleet_of_a_newer_program_is_refused_with_one_clear_line(tmp_path: Path) -> None:
    path = tmp_path / "a.fleet"
    with open_fleet(path, create=True) as fleet, fleet.work("Ann") as work:
        work.session.execute(text("UPDATE alembic_version SET version_num='9999'"))
    with pytest.raises(NotAFleet, match="newer release"):
        open_fleet(path)


def test_a_file_with_two_names_is_refused(tmp_path: Path) -> None:
    open_fleet(tmp_path / "a.fleet", create=True).close()
    os.link(tmp_path / "a.fleet", tmp_path / "b.fleet")
    with pytest.raises(NotAFleet, match="second name"):
        open_fleet(tmp_path / "a.fleet")


def test_a_server_that_does_not_answer_is_said_plainly() -> None:
    with pytest.raises(Refused, match="does not answer"):
        open_fleet("postgresql+psycopg://test@/none?host=/nowhere")


def test_a_name_the_disk_cannot_hold_is_said() -> None:
    with pytest.raises(NotAFleet, match="can't be looked at"):
        open_fleet("a" * 300)


def test_what_is_no_plain_file_is_refused_at_once(tmp_path: Path) -> None:
    os.mkfifo(tmp_path / "pipe")
    (tmp_path / "ring").symlink_to(tmp_path / "ring")
    for name, said in (("pipe", "pipe"), ("ring", "can't be looked at")):
        with pytest.raises(NotAFleet, match=said):
            open_fleet(tmp_path / name)


def test_a_file_may_be_named_like_a_server(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    open_fleet("postgresql.fleet", create=True).close()
    assert (tmp_path / "postgresql.fleet").is_file()


def test_an_address_that_is_none_is_said() -> None:
    with pytest.raises(NotAFleet, match="no address"):
        open_fleet("postgresql+psycopg://bench@shop:port/fleet")


def test_a_fleet_another_program_keeps_busy_is_said_so(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("annual_planner.store.engines.BUSY_TIMEOUT_MS", 50)
    path = tmp_path / "a.fleet"
    open_fleet(path, create=True).close()
    other = sqlite3.connect(path, isolation_level=None)
    other.execute("BEGIN EXCLUSIVE")
    try:
        with pytest.raises(FleetInUse, match="kept busy"):
            open_fleet(path, read_only=True)
    finally:
        other.close()
