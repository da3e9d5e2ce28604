"""Why on the sums of an annual: hours, quantities, scope."""

# ruff: noqa: F811 - fixtures of the annual's tests are named again where they are asked for

from __future__ import annotations

import pytest
from pytestqt.qtbot import QtBot

from annual_planner.desktop.annual.page import AnnualPage
from annual_planner.desktop.window import MainWindow
from tests.desktop.conftest import settle
from tests.desktop.test_annual import page, planned_file, shop  # noqa: F401 - fixtures

pytestmark = pytest.mark.desktop


def why(shop: MainWindow, qtbot: QtBot) -> tuple[str, str]:
    shop.show_why()
    settle(qtbot, shop)
    assert shop.panel.working is not None
    return shop.panel.working.title, shop.panel.working.result


def test_hours_quantities_and_scope_show_how_they_add_up(
    shop: MainWindow, page: AnnualPage, qtbot: QtBot
) -> None:
    assert page.shown is not None
    view = page.shown.view
    page.tabs.show_part(page.tabs.hours)
    settle(qtbot, shop)
    page.tabs.hours.hours.point_to(0)
    group = view.hours[0]
    assert why(shop, qtbot)[0].endswith(f"at least by: {group.doer}")
    page.tabs.hours.shares.view.setFocus()
    page.tabs.hours.shares.point_to(0)
    assert why(shop, qtbot)[0] == "Hours given to nobody yet"
    page.tabs.show_part(page.tabs.supplies)
    settle(qtbot, shop)
    page.tabs.supplies.parts.point_to(0)
    need = view.parts[0]
    assert why(shop, qtbot) == (need.name, f"{need.quantity.normalize():f} {need.unit}")
    page.tabs.show_part(page.tabs.coverage)
    settle(qtbot, shop)
    missing = sum(not each.met for each in view.coverage)
    assert str(missing) in page.tabs.coverage.said.text()
    assert why(shop, qtbot) == ("Scope of the inspection", f"{missing} of {len(view.coverage)} items missing")
