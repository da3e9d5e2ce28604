"""An airplane is added by hand, with its engines and propellers."""

# ruff: noqa: F811 - fixtures are named where they are asked for

from decimal import Decimal

import pytest
from pytestqt.qtbot import QtBot

from annual_planner.desktop.aircraft.page import AircraftPage
from annual_planner.desktop.fields import TicksField
from annual_planner.desktop.window import MainWindow
from tests.desktop.conftest import settle
from tests.desktop.test_aircraft import fill, form, page, shop, small_file  # noqa: F401 - fixtures

pytestmark = pytest.mark.desktop


def test_an_airplane_is_added_by_hand_with_the_usual_requirements(shop: MainWindow, qtbot: QtBot) -> None:
    shop.go("aircraft", "add")
    settle(qtbot, shop)
    page = shop.page
    assert isinstance(page, AircraftPage)
    shown = form(page)
    shown.submit()
    wrong = {key for key, field in shown.fields.items() if field.at_fault}
    assert wrong == {"registration", "maker", "model", "serial", "hours_now"}
    wants = {"registration": "n012zz", "maker": "Harrow", "model": "Kestrel 4", "serial": "41"}
    fill(qtbot, shown, **wants, hours_now="812.4", year_built="1991")
    ticks = shown.fields["features"]
    assert isinstance(ticks, TicksField)
    for key in ("wheels", "elt", "opposed", "magnetos"):
        ticks.boxes[key].click()
    shown.submit()
    settle(qtbot, shop)
    assert page.heading.text() == "N012ZZ"
    assert page.due.table.rowCount() > 5
    assert page.seen is not None
    assert [each.hours_now for each in page.seen.assemblies] == [Decimal("812.4")] * 3


def test_each_engine_and_propeller_of_a_twin_is_described_on_its_own(shop: MainWindow, qtbot: QtBot) -> None:
    shop.go("aircraft", "add")
    settle(qtbot, shop)
    page = shop.page
    assert isinstance(page, AircraftPage)
    shown = form(page)
    assert shown.fields["engine2_serial"].editor.isHidden()
    fill(qtbot, shown, registration="n012zz", maker="Harrow", model="Twin", serial="41", hours_now="900")
    fill(qtbot, shown, engines="2", engine_maker="Brindle", engine_model="B-100", engine_serial="E1")
    assert not shown.fields["engine2_serial"].editor.isHidden()
    assert shown.fields["engine3_serial"].editor.isHidden()
    fill(qtbot, shown, engine2_serial="E2", engine2_hours="120", engine2_since="20", propeller2_serial="P2")
    shown.submit()
    settle(qtbot, shop)
    assert page.seen is not None
    fitted = {(each.kind, each.position): each for each in page.seen.assemblies}
    first, second = fitted["engine", 1], fitted["engine", 2]
    assert (second.maker, second.model, second.serial) == ("Brindle", "B-100", "E2")
    assert (first.hours_now, second.hours_now) == (Decimal(900), Decimal(120))
    assert (first.hours_since_overhaul, second.hours_since_overhaul) == (None, Decimal(20))
    assert fitted["propeller", 2].serial == "P2"


def test_a_registration_that_is_taken_is_said_on_the_form(shop: MainWindow, qtbot: QtBot) -> None:
    shop.go("aircraft", "add")
    settle(qtbot, shop)
    page = shop.page
    assert isinstance(page, AircraftPage)
    shown = form(page)
    fill(qtbot, shown, registration="N012AP", maker="Harrow", model="K", serial="1", hours_now="1")
    shown.submit()
    settle(qtbot, shop)
    assert "N012AP is already in this fleet" in shown.summary.text()
