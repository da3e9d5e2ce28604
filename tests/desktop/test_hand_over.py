"""An airplane is handed over from one window and taken in by another: shown first, all or nothing."""

from __future__ import annotations

import zipfile
from concurrent.futures import ThreadPoolExecutor
from contextlib import closing
from pathlib import Path
from threading import Event

import pytest
from PySide6.QtGui import QAction
from PySide6.QtWidgets import QFileDialog
from pytestqt.qtbot import QtBot

from annual_planner.desktop.aircraft.page import AircraftPage
from annual_planner.desktop.app import Program
from annual_planner.desktop.hand_over.giving import HandOverDialog
from annual_planner.desktop.hand_over.taking import TakeInDialog
from annual_planner.desktop.records.page import RecordsPage
from annual_planner.desktop.who import Person
from annual_planner.desktop.window import MainWindow
from annual_planner.exchange.hand_over.giving import hand_over
from annual_planner.exchange.hand_over.reading import opened_hand_over
from annual_planner.records.closing_statement import statement_remarks
from annual_planner.records.pictures import read_picture
from annual_planner.store.fleet_reads import aircraft_sheet, find_aircraft, fleet_ids
from annual_planner.store.opening import open_fleet
from annual_planner.store.session import Fleet
from demo_fleet.loader import DEMO_AIRPLANE, DEMO_TODAY
from tests.desktop.conftest import settle
from tests.exchange.hand_over.handed import REGISTRATION, SIGNED, keeper_in, rows_in
from tests.fleets import TODAY
from tests.signing import PHRASE
from tests.trail import newest_lines

pytestmark = pytest.mark.desktop


