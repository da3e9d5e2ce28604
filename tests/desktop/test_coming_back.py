"""An airplane that is known here comes back in the window: what is more is shown, then added."""

from __future__ import annotations

from contextlib import closing
from pathlib import Path

import pytest
from pytestqt.qtbot import QtBot

from annual_planner.desktop.app import Program
from annual_planner.desktop.hand_over.taking import TakeInDialog, open_take_in
from annual_planner.desktop.window import MainWindow
from annual_planner.records.people import AddPerson
from annual_planner.store.opening import open_fleet
from annual_planner.store.writing import rows_where
from annual_planner.trade.people import Certificate, CertificateKind
from tests.desktop.conftest import settle
from tests.exchange.hand_over.coming_back import back_from
from tests.exchange.hand_over.handed import REGISTRATION, file_of, keeper_in
from tests.fleets import airplane, made

pytestmark = pytest.mark.desktop


@pytest.fixture(scope="module")
def files(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, Path]:
    """The fleet of the first keeper, and the file that comes back."""
    folder = tmp_path_factory.mktemp("away")
    with closing(open_fleet(folder / "first.fleet", create=True)) as first:
        keeper_in(first)
        gone = file_of(first, folder)[0].read_bytes()
    back = folder / "back.zip"
    back.write_bytes(back_from(gone, folder))
    return folder / "first.fleet", back


def opened(program: Program, fleet_file: Path, tmp_path: Path, qtbot: QtBot) -> MainWindow:
    copy = tmp_path / "here.fleet"
    copy.write_bytes(fleet_file.read_bytes())
    program.start(copy)
    assert program.window is not None
    settle(qtbot, program.window)
    return program.window


def taking(window: MainWindow, path: Path, qtbot: QtBot, said: list[str]) -> TakeInDialog:
    dialog = open_take_in(window.desk, path, window, lambda _id, words: said.append(words))
    settle(qtbot, window)
    return dialog


def words(dialog: TakeInDialog) -> str:
    return " ".join(dialog.text.toPlainText().split())


def test_what_is_more_is_shown_and_added(
    program: Program, files: tuple[Path, Path], tmp_path: Path, qtbot: QtBot
) -> None:
    window, said = opened(program, files[0], tmp_path, qtbot), list[str]()
    dialog = taking(window, files[1], qtbot, said)
    assert f"{REGISTRATION} is known here up to 4 May 2026; the file goes to 20 May 2026" in words(dialog)
    assert "--" not in words(dialog)
    assert dialog.record.text() == f"Add to {REGISTRATION}"
    assert "What is new in the file is recorded beside what is here" in dialog.says.text()
    assert dialog.same.isHidden()
    dialog.record.click()
    settle(qtbot, window)
    assert said == [f"{REGISTRATION} has what the file added."]
    again = taking(window, files[1], qtbot, said)
    assert "the file holds nothing more" in again.strip.text
    assert not again.record.isVisible()
    again.leave.click()


def test_an_engine_known_here_is_ticked_and_a_person_is_not(
    program: Program, files: tuple[Path, Path], tmp_path: Path, qtbot: QtBot
) -> None:
    with closing(open_fleet(tmp_path / "other.fleet", create=True)) as fleet:
        mo = Certificate(CertificateKind.MECHANIC, "0-1702", frozenset({"airframe"}))
        made(fleet, AddPerson("Mo Tarn", ("mechanic",), certificates=(mo,)))
        made(fleet, airplane("N034BQ", serial="18"))
        with fleet.engine.execution_options(fleet_write=True).begin() as connection:
            connection.exec_driver_sql("UPDATE installation SET removed_on = fitted_on")
    window, said = opened(program, tmp_path / "other.fleet", tmp_path, qtbot), list[str]()
    dialog = taking(window, files[1], qtbot, said)
    assert {name: box.isChecked() for name, box in dialog.boxes.items()} == {
        "engine E5": True, "propeller P5": True, "Mo Tarn": False
    }  # fmt: skip
    assert dialog.boxes["engine E5"].text() == (
        "Engine E5 is the one known here (Brindle B-100, last on N034BQ)"
    )
    dialog.boxes["propeller P5"].setChecked(False)
    dialog.record.click()
    settle(qtbot, window)
    assert said == [f"{REGISTRATION} is in this fleet now."]
    with window.desk.jobs.fleet.reading() as work:
        kinds = [row["kind"] for row in rows_where(work, "assembly").values()]
        assert (kinds.count("engine"), kinds.count("propeller")) == (1, 2)
        people = {row["name"] for row in rows_where(work, "person").values()}
    assert f"Mo Tarn (records of {REGISTRATION})" in people
