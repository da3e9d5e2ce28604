"""What an earlier keeper signed is read in Records, clearly as received."""

from __future__ import annotations

from pathlib import Path

import pytest
from pytestqt.qtbot import QtBot

from annual_planner.desktop.records.page import RecordsPage
from annual_planner.desktop.window import MainWindow
from tests.desktop.conftest import settle
from tests.exchange.hand_over.handed import SIGNED, good_file, take_in

pytestmark = pytest.mark.desktop


def test_received_signatures_stand_apart_and_say_from_whom(
    window: MainWindow, qtbot: QtBot, tmp_path: Path
) -> None:
    fleet = window.desk.jobs.fleet
    take_in(fleet, good_file(tmp_path))
    window.go("records", "received")
    settle(qtbot, window)
    page = window.page
    assert isinstance(page, RecordsPage)
    assert page.received.listing.table.rowCount() == SIGNED
    assert page.signed.listing.table.rowCount() == 0
    assert {line.state for line in page.received.source.rows} == {"received"}
    text = page.received.text.toPlainText()
    assert "Received from Marram Field" in text
    assert "none of this fleet" in text
    assert "Key of" in text
