"""Fitting and removing assemblies from the airplane's page."""

# ruff: noqa: F811 - fixtures are named where they are asked for

from __future__ import annotations

from datetime import date
from decimal import Decimal

import pytest
from pytestqt.qtbot import QtBot

from annual_planner.desktop.aircraft.page import AircraftPage
from annual_planner.desktop.fields import TickField
from annual_planner.desktop.form import Form
from annual_planner.desktop.window import MainWindow
from annual_planner.store.fleet_reads import assemblies, due_page
from annual_planner.store.rows import AssemblyLine
from tests.desktop.conftest import settle
from tests.desktop.test_aircraft import page, shop, small_file  # noqa: F401 - fixtures

pytestmark = pytest.mark.desktop


def lines(window: MainWindow) -> list[AssemblyLine]:
    with window.desk.jobs.fleet.reading() as work:
        return assemblies(work, 1)


def open_form(page: AircraftPage, window: MainWindow, qtbot: QtBot) -> Form:
    settle(qtbot, window)
    assert page.drawer is not None
    form = page.drawer.widget()
    assert isinstance(form, Form)
    return form


def choose(page: AircraftPage, kind: str) -> None:
    """Point to the fitted assembly of that kind in its list."""
    page.tabs.show_part(page.assemblies)
    rows = page.held_assemblies.rows
    page.assemblies.point_to(next(place for place, row in enumerate(rows) if row.kind == kind))


def test_an_engine_comes_off_with_its_reason_and_undo_brings_it_back(
    page: AircraftPage, shop: MainWindow, qtbot: QtBot
) -> None:
    choose(page, "airframe")
    assert not page.doings.remove.isEnabled()
    choose(page, "engine")
    page.doings.remove.trigger()
    form = open_form(page, shop, qtbot)
    form.put({"removed_on": "2026-05-02", "reason": "overhaul"})
    assert form.fields["airframe_hours"].value() == Decimal("1531.5")
    form.submit()
    settle(qtbot, shop)
    [off] = [line for line in lines(shop) if line.removed_on is not None]
    assert (off.removed_on, off.why_removed, off.hours_now) == (
        date(2026, 5, 2),
        "overhaul",
        Decimal("531.5"),
    )
    assert "Removed: engine 1, Brindle B-100, serial E5." in page.strip.text
    shop.menus.actions["undo"].trigger()
    settle(qtbot, shop)
    assert all(line.removed_on is None for line in lines(shop))


def test_an_engine_is_changed_for_another_as_one_step(
    page: AircraftPage, shop: MainWindow, qtbot: QtBot
) -> None:
    before = lines(shop)
    page.doings.fit.trigger()
    form = open_form(page, shop, qtbot)
    form.put({"maker": "Brindle", "model": "B-100", "serial": "E9", "fitted_on": "2026-05-02"})
    form.put({"assembly_hours": "1200", "hours_since_overhaul": "0"})
    form.submit()
    assert "Something is fitted in that place" in form.summary.text()
    out = form.fields["out"]
    assert isinstance(out, TickField)
    assert "Engine 1, Brindle B-100, serial E5" in out.message.text()
    out.box.click()
    form.put({"reason": "time is up"})
    form.submit()
    settle(qtbot, shop)
    fitted = {line.serial: line for line in lines(shop) if line.kind == "engine"}
    assert fitted["E5"].removed_on == date(2026, 5, 2)
    assert (fitted["E9"].removed_on, fitted["E9"].hours_now) == (None, Decimal(1200))
    with shop.desk.jobs.fleet.reading() as work:
        assert "engine 1" in {line.counts_on for line in due_page(work, aircraft_id=1)}
    shop.menus.actions["undo"].trigger()
    settle(qtbot, shop)
    assert lines(shop) == before


def test_an_accessory_of_any_name_is_fitted_and_what_can_not_be_is_said_on_the_form(
    page: AircraftPage, shop: MainWindow, qtbot: QtBot
) -> None:
    page.doings.fit.trigger()
    form = open_form(page, shop, qtbot)
    form.put({"kind": "", "other": "Turbo  Controller", "fitted_on": "2026-05-02", "assembly_hours": "12"})
    form.fields["kind"].edited.emit()
    form.put({"hours_since_overhaul": "13"})
    form.submit()
    settle(qtbot, shop)
    assert "13 h since overhaul is more than 12 h since new" in form.summary.text()
    form.put({"hours_since_overhaul": ""})
    form.submit()
    settle(qtbot, shop)
    assert "turbo controller" in {line.kind for line in lines(shop)}
