"""An annual carried to its end comes to the next fleet closed, with its entries and what is next due."""

from __future__ import annotations

from contextlib import closing
from pathlib import Path

from annual_planner.exchange.hand_over.taking import shown_file
from annual_planner.library.shelf import load_library
from annual_planner.planning.reading import read_package
from annual_planner.records.apply import apply
from annual_planner.records.keys import MakeKey
from annual_planner.records.pictures import read_picture
from annual_planner.store.fleet_reads import due_page, find_aircraft, packages
from annual_planner.store.opening import open_fleet
from annual_planner.store.received_reads import received_chains
from annual_planner.store.session import Fleet
from annual_planner.trade.shown import shown
from tests.exchange.hand_over.handed import file_of, take_in
from tests.planning.conftest import plan
from tests.planning.fleet import INSPECTOR, MECHANIC, OWNER, REGISTRATION, TODAY, small_fleet
from tests.planning.test_closing import AT, CHEAP, PASSPHRASE, close, do_all, draft, sign_all


def closed_annual(fleet: Fleet) -> None:
    for person_id in (OWNER, MECHANIC, INSPECTOR):
        apply(fleet, MakeKey(person_id, PASSPHRASE, AT, CHEAP), "a test", TODAY)
    planned = plan(fleet, load_library(None))
    do_all(planned)
    draft(planned)
    sign_all(planned)
    close(planned)


def dues(fleet: Fleet) -> list[tuple[object, ...]]:
    with fleet.reading() as work:
        lines = due_page(work, aircraft_id=find_aircraft(work, REGISTRATION), limit=1000)
        return [(line.title, line.state, line.due_on, line.due_hours, line.last_on) for line in lines]


def test_the_next_fleet_has_the_closed_annual(tmp_path: Path) -> None:
    with small_fleet(tmp_path) as fleet:
        closed_annual(fleet)
        path, given = file_of(fleet, tmp_path, REGISTRATION)
        before = dues(fleet)
    with closing(open_fleet(tmp_path / "next.fleet", create=True)) as following:
        with shown_file(following, path, TODAY, read_picture) as seen:
            assert seen.preview.changed == ()
        aircraft_id = take_in(following, path)
        assert dues(following) == before
        with following.reading() as work:
            [package] = packages(work, aircraft_id=aircraft_id)
            view = read_package(work, package.package_id, load_library(None), TODAY)
            [chain] = received_chains(work, aircraft_id)
        assert package.state == "closed"
        assert all(card.state == "done" for card in view.cards if card.included)
        assert len(chain.links) == given.signed > 0
        texts = [shown(link.content) for link in chain.links]
        assert any("Type of inspection: annual" in text for text in texts)
