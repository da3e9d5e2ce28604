"""Whatever the program says of the demo fleet can be opened to its inputs, steps, rules and assumptions."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import closing, suppress

import pytest

from annual_planner.library.deferral import load_equipment
from annual_planner.library.shelf import Library, load_library
from annual_planner.planning.explain import explain
from annual_planner.planning.packages import BuildPackage
from annual_planner.records.apply import apply
from annual_planner.records.chain import check_chain
from annual_planner.records.due_state import explain_dues
from annual_planner.store.fleet_reads import aircraft_sheet, fleet_ids
from annual_planner.store.opening import open_fleet
from annual_planner.store.packages import card_lines, item_lines, newest_package
from annual_planner.store.session import Fleet, Work
from annual_planner.trade.deferral import deferral
from annual_planner.trade.refused import Refused
from annual_planner.trade.working import Working
from demo_fleet.loader import DEMO_TODAY, build_demo, demo_visit
from tests.workings import lacks, with_parts

OF_AN_AIRPLANE = ("usage", "flight check", "together", "week", "coverage")
OF_A_PACKAGE = ("package", "order", "closing")
OF_AN_ENGINE = (
    "", "rotation", "proposal", "polarity", "test", "torque", "restrictor", "set", "hours", "tray",
    "plug 1T", "plug 3B", "plug 1F", "plug 3R", "cylinder 1", "cylinder 3",
)  # fmt: skip


@pytest.fixture(scope="module")
def library() -> Library:
    return load_library()


@pytest.fixture(scope="module")
def demo(tmp_path_factory: pytest.TempPathFactory, library: Library) -> Iterator[Fleet]:
    """The demo with one annual planned."""
    path = tmp_path_factory.mktemp("demo") / "demo.fleet"
    build_demo(path)
    with closing(open_fleet(path)) as fleet:
        with fleet.reading() as work:
            unplanned = next(each for each in fleet_ids(work) if newest_package(work, each) is None)
        apply(fleet, BuildPackage(unplanned, demo_visit(DEMO_TODAY), "Annual", library), "a test", DEMO_TODAY)
        yield fleet


def every_working(work: Work, library: Library) -> Iterator[Working]:
    """Of every airplane what can be asked of it; what there is nothing of is refused and passed over."""
    yield check_chain(work).working
    yield deferral({}, load_equipment()).working
    for aircraft_id in fleet_ids(work):
        registration = aircraft_sheet(work, aircraft_id).registration
        yield from explain_dues(work, aircraft_id, DEMO_TODAY).values()
        for what in asked_of(work, aircraft_id):
            with suppress(Refused):
                yield explain(work, f"{registration} {what}", library, DEMO_TODAY)


def asked_of(work: Work, aircraft_id: int) -> Iterator[str]:
    yield from OF_AN_AIRPLANE
    yield from (f"engine 1 {thing}".strip() for thing in OF_AN_ENGINE)
    package_id = newest_package(work, aircraft_id)
    if package_id is None:
        return
    yield from OF_A_PACKAGE
    for card in card_lines(work, package_id)[::20]:
        yield from (f"card {card.number}", f"card {card.number} hours")
    yield from (f"after {item.due.title.lower()}" for item in item_lines(work, package_id)[:5])


def test_every_working_names_what_went_in_how_it_was_reached_and_what_it_rests_on(
    demo: Fleet, library: Library
) -> None:
    with demo.reading() as work:
        asked = list(every_working(work, library))
    assert len(asked) > 400
    found = {
        each.title: missing
        for working in asked
        for each in with_parts(working)
        if (missing := lacks(each, whole=each is working))
    }
    assert found == {}


def test_what_a_due_date_takes_for_granted_is_said(demo: Fleet, library: Library) -> None:
    with demo.reading() as work:
        every = [explain_dues(work, each, DEMO_TODAY) for each in fleet_ids(work)]
    counted = [each for dues in every for each in dues.values() if each.steps and each.inputs]
    assert len(counted) > 100
    assert [each.title for each in counted if not any(part.assumptions for part in with_parts(each))] == []
