from __future__ import annotations

from pathlib import Path

import pytest
from alembic import command
from sqlalchemy import text

from annual_planner.store import schema
from annual_planner.store.backup import backup, restore
from annual_planner.store.engines import file_engine
from annual_planner.store.faults import check
from annual_planner.store.file_marks import KNOWN
from annual_planner.store.opening import open_fleet
from annual_planner.store.people_reads import fleet_fact, set_fleet_fact
from annual_planner.store.refusals import NotAFleet
from annual_planner.store.session import Fleet
from annual_planner.trade.refused import Refused


@pytest.fixture
def small(tmp_path: Path) -> Fleet:
    fleet = open_fleet(tmp_path / "a.fleet", create=True)
    with fleet.work("Ann") as work:
        set_fleet_fact(work, "name", "Grass strip")
    return fleet


def test_a_backup_restored_holds_what_the_fleet_held_then(small: Fleet, tmp_path: Path) -> None:
    copy = backup(small, tmp_path / "copy.fleet")
    with small.work("Ann") as work:
        set_fleet_fact(work, "name", "Later")
    restored = restore(copy, tmp_path / "restored.fleet")
    with open_fleet(restored) as fleet, fleet.reading() as work:
        assert (fleet_fact(work, "name"), check(fleet)) == ("Grass strip", [])
    assert sorted(each.name for each in tmp_path.iterdir()) == [
        "a.fleet", "a.fleet.lock", "copy.fleet", "restored.fleet",
    ]  # fmt: skip
    small.close()


def test_a_backup_of_an_older_release_is_brought_up_to_date_in_the_new_file(tmp_path: Path) -> None:
    (tmp_path / "old.fleet").touch()
    old = file_engine(tmp_path / "old.fleet")
    with old.execution_options(fleet_write=True).begin() as connection:
        command.upgrade(schema._config(connection), KNOWN[-2])
        schema.mark(connection)
    old.dispose()
    held = (tmp_path / "old.fleet").read_bytes()
    with pytest.raises(NotAFleet, match="older release"):
        open_fleet(tmp_path / "old.fleet", read_only=True)
    restored = restore(tmp_path / "old.fleet", tmp_path / "new.fleet")
    with open_fleet(restored, read_only=True) as fleet:
        assert check(fleet) == []
    assert (tmp_path / "old.fleet").read_bytes() == held
    assert sorted(each.name for each in tmp_path.iterdir()) == ["new.fleet", "old.fleet"]


def test_nothing_is_written_over(small: Fleet, tmp_path: Path) -> None:
    (tmp_path / "taken").write_text("mine")
    with pytest.raises(Refused, match="already there"):
        backup(small, tmp_path / "taken")
    assert (tmp_path / "taken").read_text() == "mine"
    small.close()


def test_what_is_no_fleet_is_not_restored(small: Fleet, tmp_path: Path) -> None:
    (tmp_path / "words").write_text("words " * 500)
    with pytest.raises(NotAFleet):
        restore(tmp_path / "words", tmp_path / "new.fleet")
    assert not (tmp_path / "new.fleet").exists()
    small.close()


def test_a_reference_to_a_missing_row_is_found(small: Fleet) -> None:
    with small.engine.connect() as connection:
        raw = connection.connection.driver_connection
        assert raw is not None
        raw.rollback()
        raw.execute("PRAGMA query_only=OFF")
        raw.execute("PRAGMA foreign_keys=OFF")
        raw.execute(
            "INSERT INTO certificate (person_id, kind, number, ratings, activity_met, version) "
            "VALUES (99, 'pilot', '1', '[]', 1, 1)"
        )
        connection.detach()
        raw.close()
    assert any("person" in fault for fault in check(small))
    small.close()


def test_a_missing_table_is_found(small: Fleet) -> None:
    with small.work("Ann") as work:
        work.session.execute(text("DROP TABLE audit"))
    assert check(small) == ["The table audit is missing."]
    small.close()


def damaged(path: Path) -> Path:
    """Write over the pages in which the rows of the fleet's own facts lie."""
    content = bytearray(path.read_bytes())
    page = content.find(b"Grass strip") // 4096 * 4096
    content[page : page + 4096] = b"A" * 4096
    path.write_bytes(content)
    return path


def test_damage_is_told_by_the_check_and_never_backed_up(small: Fleet, tmp_path: Path) -> None:
    small.close()
    path = damaged(tmp_path / "a.fleet")
    with open_fleet(path, read_only=True) as fleet:
        assert check(fleet)
        with pytest.raises(Refused, match="does not pass"):
            backup(fleet, tmp_path / "copy.fleet")
        with pytest.raises(NotAFleet, match="damaged"), fleet.reading() as work:
            fleet_fact(work, "name")
    with pytest.raises(Refused):
        restore(path, tmp_path / "new.fleet")
    assert not list(tmp_path.glob("copy*")) + list(tmp_path.glob("new*.fleet"))


@pytest.mark.postgres
def test_a_server_is_backed_up_with_its_own_tools(server_template: str, tmp_path: Path) -> None:
    from tests.fleets import server_fleet_address

    with open_fleet(server_fleet_address(server_template)) as fleet:
        with pytest.raises(Refused, match="server"):
            backup(fleet, tmp_path / "x")
        assert check(fleet) == []
