"""What an earlier keeper signed is read in Records, clearly as received."""

from __future__ import annotations

from pathlib import Path

import pytest
from pytestqt.qtbot import QtBot

from annual_planner.desktop.records.handing_over import TakeInDialog
from annual_planner.desktop.records.page import RecordsPage
from annual_planner.desktop.window import MainWindow
from annual_planner.store.fleet_reads import find_aircraft
from annual_planner.trade.refused import Refused
from tests.desktop.conftest import settle
from tests.exchange.hand_over.handed import REGISTRATION, SIGNED, good_file, take_in

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


def test_an_airplane_is_handed_over_and_taken_in_again_elsewhere(
    window: MainWindow, qtbot: QtBot, tmp_path: Path
) -> None:
    page = opened(window, qtbot)
    page.handing.write("N012MH", tmp_path / "out.zip")
    settle(qtbot, window)
    assert "N012MH is in out.zip" in page.strip.text
    dialog = shown(page, qtbot, window, tmp_path / "out.zip")
    assert not dialog.record.isEnabled()
    assert "N012MH is in this fleet already" in dialog.strip.text
    dialog.reject()


def test_what_a_file_would_record_is_shown_before_it_is(
    window: MainWindow, qtbot: QtBot, tmp_path: Path
) -> None:
    (tmp_path / "in.zip").write_bytes(good_file(tmp_path))
    page = opened(window, qtbot)
    dialog = shown(page, qtbot, window, tmp_path / "in.zip")
    assert "Mo Tarn, key" in dialog.text.toPlainText()
    with window.desk.jobs.fleet.reading() as work, pytest.raises(Refused):
        find_aircraft(work, REGISTRATION)
    dialog.record.click()
    settle(qtbot, window)
    with window.desk.jobs.fleet.reading() as work:
        assert find_aircraft(work, REGISTRATION)
    assert f"{REGISTRATION} is in the fleet." in page.strip.text
    assert page.received.listing.table.rowCount() == SIGNED


def test_what_is_no_hand_over_file_is_refused_in_the_dialog(
    window: MainWindow, qtbot: QtBot, tmp_path: Path
) -> None:
    (tmp_path / "in.zip").write_bytes(b"no zip at all, but longer than an end record")
    dialog = shown(opened(window, qtbot), qtbot, window, tmp_path / "in.zip")
    assert "it is no zip file" in dialog.strip.text
    assert not dialog.record.isEnabled()
    dialog.reject()


def opened(window: MainWindow, qtbot: QtBot) -> RecordsPage:
    window.go("records")
    settle(qtbot, window)
    assert isinstance(window.page, RecordsPage)
    return window.page


def shown(page: RecordsPage, qtbot: QtBot, window: MainWindow, path: Path) -> TakeInDialog:
    page.handing.open_file(path)
    settle(qtbot, window)
    return window.findChildren(TakeInDialog)[-1]
