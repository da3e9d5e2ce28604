from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import pytest

from annual_planner.library.shelf import Library, load_library
from annual_planner.planning.package_view import PackageView
from annual_planner.planning.packages import BuildPackage
from annual_planner.planning.reading import read_package
from annual_planner.records.edits import Changed, Edit
from annual_planner.store.session import Fleet
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


def plan(fleet: Fleet, library: Library) -> Planned:
    made = applied(fleet, BuildPackage(AIRPLANE, START, "Annual inspection", library))
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
