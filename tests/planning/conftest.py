from __future__ import annotations

import shutil
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import timedelta
from pathlib import Path

import pytest

from annual_planner.library.shelf import Library, load_library
from annual_planner.planning.package_view import PackageView
from annual_planner.planning.packages import BuildPackage
from annual_planner.planning.reading import read_package
from annual_planner.records.edits import Changed, Edit
from annual_planner.store.fleet_reads import find_aircraft
from annual_planner.store.opening import open_fleet
from annual_planner.store.session import Fleet
from demo_fleet.loader import DEMO_AIRPLANE
from tests.planning.fleet import AIRPLANE, START, TODAY, applied, small_fleet


@pytest.fixture(scope="session")
def library() -> Library:
    return load_library()


@dataclass
class Planned:
    """An airplane with a package, and the little that tests do with them."""

    fleet: Fleet
    package_id: int
    library: Library

    def view(self) -> PackageView:
        with self.fleet.reading() as work:
            return read_package(work, self.package_id, self.library, TODAY)

    def apply(self, edit: Edit) -> Changed:
        return applied(self.fleet, edit)


def plan(fleet: Fleet, library: Library, *, days_later: int = 0) -> Planned:
    start = START + timedelta(days=days_later)
    made = applied(fleet, BuildPackage(AIRPLANE, start, "Annual inspection", library))
    assert made.made_id is not None
    return Planned(fleet, made.made_id, library)


@pytest.fixture(scope="session")
def settled(tmp_path_factory: pytest.TempPathFactory, library: Library) -> Iterator[Planned]:
    """A package that tests only look at."""
    with small_fleet(tmp_path_factory.mktemp("settled")) as fleet:
        yield plan(fleet, library)


@pytest.fixture
def planned(tmp_path: Path, library: Library) -> Iterator[Planned]:
    with small_fleet(tmp_path) as fleet:
        yield plan(fleet, library)


@pytest.fixture(scope="module")
def planned_annual(module_sample: Path, library: Library) -> tuple[Path, int]:
    """The sample with the annual of its guided airplane: the file of the fleet and the package's id."""
    with open_fleet(module_sample) as fleet:
        with fleet.reading() as work:
            plane = find_aircraft(work, DEMO_AIRPLANE)
        made = applied(fleet, BuildPackage(plane, START, "Annual", library))
    assert made.made_id is not None
    return module_sample, made.made_id


@pytest.fixture
def fleet(planned_annual: tuple[Path, int], tmp_path: Path) -> Iterator[Fleet]:
    """The sample with that annual, for one test alone."""
    with open_fleet(Path(shutil.copy(planned_annual[0], tmp_path / "annual.fleet"))) as opened:
        yield opened


@pytest.fixture
def package(planned_annual: tuple[Path, int]) -> int:
    """The id of that annual's package."""
    return planned_annual[1]
