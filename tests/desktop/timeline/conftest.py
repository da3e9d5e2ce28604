"""The part Who and when on the sample's annual: never laid out, or laid out by rules."""

from __future__ import annotations

import shutil
from datetime import datetime, time
from pathlib import Path

import pytest
from pytestqt.qtbot import QtBot

from annual_planner.desktop.annual.page import AnnualPage
from annual_planner.desktop.annual.timeline import chances, replanning
from annual_planner.desktop.annual.timeline.tab import Timeline
from annual_planner.desktop.app import Program
from annual_planner.library.shelf import load_library
from annual_planner.planning.card_jobs import asked_of_package
from annual_planner.planning.crew.solve import lay_out
from annual_planner.planning.edits import IncludeCard
from annual_planner.planning.packages import BuildPackage
from annual_planner.planning.work_plan import KeepPlan
from annual_planner.records.apply import apply
from annual_planner.store.fleet_reads import find_aircraft, packages
from annual_planner.store.opening import open_fleet
from annual_planner.store.packages import card_lines
from demo_fleet.loader import DEMO_AIRPLANE, DEMO_TODAY
from tests.desktop.timeline.hands import (
    Open,
    quiet,
)


@pytest.fixture(scope="module")
def planned(sample: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The sample with an annual that was just planned, every sixth of its cards in."""
    path = Path(shutil.copy(sample, tmp_path_factory.mktemp("planned") / "shop.fleet"))
    with open_fleet(path) as fleet:
        with fleet.reading() as work:
            aircraft_id = find_aircraft(work, DEMO_AIRPLANE)
        apply(fleet, BuildPackage(aircraft_id, DEMO_TODAY, "Annual", load_library()), "test", DEMO_TODAY)
        with fleet.work("test") as work:
            for card in card_lines(work, packages(work)[0].package_id):
                if card.included and card.number % 6:
                    IncludeCard(card.card_id, True, False).apply(work, DEMO_TODAY)
    return path


@pytest.fixture(scope="module")
def laid(planned: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The same, laid out by rules."""
    path = Path(shutil.copy(planned, tmp_path_factory.mktemp("laid") / "shop.fleet"))
    begins = datetime.combine(DEMO_TODAY, time.min)
    with open_fleet(path) as fleet:
        with fleet.reading() as work:
            package_id = packages(work)[0].package_id
            asked = asked_of_package(work, package_id, load_library(), begins)
        plan = lay_out(asked.problem, seconds=0, effort=0.0).value  # the same on every machine
        apply(fleet, KeepPlan(package_id, plan, begins.astimezone()), "test", DEMO_TODAY)
    return path


@pytest.fixture
def opened(program: Program, tmp_path: Path, qtbot: QtBot, monkeypatch: pytest.MonkeyPatch) -> Open:
    """Opens the part on a copy of a fleet with one annual."""
    monkeypatch.setattr(replanning, "SECONDS", 0.5)
    monkeypatch.setattr(replanning, "AGAIN_SECONDS", 0.5)
    monkeypatch.setattr(chances, "SAMPLES", 20)
    monkeypatch.setattr(chances, "REPLANNED_SAMPLES", 1)

    def open_on(path: Path) -> Timeline:
        copy = Path(shutil.copy(path, tmp_path / "shop.fleet"))
        with open_fleet(copy) as fleet, fleet.reading() as work:
            package_id = packages(work)[0].package_id
        program.start(copy)
        window = program.window
        assert window is not None
        window.resize(1280, 800)
        window.go("annual", package_id)
        quiet(qtbot, window)
        page = window.page
        assert isinstance(page, AnnualPage)
        page.tabs.show_part(page.when)
        quiet(qtbot, window)
        assert page.when.made is not None
        return page.when.made

    return open_on


@pytest.fixture
def fresh(opened: Open, planned: Path) -> Timeline:
    """The part on an annual that was never laid out."""
    return opened(planned)


@pytest.fixture
def when(opened: Open, laid: Path) -> Timeline:
    """The part on an annual that is laid out."""
    return opened(laid)
