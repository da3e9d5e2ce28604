from __future__ import annotations

from collections.abc import Iterator
from contextlib import closing

import pytest

from annual_planner.store.opening import open_fleet
from annual_planner.store.session import Fleet
from tests.exchange.hand_over.handed import good_file
from tests.fleets import fleet, server_template

__all__ = ["empty", "fleet", "good", "server_template"]


@pytest.fixture(scope="package")
def good(tmp_path_factory: pytest.TempPathFactory) -> bytes:
    """A good hand-over file."""
    return good_file(tmp_path_factory.mktemp("good"))


@pytest.fixture(scope="package")
def empty(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Fleet]:
    """A fleet in which nothing is ever recorded."""
    with closing(open_fleet(tmp_path_factory.mktemp("empty") / "next.fleet", create=True)) as opened:
        yield opened
