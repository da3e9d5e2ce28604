"""What cards wait for in the demo's annuals: the records read, the engines hot, of one engine and of two."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, datetime, timedelta
from pathlib import Path

import pytest

from annual_planner.library.shelf import Library
from annual_planner.planning.card_jobs import Asked, asked_of_package
from annual_planner.planning.crew.solve import lay_out
from annual_planner.planning.packages import BuildPackage
from annual_planner.records.apply import apply
from annual_planner.store.fleet_reads import find_aircraft
from annual_planner.store.opening import open_fleet
from annual_planner.store.session import Fleet
from annual_planner.trade.cards import Phase
from annual_planner.trade.gates import HANDS_ON
from demo_fleet.loader import DEMO_AIRPLANE, DEMO_TODAY
from tests.planning.crew.checker import broken

NOW = datetime(2026, 5, 11, 8)  # noqa: DTZ001 - the shop's own clock
TWIN = "N070VT"


@pytest.fixture(scope="module")
def fleet(module_sample: Path) -> Iterator[Fleet]:
    with open_fleet(module_sample) as opened:
        yield opened


def asked(fleet: Fleet, registration: str, library: Library) -> Asked:
    with fleet.reading() as work:
        plane = find_aircraft(work, registration)
    built = apply(fleet, BuildPackage(plane, date(2026, 5, 11), "Annual", library), "a test", DEMO_TODAY)
    assert built.made_id is not None
    with fleet.reading() as work:
        return asked_of_package(work, built.made_id, library, NOW)


@pytest.mark.parametrize("registration", [DEMO_AIRPLANE, TWIN])
def test_the_records_are_read_first_and_each_engine_is_checked_while_it_is_hot(
    fleet: Fleet, library: Library, registration: str
) -> None:
    question = asked(fleet, registration, library)
    plan = lay_out(question.problem, seconds=0, effort=0.0).value
    assert broken(question.problem, plan) == []
    phases = {key: Phase(card.phase) for key, card in question.cards.items()}
    read = max(plan.place(key).ends for key, phase in phases.items() if phase is Phase.RESEARCH)
    hands_on = [plan.place(key).starts for key, phase in phases.items() if phase in HANDS_ON]
    assert read <= min(hands_on)
    runs = [key for key in phases if key.split("#")[0] == "hot_run"]
    assert min(plan.place(key).starts for key in runs) < read, "the heat doesn't wait for the records"
    for run in runs:
        waited = plan.place(run.replace("run", "compression")).starts - plan.place(run).ends
        assert waited <= timedelta(minutes=90 * len(runs))
