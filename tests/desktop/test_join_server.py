"""Joining a fleet on a server from the first page, and starting one there."""

from __future__ import annotations

from pathlib import Path

import pytest
from PySide6.QtWidgets import QPushButton
from pytestqt.qtbot import QtBot

from annual_planner.desktop.app import Program
from annual_planner.desktop.first_run import FirstRun
from annual_planner.desktop.fleet_watch import looked_at
from annual_planner.desktop.progress import Progress
from annual_planner.store.drives import surroundings
from annual_planner.store.opening import open_fleet
from annual_planner.store.server import with_password
from tests.desktop.conftest import MakeProgram, settle
from tests.fleets import new_database, server_fleet_address, server_template

__all__ = ["server_template"]
pytestmark = [pytest.mark.desktop, pytest.mark.postgres]
SECRET = "five-grey-geese"


def test_whoever_may_only_look_is_told_so(server_template: str) -> None:
    with open_fleet(server_fleet_address(server_template), read_only=True) as fleet:
        told = looked_at(fleet, surroundings(), Progress("Looking"))
    assert "may only look" in told.said
    assert "Ask whoever runs the server" in told.remedy


def first_page(program: Program) -> FirstRun:
    program.start()
    assert program.first is not None
    return program.first


def press(page: FirstRun, words: str) -> None:
    next(button for button in page.findChildren(QPushButton) if button.text() == words).click()


def test_the_password_opens_the_fleet_and_is_kept_nowhere(
    make_program: MakeProgram, server_template: str, tmp_path: Path, qtbot: QtBot
) -> None:
    program = make_program()
    first = first_page(program)
    first.server.setText(server_fleet_address(server_template))
    first.password.setText(SECRET)
    press(first, "Join the shop's server")
    qtbot.waitUntil(lambda: program.window is not None)
    assert program.window is not None
    settle(qtbot, program.window)
    shown, where = program.window.windowTitle(), program.window.where
    program.close()
    kept = "".join(path.read_text() for path in tmp_path.rglob("*") if path.is_file())
    assert where.startswith("postgresql+psycopg://test@"), "the next start finds it again"
    assert SECRET not in shown + where + kept
    assert shown.startswith("fleet_"), "without a name of its own it is called as its database"
    assert "?" not in shown
    again = make_program()
    again.start()
    assert again.window is not None
    settle(qtbot, again.window)
    assert again.window.where == where


def test_an_address_with_a_password_is_kept_without_it(
    program: Program, server_template: str, tmp_path: Path, qtbot: QtBot
) -> None:
    program.start(with_password(server_fleet_address(server_template), SECRET))
    qtbot.waitUntil(lambda: program.window is not None)
    assert program.window is not None
    settle(qtbot, program.window)
    program.close()
    assert SECRET not in "".join(path.read_text() for path in tmp_path.rglob("*") if path.is_file())


def test_an_empty_database_is_offered_a_fleet(program: Program, pg_url: str, qtbot: QtBot) -> None:
    first = first_page(program)
    assert first.start_there.isHidden()
    first.server.setText(new_database(pg_url, "nothing_in_it_yet"))
    press(first, "Join the shop's server")
    qtbot.waitUntil(lambda: bool(first.strip.text))
    assert "no fleet" in first.strip.text
    assert not first.start_there.isHidden()
    press(first, "Start the shop's fleet there")
    qtbot.waitUntil(lambda: program.window is not None)
    assert program.window is not None
    settle(qtbot, program.window)


def test_a_server_that_is_away_is_said_on_the_first_page(program: Program, qtbot: QtBot) -> None:
    program.start("postgresql://bench@/fleet?host=/nowhere")
    assert program.first is not None
    first = program.first
    qtbot.waitUntil(lambda: bool(first.strip.text))
    assert "does not answer" in first.strip.text
    assert first.start_there.isHidden()
