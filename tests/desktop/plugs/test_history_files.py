"""A history is read in from the page after a look at it, and written out from there."""

from pathlib import Path

import pytest
from PySide6.QtWidgets import QFileDialog, QLabel
from pytestqt.qtbot import QtBot

from annual_planner.desktop.form import Form
from annual_planner.desktop.plugs.page import PlugsPage
from annual_planner.desktop.window import MainWindow
from tests.desktop.conftest import settle

pytestmark = pytest.mark.desktop
GOOD = """record,date,cylinder,reading_psi
reading,2025-05-01,1,76
reading,2025-05-01,2,71
"""


def choose(monkeypatch: pytest.MonkeyPatch, ask: str, path: Path) -> None:
    """Let the system's own window for files answer with this path."""
    monkeypatch.setattr(QFileDialog, ask, lambda *_asked: (str(path), ""))


def said(form: Form) -> str:
    return " ".join(each.text() for each in form.findChildren(QLabel))


def test_a_file_is_seen_first_then_written_then_taken_back(
    here: tuple[MainWindow, PlugsPage], qtbot: QtBot, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    window, page = here
    file = tmp_path / "bench.csv"
    file.write_text(GOOD, encoding="utf-8")
    choose(monkeypatch, "getOpenFileName", file)
    page.doings.read_in.trigger()
    settle(qtbot, window)
    form = page.drawer_form
    assert isinstance(form, Form)
    assert "1 compression test, 2 readings" in said(form)
    assert page.view is not None
    assert not page.view.tests, "nothing is written before it is wanted"
    form.submit()
    settle(qtbot, window)
    assert [each.line.reading_psi for each in page.view.tests[0].readings] == [76, 71]
    window.menus.actions["undo"].trigger()
    settle(qtbot, window)
    assert not page.view.tests


def test_a_file_with_a_fault_is_refused_by_line_and_column(
    here: tuple[MainWindow, PlugsPage], qtbot: QtBot, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    window, page = here
    file = tmp_path / "bench.csv"
    file.write_text(GOOD.replace(",2,71", ",9,71"), encoding="utf-8")
    choose(monkeypatch, "getOpenFileName", file)
    page.doings.read_in.trigger()
    settle(qtbot, window)
    form = page.drawer_form
    assert isinstance(form, Form)
    assert "line 3, column cylinder" in said(form)
    form.submit()
    settle(qtbot, window)
    assert page.drawer_form is None
    assert page.view is not None
    assert not page.view.tests


def test_what_is_written_out_can_be_read_in(
    here: tuple[MainWindow, PlugsPage], qtbot: QtBot, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    window, page = here
    choose(monkeypatch, "getSaveFileName", tmp_path / "out.csv")
    page.doings.write_out.trigger()
    settle(qtbot, window)
    choose(monkeypatch, "getOpenFileName", tmp_path / "out.csv")
    page.doings.read_in.trigger()
    settle(qtbot, window)
    form = page.drawer_form
    assert isinstance(form, Form)
    assert "8 plugs, 8 stays" in said(form)
