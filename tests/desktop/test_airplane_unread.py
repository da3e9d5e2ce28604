"""An airplane that can't be read: said, kept in mind, asked for again."""

# ruff: noqa: F811 - fixtures are named where they are asked for

from __future__ import annotations

import pytest
from pytestqt.qtbot import QtBot

from annual_planner.desktop.aircraft.page import AircraftPage
from annual_planner.desktop.window import MainWindow
from tests.desktop.conftest import settle
from tests.desktop.test_aircraft import page, shop, small_file  # noqa: F401 - fixtures

pytestmark = pytest.mark.desktop


def test_it_stays_the_one_that_is_wanted_and_one_press_asks_again(
    page: AircraftPage, shop: MainWindow, qtbot: QtBot, monkeypatch: pytest.MonkeyPatch
) -> None:
    wanted = page.aircraft_id
    with monkeypatch.context() as broken:
        broken.setattr("annual_planner.desktop.aircraft.page.read_seen", lambda *_: 1 / 0)
        page.aircraft_id = None
        page.show_subject(wanted)
        settle(qtbot, shop)
        assert "could not be read. Nothing was lost" in page.blank.accessibleDescription()
        assert page.blank.isVisible()
        assert not page.doings.reading.isEnabled(), "nothing is written on what isn't seen"
    page.blank.next.click()
    qtbot.waitUntil(lambda: page.seen is not None)
    assert page.aircraft_id == wanted
    qtbot.waitUntil(page.facts.isVisible)
    assert page.doings.reading.isEnabled()
