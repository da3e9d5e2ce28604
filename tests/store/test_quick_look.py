"""A damaged fleet file is found by a quick look, and where a file lies is told from what the system says."""

from __future__ import annotations

import sqlite3
from pathlib import Path

import pytest

from annual_planner.records.people import AddPerson
from annual_planner.store.drives import Surroundings, linux_mounts, mac_mounts, network_drive, surroundings
from annual_planner.store.opening import open_fleet
from annual_planner.store.quick_look import quick_faults
from annual_planner.store.refusals import NotAFleet
from annual_planner.store.session import Fleet
from tests.fleets import airplane, made

MOUNTS = r"""22 1 8:1 / / rw,relatime - ext4 /dev/sda1 rw
30 22 0:31 / /shop rw,relatime shared:5 - nfs4 server:/shop rw,vers=4.2
31 30 8:2 / /shop/own\040disk rw - ext4 /dev/sdb1 rw
32 22 0:40 / /home/ann/far rw - fuse.sshfs ann@shop:/ rw
33 22 0:41 / /home/ann/stick rw - fuseblk /dev/sdc1 rw
"""


def test_a_whole_fleet_has_no_fault_in_a_file_or_on_a_server(fleet: Fleet) -> None:
    made(fleet, airplane())
    steps: list[tuple[int, int]] = []
    assert quick_faults(fleet, lambda done, of: steps.append((done, of))) == []
    assert bool(steps) == (fleet.path is not None)


def damage(path: Path, table: str) -> None:
    """Write over the first page of a table, as a failing disk would."""
    with sqlite3.connect(path) as connection:
        [(page,)] = connection.execute("SELECT rootpage FROM sqlite_schema WHERE name = ?", (table,))
        [(size,)] = connection.execute("PRAGMA page_size")
    connection.close()
    with path.open("r+b") as file:
        file.seek((page - 1) * size)
        file.write(b"\x13" * 600)


def test_a_damaged_page_is_found_and_the_rest_can_still_be_read(tmp_path: Path) -> None:
    path = tmp_path / "shop.fleet"
    with open_fleet(path, create=True) as fleet:
        made(fleet, AddPerson("Mel Rook", ("mechanic",)))
    damage(path, "plug_check")
    with open_fleet(path) as fleet:
        [first, *_] = quick_faults(fleet)
        assert first
        with pytest.raises(InterruptedError):
            quick_faults(fleet, stopped_by_a_person)


def stopped_by_a_person(_done: int, _of: int) -> None:
    raise InterruptedError


def test_a_file_that_can_not_even_be_opened_points_to_the_backup(tmp_path: Path) -> None:
    path = tmp_path / "shop.fleet"
    open_fleet(path, create=True).close()
    damage(path, "alembic_version")
    with pytest.raises(NotAFleet, match="malformed") as refused:
        open_fleet(path)
    assert "last backup" in refused.value.remedy


@pytest.mark.parametrize(
    ("path", "kind"),
    [
        ("/shop/a.fleet", "nfs4"),
        ("/shop/own disk/a.fleet", ""),
        ("/shopping/a.fleet", ""),
        ("/home/ann/far/a.fleet", "fuse.sshfs"),
        ("/home/ann/stick/a.fleet", ""),
        ("/home/ann/a.fleet", ""),
    ],
)
def test_on_linux_the_deepest_mount_tells(path: str, kind: str) -> None:
    assert network_drive(Path(path), Surroundings("linux", linux_mounts(MOUNTS))) == kind


def test_on_macos_the_mount_command_tells() -> None:
    told = "/dev/disk3s1 on / (apfs, local)\n//ann@shop/f on /Volumes/f (smbfs, nodev)\nno mount at all"
    around = Surroundings("darwin", mac_mounts(told))
    assert network_drive(Path("/Volumes/f/a.fleet"), around) == "smbfs"
    assert network_drive(Path("/Users/ann/a.fleet"), around) == ""


@pytest.mark.parametrize(
    ("path", "kind"),
    [
        (r"\\shop\fleets\a.fleet", "network share"),
        (r"\\?\UNC\shop\fleets\a.fleet", "network share"),
        (r"S:\a.fleet", "network drive"),
        (r"\\?\S:\a.fleet", "network drive"),
        (r"C:\Users\ann\a.fleet", ""),
    ],
)
def test_on_windows_the_drive_or_the_share_tells(path: str, kind: str) -> None:
    around = Surroundings("win32", drive_type=lambda root: 4 if root == "S:\\" else 3)
    assert network_drive(Path(path), around) == kind


def test_this_computer_tells_where_a_file_lies(tmp_path: Path) -> None:
    around = surroundings()
    assert around.mounts
    assert isinstance(network_drive(tmp_path / "a.fleet", around), str)
