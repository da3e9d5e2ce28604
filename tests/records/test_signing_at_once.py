"""Benches that sign on one server at the same moment: the chain doesn't fork, and nothing is signed twice."""

from __future__ import annotations

from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from threading import Barrier

import pytest

from annual_planner.records.chain import check_chain
from annual_planner.records.signing import SignRecord, sign
from annual_planner.records.signing_sheet import content_to_sign
from annual_planner.store.opening import open_fleet
from annual_planner.store.session import Fleet
from annual_planner.store.signed_reads import signed_of
from annual_planner.trade.refused import Refused
from annual_planner.trade.signing import PERFORMED
from tests.fleets import server_fleet_address
from tests.signing import AT, PHRASE, draft, shop_in

pytestmark = pytest.mark.postgres
ROUNDS = 12


def attempt(fleet: Fleet, entry: int, person: int, start: Barrier) -> str:
    with fleet.reading() as work:
        sheet = content_to_sign(work, "log_entry", entry, person_id=person, meaning=PERFORMED, at=AT)
    start.wait()
    try:
        sign(fleet, SignRecord(sheet, person, PHRASE.format(person), AT))
    except Refused as refused:
        return refused.said
    return "signed"


def at_once(first: Callable[[Barrier], str], second: Callable[[Barrier], str]) -> list[str]:
    start = Barrier(2)
    with ThreadPoolExecutor(2) as benches:
        return [each.result() for each in [benches.submit(job, start) for job in (first, second)]]


def test_two_benches_at_once_neither_fork_the_chain_nor_sign_an_entry_twice(server_template: str) -> None:
    address = server_fleet_address(server_template)
    with open_fleet(address) as one, open_fleet(address) as two:
        shop = shop_in(one)
        for _ in range(ROUNDS):
            same, mine, yours = draft(shop), draft(shop), draft(shop)
            both = at_once(
                lambda start, row=same: attempt(one, row, shop.mechanic, start),  # type: ignore[misc]
                lambda start, row=same: attempt(two, row, shop.inspector, start),  # type: ignore[misc]
            )
            assert sorted(each == "signed" for each in both) == [False, True], both
            each_own = at_once(
                lambda start, row=mine: attempt(one, row, shop.mechanic, start),  # type: ignore[misc]
                lambda start, row=yours: attempt(two, row, shop.inspector, start),  # type: ignore[misc]
            )
            assert each_own == ["signed", "signed"]
            with one.reading() as work:
                assert [len(signed_of(work, "log_entry", [row])) for row in (same, mine, yours)] == [1, 1, 1]
        with one.reading() as work:
            state = check_chain(work).value
    assert (state.links, state.whole) == (3 * ROUNDS, True)
