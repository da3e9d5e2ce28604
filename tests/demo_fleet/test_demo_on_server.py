"""The demo in a server's empty database."""

from __future__ import annotations

import pytest

from annual_planner.store.fleet_reads import fleet_ids
from annual_planner.store.opening import open_fleet
from annual_planner.trade.refused import Refused
from demo_fleet.loader import build_demo
from tests.fleets import new_database


@pytest.mark.postgres
def test_the_demo_fills_an_empty_database_and_no_fleet_that_is_there(pg_url: str) -> None:
    address = new_database(pg_url, "demo_fleet")
    build_demo(address)
    with open_fleet(address) as fleet, fleet.reading() as work:
        assert len(fleet_ids(work)) == 12
    with pytest.raises(Refused, match="already"):
        build_demo(address)
