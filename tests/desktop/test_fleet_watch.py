"""What the window says of a fleet file that is damaged, or lies where it can't be relied on."""

from __future__ import annotations

from pathlib import Path

import pytest
from pytestqt.qtbot import QtBot

from annual_planner.desktop import fleet_watch
from annual_planner.desktop.app import Program
from annual_planner.desktop.back_up import back_up, restore_backup
from annual_planner.desktop.progress import Progress
from annual_planner.desktop.window import MainWindow
from annual_planner.store.drives import Surroundings
from annual_planner.store.opening import open_fleet
from tests.desktop.conftest import settle
from tests.store.test_quick_look import damage

pytestmark = pytest.mark.desktop


def test_a_damaged_file_is_said_once_the_window_stands(
    program: Program, fleet_file: Path, qtbot: QtBot, monkeypatch: pytest.MonkeyPatch
) -> None:
    damage(fleet_file, "plug_check")
    monkeypatch.setattr(fleet_watch, "LOOK_AFTER_MS", 0)
    program.start(fleet_file)
    assert program.window is not None
    window = program.window
    qtbot.waitUntil(lambda: "shop.fleet is damaged" in window.strip.text)
    assert "Restore the last backup" in window.strip.text
    assert window.page.place == "fleet"


def test_a_network_drive_is_warned_of_and_a_sound_file_on_this_computer_is_not(
    window: MainWindow, fleet_file: Path
) -> None:
    fleet, progress = window.desk.jobs.fleet, Progress("Looking")
    far = Surroundings("linux", ((str(fleet_file.resolve().parent), "nfs4"),))
    watched = fleet_watch.looked_at(fleet, far, progress)
    assert "lies on a network drive (nfs4)" in watched.said
    assert "Back it up to this computer's own disk" in watched.remedy
    near = Surroundings("linux", (("/", "ext4"),))
    assert fleet_watch.looked_at(fleet, near, progress) == fleet_watch.Watched()


def test_a_backup_is_restored_to_a_new_file_and_never_over_another(
    window: MainWindow, tmp_path: Path, qtbot: QtBot
) -> None:
    back_up(window.desk, window.strip, tmp_path / "copy.fleet")
    settle(qtbot, window)
    restore_backup(window.desk, window.strip, tmp_path / "copy.fleet", tmp_path / "new.fleet")
    settle(qtbot, window)
    assert "restored to new.fleet and checked" in window.strip.text
    with open_fleet(tmp_path / "new.fleet") as fleet, fleet.reading():
        pass
    restore_backup(window.desk, window.strip, tmp_path / "copy.fleet", tmp_path / "new.fleet")
    settle(qtbot, window)
    assert "already there" in window.strip.text
