"""Compression tests and cylinder work that are written down already are put right."""

from __future__ import annotations

import pytest
from pytestqt.qtbot import QtBot

from annual_planner.desktop.form import Form
from annual_planner.desktop.plugs.page import PlugsPage
from annual_planner.desktop.window import MainWindow
from tests.desktop.conftest import settle
from tests.desktop.plugs.hands import read, tick_all

pytestmark = pytest.mark.desktop


def test_work_on_a_cylinder_written_by_mistake_is_removed_and_undo_brings_it_back(
    here: tuple[MainWindow, PlugsPage], qtbot: QtBot
) -> None:
    window, page = here
    assert not page.doings.undo_work.isEnabled()
    page.doings.cylinder.trigger()
    form = page.drawer_form
    assert isinstance(form, Form)
    form.submit()
    settle(qtbot, window)
    page.doings.undo_work.trigger()
    form = page.drawer_form
    assert isinstance(form, Form)
    form.submit()
    settle(qtbot, window)
    assert page.view is not None
    assert not any(each.changes for each in page.view.cylinders)
    window.desk.jobs.undo(window)
    settle(qtbot, window)
    assert sum(len(each.changes) for each in page.view.cylinders) == 1


def a_test(here: tuple[MainWindow, PlugsPage], qtbot: QtBot, *, recheck: str = "") -> None:
    """Write a test with readings of four cylinders; the second one's is taken again after a rung."""
    window, page = here
    page.doings.test.trigger()
    tab = page.tabs.compression
    tick_all(tab)
    read(tab, qtbot, window, "74\n", "52\n" if recheck else "76\n")
    if recheck:
        tab.ladder.form.fields["reading_psi"].put(recheck)
        tab.ladder.form.submit()
    read(tab, qtbot, window, "72\n", "75\n")
    tab.save.click()
    settle(qtbot, window)
    tab.tests.point_to(0)


def test_the_conditions_of_a_stored_test_are_corrected_and_taken_back(
    here: tuple[MainWindow, PlugsPage], qtbot: QtBot
) -> None:
    window, page = here
    a_test(here, qtbot)
    page.doings.amend.trigger()
    form = page.drawer_form
    assert isinstance(form, Form)
    form.fields["tester"].put("bench 2")
    form.fields["elevation_ft"].put("5000")
    form.submit()
    settle(qtbot, window)
    assert page.view is not None
    line = page.view.tests[0].line
    assert (line.tester, line.elevation_ft) == ("bench 2", 5000)
    assert line.ambient_psi_a is not None
    assert line.ambient_psi_a < 13, "the air of the day follows the field"
    window.menus.actions["undo"].trigger()
    settle(qtbot, window)
    assert page.view.tests[0].line.tester != "bench 2"


def test_a_stored_reading_is_corrected_with_its_rung(
    here: tuple[MainWindow, PlugsPage], qtbot: QtBot
) -> None:
    window, page = here
    a_test(here, qtbot, recheck="71")
    page.tabs.compression.cylinders.point_to(1)
    page.doings.reading.trigger()
    form = page.drawer_form
    assert isinstance(form, Form)
    form.fields["rung_0"].put("73")
    form.fields["heard"].put(("exhaust",))
    form.submit()
    settle(qtbot, window)
    assert page.view is not None
    reading = page.view.tests[0].reading(2)
    assert reading is not None
    assert (reading.line.first_psi, reading.line.reading_psi) == (52, 73)
    assert reading.rechecked[0].reading_psi == 73


def test_an_impossible_correction_is_refused_and_what_was_typed_stays(
    here: tuple[MainWindow, PlugsPage], qtbot: QtBot
) -> None:
    window, page = here
    a_test(here, qtbot)
    page.tabs.compression.cylinders.point_to(1)
    page.doings.reading.trigger()
    form = page.drawer_form
    assert isinstance(form, Form)
    form.fields["first_psi"].put("99")
    form.submit()
    settle(qtbot, window)
    assert page.drawer_form is form
    assert "80 psi" in form.summary.text()
    assert page.view is not None
    reading = page.view.tests[0].reading(2)
    assert reading is not None
    assert reading.line.reading_psi == 76
