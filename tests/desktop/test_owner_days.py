"""What the owner does on which day, in the window: once the work is laid out, and gone with the plan."""

from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path

import pytest
from PySide6.QtWidgets import QTextBrowser
from pytestqt.qtbot import QtBot

from annual_planner.desktop.annual.page import AnnualPage
from annual_planner.desktop.app import Program
from annual_planner.library.shelf import load_library
from annual_planner.planning.work_plan import KeepPlan
from annual_planner.store.opening import open_fleet
from tests.desktop.conftest import settle
from tests.planning.test_owner_days import lay_out_with_owner

pytestmark = pytest.mark.desktop


def test_the_owners_days_stand_above_their_list_and_go_with_the_plan(
    program: Program, fleet_file: Path, qtbot: QtBot
) -> None:
    with open_fleet(fleet_file) as fleet:
        laid = lay_out_with_owner(fleet, load_library())
    program.start(fleet_file)
    window = program.window
    assert window is not None
    window.go("annual", laid.package_id)
    settle(qtbot, window)
    page = window.page
    assert isinstance(page, AnnualPage)
    page.tabs.show_part(page.tabs.owner)
    text = page.tabs.owner.findChild(QTextBrowser)
    assert text is not None
    assert "by the plan of the work" not in text.toPlainText()
    keep = KeepPlan(laid.package_id, laid.plan, datetime(2026, 5, 4, 12, tzinfo=UTC))
    window.desk.jobs.write(keep, page)
    settle(qtbot, window)
    said = text.toPlainText()
    for day in laid.days:
        assert f"{day.day:%A} {day.day.day} {day.day:%B %Y}: {day.hours:g} h" in said
        for piece in day.pieces:
            assert f"{piece.title} (card {piece.card_number})" in said
            assert piece.authority in said
    first = laid.days[0]
    assert said.index(first.cautions[0].title) < said.index(first.pieces[0].title)
    window.menus.actions["undo"].trigger()
    settle(qtbot, window)
    assert "by the plan of the work" not in text.toPlainText()
