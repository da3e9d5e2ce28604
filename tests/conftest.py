"""What every test stands on: no screen, one time zone, no file of the person's own, no unseen skip."""

import os
import shutil
import time
from collections.abc import Iterator
from pathlib import Path

import pytest
from hypothesis import HealthCheck, settings

# Without a screen, and with no platform named, Qt ends the whole process at the first window.
os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
os.environ.update(TZ="UTC", LC_ALL="C.UTF-8")
time.tzset()

pytest_plugins = ["pytester", "tests.no_skips", "tests.postgres_server"]

# Time limits make a busy machine fail tests that are right. The same code gets the same examples everywhere;
# `--hypothesis-profile fresh` draws others.
steady = settings(deadline=None, derandomize=True, suppress_health_check=[HealthCheck.too_slow])
settings.register_profile("steady", steady)
settings.register_profile("fresh", steady, derandomize=False)
settings.load_profile("steady")


@pytest.fixture(scope="session", autouse=True)
def own_folders(tmp_path_factory: pytest.TempPathFactory) -> Iterator[None]:
    """Settings, data and caches go to a folder of this run and not to the person's home."""
    with pytest.MonkeyPatch.context() as patch:
        for kind in ("DATA", "CONFIG", "CACHE", "STATE"):
            patch.setenv(f"XDG_{kind}_HOME", str(tmp_path_factory.mktemp(kind.lower())))
        yield


@pytest.fixture(scope="session", autouse=True)
def not_awaiting_the_disk() -> Iterator[None]:
    """Commits to a file go on without waiting for the disk: that only matters when the power fails."""
    from annual_planner.store import engines

    kept = engines.journal_settings
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(engines, "journal_settings", lambda version: (kept(version)[0], "OFF"))
        yield


@pytest.fixture(scope="session")
def sample(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The sample fleet, built once for all tests of a run; they read it, and write to copies of it only."""
    from demo_fleet.loader import build_demo

    path = tmp_path_factory.mktemp("sample") / "sample.fleet"
    build_demo(path)
    return path


@pytest.fixture(scope="module")
def module_sample(sample: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A copy of the sample that the tests of one module share."""
    return Path(shutil.copy(sample, tmp_path_factory.mktemp("module") / "demo.fleet"))


@pytest.fixture
def own_sample(sample: Path, tmp_path: Path) -> Path:
    """A copy of the sample for one test alone."""
    return Path(shutil.copy(sample, tmp_path / "demo.fleet"))
