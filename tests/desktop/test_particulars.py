"""What is known of an airplane is changed in place, and saved when it is left."""

# ruff: noqa: F811 - fixtures are named where they are asked for

import pytest
from pytestqt.qtbot import QtBot

from annual_planner.desktop.aircraft.page import AircraftPage
from annual_planner.desktop.fields import TicksField
from annual_planner.desktop.window import MainWindow
from tests.desktop.conftest import settle
from tests.desktop.test_aircraft import fill, line, page, sheet, shop, small_file, undo  # noqa: F401 - fixtures

pytestmark = pytest.mark.desktop


def test_a_particular_saves_itself_when_it_is_left(
    shop: MainWindow, page: AircraftPage, qtbot: QtBot
) -> None:
    page.tabs.show_part(page.particulars)
    fill(qtbot, page.particulars.form, base="Grass strip")
    settle(qtbot, shop)
    assert sheet(shop).base == "Grass strip"
    undo(qtbot, shop)
    assert sheet(shop).base == ""
    assert line(page.particulars.form, "base").line.text() == ""


def test_a_wrong_year_is_explained_and_not_saved(shop: MainWindow, page: AircraftPage, qtbot: QtBot) -> None:
    page.tabs.show_part(page.particulars)
    fill(qtbot, page.particulars.form, year_built="1890")
    settle(qtbot, shop)
    assert page.particulars.form.fields["year_built"].at_fault
    assert sheet(shop).year_built == 1985


def test_equipment_is_ticked_in_place(shop: MainWindow, page: AircraftPage, qtbot: QtBot) -> None:
    page.tabs.show_part(page.particulars)
    settle(qtbot, shop)  # the library says what there is to tick
    features = page.particulars._features
    assert isinstance(features, TicksField)
    features.boxes["transponder"].click()
    settle(qtbot, shop)
    assert set(sheet(shop).features) == {"wheels", "elt", "transponder"}