@pytest.fixture(scope="module")
def handed(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A file with a photograph, a paper and signed records."""
    folder = tmp_path_factory.mktemp("handed")
    with closing(open_fleet(folder / "keeper.fleet", create=True)) as fleet:
        keeper_in(fleet)
        hand_over(fleet, REGISTRATION, folder / "out.zip", TODAY, read_picture)
    return folder / "out.zip"


@pytest.fixture
def next_window(program: Program, tmp_path: Path, qtbot: QtBot) -> MainWindow:
    """The next keeper's window: no airplane yet."""
    return _next_window(program, tmp_path, qtbot)


def _next_window(program: Program, folder: Path, qtbot: QtBot) -> MainWindow:
    open_fleet(folder / "next.fleet", create=True).close()
    program.start(folder / "next.fleet")
    assert program.window is not None
    settle(qtbot, program.window)
    return program.window


def test_the_whole_way_from_the_sample_fleet_to_a_new_one(
    window: MainWindow, program: Program, qtbot: QtBot, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    _in_records(window, qtbot, DEMO_AIRPLANE)
    dialog = _handing_over(window, qtbot)
    assert dialog.title.text().startswith(f"{DEMO_AIRPLANE}, ")
    assert "88 Plug checks" in " ".join(dialog.text.toPlainText().split())
    assert "Private keys never go along" in dialog.caution.text()
    target = tmp_path / "out.zip"
    monkeypatch.setattr(QFileDialog, "getSaveFileName", lambda *_a, **_k: (str(target.with_suffix("")), ""))
    dialog.choose.click()
    assert dialog.to.message.text().endswith("Say who keeps the airplane next.")
    assert not target.exists()
    dialog.to.put("Fell Edge Aviation")
    dialog.choose.click()
    settle(qtbot, window)
    assert str(target) in dialog.text.toPlainText()
    with window.desk.jobs.fleet.reading() as work:
        line = newest_lines(work, find_aircraft(work, DEMO_AIRPLANE), 1)[0]
    assert line.what == f"handed {DEMO_AIRPLANE} over to Fell Edge Aviation"
    assert str(line.after["file SHA-256"]) in dialog.text.toPlainText()
    dialog.leave.click()

    following = _next_window(program, tmp_path, qtbot)
    monkeypatch.setattr(QFileDialog, "getOpenFileName", lambda *_a, **_k: (str(target), ""))
    taking = _taking_in(following, qtbot)
    assert str(line.after["file SHA-256"]) in taking.text.toPlainText()
    assert rows_in(following.desk.jobs.fleet) == 0
    taking.record.click()
    settle(qtbot, following)
    page = following.page
    assert isinstance(page, AircraftPage)
    assert page.heading.text() == DEMO_AIRPLANE
    assert page.strip.text.startswith(f"{DEMO_AIRPLANE} is in this fleet now.")
    assert page.due.table.rowCount() > 20


def test_what_was_signed_is_shown_by_person_and_key_before_it_is_recorded(
    next_window: MainWindow, qtbot: QtBot, handed: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(QFileDialog, "getOpenFileName", lambda *_a, **_k: (str(handed), ""))
    dialog = _taking_in(next_window, qtbot)
    text = " ".join(dialog.text.toPlainText().split())
    for told in (
        f"{REGISTRATION}, ", "Handed over by Marram Field on 4 May 2026", "Mo Tarn key ",
        f"Marram Field: {SIGNED} signed records, each unchanged", "1 Photographs", "due first Annual",
    ):  # fmt: skip
        assert told in text
    dialog.record.click()
    dialog.reject()  # Escape, while it is being recorded
    settle(qtbot, next_window)
    next_window.go("records", "received")
    settle(qtbot, next_window)
    page = next_window.page
    assert isinstance(page, RecordsPage)
    assert page.received.listing.table.rowCount() == SIGNED


def test_a_changed_file_is_refused_in_one_line_and_nothing_is_recorded(
    next_window: MainWindow, qtbot: QtBot, handed: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    changed = tmp_path / "changed.zip"
    with zipfile.ZipFile(handed) as old, zipfile.ZipFile(changed, "w") as new:
        for info in old.infolist():
            new.writestr(info, old.read(info).replace(b"Brake drags", b"Brake holds"))
    monkeypatch.setattr(QFileDialog, "getOpenFileName", lambda *_a, **_k: (str(changed), ""))
    dialog = _taking_in(next_window, qtbot)
    assert "records.json is not what the manifest says" in dialog.strip.text
    assert "\n" not in dialog.strip.text
    assert not dialog.record.isEnabled()
    assert dialog.leave.text() == "Close"
    dialog.leave.click()
    assert rows_in(next_window.desk.jobs.fleet) == 0


def test_an_airplane_that_is_here_already_is_refused(
    window: MainWindow, qtbot: QtBot, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    hand_over(window.desk.jobs.fleet, DEMO_AIRPLANE, tmp_path / "own.zip", DEMO_TODAY)
    monkeypatch.setattr(QFileDialog, "getOpenFileName", lambda *_a, **_k: (str(tmp_path / "own.zip"), ""))
    before = rows_in(window.desk.jobs.fleet)
    dialog = _taking_in(window, qtbot)
    assert f"{DEMO_AIRPLANE} is in this fleet already" in dialog.strip.text
    assert not dialog.record.isEnabled()
    dialog.leave.click()
    assert rows_in(window.desk.jobs.fleet) == before


def test_writing_is_refused_where_a_file_is_then_stopped_then_done(
    window: MainWindow, qtbot: QtBot, tmp_path: Path
) -> None:
    (tmp_path / "there.zip").write_bytes(b"somebody's own")
    _on_its_page(window, qtbot, DEMO_AIRPLANE)
    dialog = _handing_over(window, qtbot)
    dialog.to.put("Fell Edge Aviation")
    dialog.write(tmp_path / "there.zip")
    settle(qtbot, window)
    assert "is there already; it is not written over" in dialog.strip.text
    assert (tmp_path / "there.zip").read_bytes() == b"somebody's own"
    with _readers_held(window):
        dialog.write(tmp_path / "out.zip")
        assert dialog.leave.text() == "Stop"
        assert dialog.bar.isVisible()
        dialog.reject()  # Escape
        assert dialog.isVisible()
    settle(qtbot, window)
    assert dialog.strip.text == "You stopped it. No file was written."
    assert list(tmp_path.glob("*out.zip*")) == []
    dialog.write(tmp_path / "out.zip")
    settle(qtbot, window)
    assert (tmp_path / "out.zip").exists()
    assert dialog.strip.text == ""


def test_the_closing_statement_is_signed_with_the_passphrase_typed_for_it(
    program: Program, qtbot: QtBot, tmp_path: Path
) -> None:
    with closing(open_fleet(tmp_path / "keeper.fleet", create=True)) as fleet:
        keeper_in(fleet)
    program.start(tmp_path / "keeper.fleet")
    window = program.window
    assert window is not None
    settle(qtbot, window)
    _on_its_page(window, qtbot, REGISTRATION)
    dialog = _handing_over(window, qtbot)
    assert not dialog.passphrase.editor.isVisible()
    offered = [dialog.signer.box.itemText(place) for place in range(dialog.signer.box.count())]
    assert offered == ["nobody", "Ina Vell", "Max Reed", "Ola Finch", "Una Brook"], "Mo Tarn's key is closed"
    dialog.to.put("Fell Edge Aviation")
    dialog.on.put("6 May 2026")
    dialog.signer.put(1)
    dialog.signer.edited.emit()
    assert "What Ina Vell signs These are all" in " ".join(dialog.text.toPlainText().split()).replace("“", "")
    dialog.choose.click()
    assert dialog.passphrase.message.text().endswith("or let nobody sign.")
    dialog.passphrase.put("a guess that is long enough")
    dialog.write(tmp_path / "out.zip")
    assert dialog.passphrase.line.text() == ""
    settle(qtbot, window)
    assert "does not unlock the key" in dialog.strip.text
    assert not (tmp_path / "out.zip").exists()
    dialog.passphrase.put(PHRASE.format(1))
    dialog.write(tmp_path / "out.zip")
    settle(qtbot, window)
    assert "The closing statement of the file is signed by Ina Vell" in dialog.text.toPlainText()
    with opened_hand_over(tmp_path / "out.zip", read_picture) as found:
        remarks = list(statement_remarks(found.records))
    assert remarks[0] == "handed to Fell Edge Aviation on 6 May 2026"
    assert remarks[1].startswith("the closing statement is signed by Ina Vell, key ")
    with window.desk.jobs.fleet.reading() as work:
        line = newest_lines(work, find_aircraft(work, REGISTRATION), 1)[0]
    assert line.after["closing statement signed by"] == "Ina Vell"
    assert line.after["handed on"] == "2026-05-06"
    dialog.leave.click()


def test_checking_is_left_and_nothing_is_recorded(
    next_window: MainWindow, qtbot: QtBot, handed: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(QFileDialog, "getOpenFileName", lambda *_a, **_k: (str(handed), ""))
    with _readers_held(next_window):
        next_window.menus.actions["take_in"].trigger()
        dialog = next_window.findChildren(TakeInDialog)[-1]
        dialog.leave.click()
    settle(qtbot, next_window)
    assert not next_window.findChildren(TakeInDialog)
    assert rows_in(next_window.desk.jobs.fleet) == 0


def test_an_owner_hands_over_their_own_airplane_and_takes_none_in(
    window: MainWindow, qtbot: QtBot, tmp_path: Path
) -> None:
    fleet = window.desk.jobs.fleet
    owner_id, own, other = _an_owner(fleet)
    window.desk.who.pick(Person("owner", owner_id, "an owner"))
    settle(qtbot, window)
    assert not window.menus.actions["take_in"].isVisible()
    _on_its_page(window, qtbot, own)
    dialog = _handing_over(window, qtbot)
    dialog.to.put("Fell Edge Aviation")
    before = rows_in(fleet)
    dialog.write(tmp_path / "own.zip")
    settle(qtbot, window)
    assert (tmp_path / "own.zip").exists()
    assert rows_in(fleet) == before
    with fleet.reading() as work:
        other_id = find_aircraft(work, other)
    refused = HandOverDialog(window.desk, other_id, window)
    settle(qtbot, window)
    assert "belongs to somebody else" in refused.strip._said.text()
    assert not refused.choose.isEnabled()


def _an_owner(fleet: Fleet) -> tuple[int, str, str]:
    """An owner, an airplane of theirs and one of somebody else's."""
    with fleet.reading() as work:
        sheets = [aircraft_sheet(work, each) for each in fleet_ids(work, order="registration")]
    own = next(sheet for sheet in sheets if sheet.owner_id is not None)
    other = next(sheet for sheet in sheets if sheet.owner_id != own.owner_id)
    assert own.owner_id is not None
    return own.owner_id, own.registration, other.registration


class _readers_held:  # noqa: N801 - used as a statement
    """Readers that answer nothing within the block, so that what is asked is surely still waiting."""

    def __init__(self, window: MainWindow) -> None:
        self._window = window
        self._go_on = Event()

    def __enter__(self) -> None:
        readers: ThreadPoolExecutor = self._window.desk.jobs._readers
        for _ in range(readers._max_workers):
            readers.submit(self._go_on.wait, 60)

    def __exit__(self, *_: object) -> None:
        self._go_on.set()


def _in_records(window: MainWindow, qtbot: QtBot, registration: str) -> None:
    window.go("records")
    settle(qtbot, window)
    page = window.page
    assert isinstance(page, RecordsPage)
    page.airplane.setCurrentText(registration)
    page.refresh()
    settle(qtbot, window)


def _on_its_page(window: MainWindow, qtbot: QtBot, registration: str) -> None:
    with window.desk.jobs.fleet.reading() as work:
        aircraft_id = find_aircraft(work, registration)
    window.go("aircraft", aircraft_id)
    settle(qtbot, window)


def _handing_over(window: MainWindow, qtbot: QtBot) -> HandOverDialog:
    _action(window, "Hand the airplane over…").trigger()
    settle(qtbot, window)
    return window.findChildren(HandOverDialog)[-1]


def _taking_in(window: MainWindow, qtbot: QtBot) -> TakeInDialog:
    window.menus.actions["take_in"].trigger()
    settle(qtbot, window)
    return window.findChildren(TakeInDialog)[-1]


def _action(window: MainWindow, words: str) -> QAction:
    return next(each for each in window.page.actions_here if each.text().replace("&", "") == words)
