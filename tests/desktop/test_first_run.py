from pathlib import Path

import pytest
from PySide6.QtWidgets import QPushButton
from pytestqt.qtbot import QtBot

from annual_planner.desktop.app import Program
from annual_planner.desktop.first_run import FirstRun
from annual_planner.desktop.fleet_page import FleetPage
from annual_planner.desktop.opener import FleetFacts
from annual_planner.trade.refused import Refused
from tests.desktop.conftest import MakeProgram, settle
from tests.desktop.test_window import nameless

pytestmark = pytest.mark.desktop


@pytest.fixture
def first(program: Program) -> FirstRun:
    program.start()
    assert program.first is not None
    return program.first


def press(page: FirstRun, words: str) -> None:
    next(button for button in page.findChildren(QPushButton) if button.text() == words).click()


def show_once(make_program: MakeProgram, fleet_file: Path, qtbot: QtBot, place: str = "fleet") -> None:
    """Let the fleet be known from the last time, and where one was then."""
    program = make_program()
    program.start(fleet_file)
    assert program.window is not None
    settle(qtbot, program.window)
    program.window.go(place)
    program.close()


def test_without_a_fleet_the_first_page_offers_three_ways(first: FirstRun) -> None:
    words = {button.text() for button in first.findChildren(QPushButton)}
    assert {"Open the sample fleet", "Start a new fleet", "Join the shop's server"} <= words
    assert nameless(first) == []


def test_the_sample_is_built_and_opened(program: Program, first: FirstRun, qtbot: QtBot) -> None:
    press(first, "Open the sample fleet")
    qtbot.waitUntil(lambda: program.window is not None)
    assert program.window is not None
    settle(qtbot, program.window)
    page = program.window.page
    assert isinstance(page, FleetPage)
    assert page.airplanes.table.rowCount() == 12
    assert program.first is None


def test_a_new_fleet_starts_empty_and_says_what_to_do_first(
    program: Program, first: FirstRun, tmp_path: Path, qtbot: QtBot
) -> None:
    first.start_new(str(tmp_path / "mine"))
    qtbot.waitUntil(lambda: program.window is not None)
    assert program.window is not None
    settle(qtbot, program.window)
    assert (tmp_path / "mine.fleet").exists()
    page = program.window.page
    assert isinstance(page, FleetPage)
    assert page.airplanes.blank.isVisible()
    assert "No airplanes yet" in page.airplanes.blank.accessibleDescription()
    assert page.airplanes.blank.next.text() == "Add an airplane"


def test_what_is_no_fleet_is_refused_on_the_page(
    program: Program, first: FirstRun, tmp_path: Path, qtbot: QtBot
) -> None:
    wrong = tmp_path / "letter.txt"
    wrong.write_text("Dear owner")
    first.wants_open.emit(str(wrong))
    qtbot.waitUntil(lambda: bool(first.strip.text))
    assert "letter.txt" in first.strip.text
    assert program.window is None


def test_what_is_no_server_address_is_refused_beside_the_field(first: FirstRun) -> None:
    first.server.setText("shop")
    press(first, "Join the shop's server")
    assert "no server address" in first.strip.text


def test_a_known_fleet_that_has_become_unreadable_leads_to_the_first_page(
    make_program: MakeProgram, fleet_file: Path, qtbot: QtBot
) -> None:
    show_once(make_program, fleet_file, qtbot)
    fleet_file.write_text("no longer a fleet")
    again = make_program()
    again.start()
    qtbot.waitUntil(lambda: again.first is not None)
    assert again.first is not None
    assert fleet_file.name in again.first.strip.text
    assert again.window is None


def test_a_known_fleet_is_painted_before_it_is_open_and_can_be_closed_at_once(
    make_program: MakeProgram, fleet_file: Path, qtbot: QtBot
) -> None:
    show_once(make_program, fleet_file, qtbot)
    again = make_program()
    again.start()
    assert again.window is not None
    assert again.window.isVisible()
    assert again._fleet is None
    again.close()
    third = make_program()
    third.start(fleet_file)
    assert third.window is not None
    settle(qtbot, third.window)
    qtbot.waitUntil(lambda: third._fleet is not None)


def test_the_rows_of_a_known_fleet_are_there_before_it_is_open(
    make_program: MakeProgram, fleet_file: Path, qtbot: QtBot
) -> None:
    show_once(make_program, fleet_file, qtbot)
    again = make_program()
    seen: list[tuple[int, bool]] = []
    again.start()
    assert again.window is not None
    page = again.window.page
    assert isinstance(page, FleetPage)
    page.airplanes.table.found.connect(lambda shown, _total: seen.append((shown, again._fleet is not None)))
    settle(qtbot, again.window)
    assert seen == [(12, False), (12, True)]
    assert page.airplanes.current is not None
    assert page.airplanes.count.text() == "12 airplanes"


def test_where_another_place_was_kept_the_fleet_is_opened_without_a_glance(
    make_program: MakeProgram, fleet_file: Path, qtbot: QtBot
) -> None:
    show_once(make_program, fleet_file, qtbot, "library")
    again = make_program()
    again.start()
    assert again.window is not None
    assert again.window.page.place == "library"
    settle(qtbot, again.window)
    again.window.go("fleet")
    settle(qtbot, again.window)
    page = again.window.page
    assert isinstance(page, FleetPage)
    assert page.airplanes.table.rowCount() == 12


def test_a_fleet_whose_facts_cannot_be_read_is_let_go_and_can_be_opened_again(
    make_program: MakeProgram, fleet_file: Path, qtbot: QtBot, monkeypatch: pytest.MonkeyPatch
) -> None:
    show_once(make_program, fleet_file, qtbot)

    def unreadable(_fleet: object, _where: str) -> FleetFacts:
        raise Refused("The fleet could not be read.", "Try again.")

    again = make_program()
    with monkeypatch.context() as broken:
        broken.setattr("annual_planner.desktop.opener.facts_of", unreadable)
        again.start()
        qtbot.waitUntil(lambda: again.first is not None)
    assert again.first is not None
    again.first.wants_open.emit(str(fleet_file))
    qtbot.waitUntil(lambda: again.window is not None)
    assert again.window is not None
    settle(qtbot, again.window)
