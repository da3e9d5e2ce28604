"""A glance at a file shows what the open fleet then shows, and nothing of a file that isn't ready for it."""

from __future__ import annotations

import sqlite3
import subprocess
import sys
from contextlib import closing
from pathlib import Path

import pytest

from annual_planner.library.shelf import load_library
from annual_planner.planning.packages import BuildPackage
from annual_planner.records.apply import apply
from annual_planner.records.people import AddPerson
from annual_planner.store import fleet_reads as reads
from annual_planner.store.glance import LINES_SEEN, glance_at
from annual_planner.store.opening import open_fleet
from demo_fleet.loader import DEMO_AIRPLANE, DEMO_TODAY, build_demo
from tests.fleets import airplane, made


@pytest.fixture(scope="module")
def sample(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("glance") / "sample fleet #1.fleet"
    build_demo(path)
    with open_fleet(path) as fleet:
        with fleet.reading() as work:
            aircraft_id = reads.find_aircraft(work, DEMO_AIRPLANE)
        apply(fleet, BuildPackage(aircraft_id, DEMO_TODAY, "Annual", load_library()), "Ann", DEMO_TODAY)
    return path


def small_fleet(path: Path, airplanes: int) -> Path:
    with open_fleet(path, create=True) as fleet:
        owner = made(fleet, AddPerson("Olive Tarn", ("owner",)))
        for number in range(airplanes):
            made(fleet, airplane(f"N0{number:02}AP", owner_id=owner if number % 2 else None))
    return path


def rows_when_open(path: Path, count: int = LINES_SEEN) -> tuple[list[int], list[object]]:
    with open_fleet(path, read_only=True) as fleet, fleet.reading() as work:
        ids = reads.fleet_ids(work)
        return ids, list(reads.fleet_lines(work, ids[:count]))


def test_a_glance_sees_the_rows_that_the_open_fleet_gives(sample: Path) -> None:
    seen = glance_at(sample)
    assert seen is not None
    assert (seen.ids, list(seen.lines)) == rows_when_open(sample)
    assert {line.open_package_id is None for line in seen.lines} == {True, False}


def test_it_sees_airplanes_without_owner_reading_or_requirement(tmp_path: Path) -> None:
    path = small_fleet(tmp_path / "new.fleet", 3)
    seen = glance_at(path)
    assert seen is not None
    assert (seen.ids, list(seen.lines)) == rows_when_open(path)
    assert {line.comes_first_on for line in seen.lines} == {None}


def test_of_a_large_fleet_it_sees_every_id_and_the_first_lines(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = small_fleet(tmp_path / "new.fleet", 7)
    monkeypatch.setattr("annual_planner.store.glance.LINES_SEEN", 4)
    seen = glance_at(path)
    assert seen is not None
    assert (seen.ids, list(seen.lines)) == rows_when_open(path, 4)


def test_it_sees_nothing_of_a_file_of_another_schema_or_kind(sample: Path, tmp_path: Path) -> None:
    letter = tmp_path / "letter.txt"
    letter.write_text("Dear owner " * 1000)
    older = Path(tmp_path / "older.fleet")
    older.write_bytes(sample.read_bytes())
    with closing(sqlite3.connect(older)) as file, file:
        file.execute("UPDATE alembic_version SET version_num = '0001'")
    strange = Path(tmp_path / "strange.fleet")
    strange.write_bytes(sample.read_bytes())
    with closing(sqlite3.connect(strange)) as file, file:
        file.execute("PRAGMA application_id=1")
    empty = tmp_path / "empty.fleet"
    empty.touch()
    for path in (letter, older, strange, empty, tmp_path, tmp_path / "nowhere.fleet"):
        assert glance_at(path) is None, path


def test_it_waits_for_nobody_who_writes(tmp_path: Path) -> None:
    path = small_fleet(tmp_path / "busy.fleet", 1)
    with closing(sqlite3.connect(path, isolation_level=None)) as writer:
        writer.execute("PRAGMA journal_mode=DELETE")
        writer.execute("BEGIN EXCLUSIVE")
        assert glance_at(path) is None


def test_it_leaves_the_file_and_its_folder_as_they_were(tmp_path: Path) -> None:
    path = small_fleet(tmp_path / "kept.fleet", 2)
    before = {each.name: each.read_bytes() for each in tmp_path.iterdir()}
    assert glance_at(path) is not None
    assert {each.name: each.read_bytes() for each in tmp_path.iterdir()} == before


def test_it_does_without_sqlalchemy(sample: Path) -> None:
    asked = (
        "import sys; from pathlib import Path; from annual_planner.store.glance import glance_at;"
        "assert glance_at(Path(sys.argv[1])).lines; assert 'sqlalchemy' not in sys.modules"
    )
    subprocess.run([sys.executable, "-c", asked, str(sample)], check=True)
