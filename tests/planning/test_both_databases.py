"""The same plan comes out of a file and a server; its reads go by indexes."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

import pytest
from sqlalchemy import text

from annual_planner.library.shelf import Library
from annual_planner.planning.close_package import ClosePackage
from annual_planner.planning.edits import IncludeCard, SetDoNow
from annual_planner.planning.explain import explain
from annual_planner.planning.packages import BuildPackage
from annual_planner.planning.reading import read_package
from annual_planner.records.apply import apply
from annual_planner.records.compliances import RecordCompliance
from annual_planner.records.discrepancies import RecordDiscrepancy
from annual_planner.records.edits import Changed
from annual_planner.store.mappings import Base
from annual_planner.store.opening import open_fleet
from annual_planner.store.packages import card_lines
from annual_planner.store.refusals import FleetInUse
from annual_planner.store.session import Fleet, Work
from tests.fleets import (
    ANN,
    BEN,
    TODAY,
    airplane,
    annual,
    fleet,
    made,
    server_fleet_address,
    server_template,
)
from tests.planning.conftest import Planned
from tests.statements import statements

__all__ = ["fleet", "server_template"]

START = date(2026, 5, 11)
PEOPLE = {"person", "certificate"}
"""Read whole: a shop has few people."""


def test_a_plan_is_built_changed_and_taken_back_on_either_database(fleet: Fleet, library: Library) -> None:
    plane = made(fleet, airplane())
    need = made(fleet, annual(plane))
    apply(fleet, RecordCompliance(need, date(2025, 5, 20), None), ANN, TODAY)
    made(fleet, RecordDiscrepancy(plane, date(2026, 3, 1), "engine", "Oil weeps at the sump", True, None))
    built = apply(fleet, BuildPackage(plane, START, "Annual", library), ANN, TODAY)
    assert built.made_id is not None
    with fleet.reading() as work:
        view = read_package(work, built.made_id, library, TODAY)
        assert explain(work, "N012AP order", library, TODAY) == view.order_working
    assert [item.due.title for item in view.items if item.do_now] == ["Annual inspection"]
    assert any(card.title == "Repair: Oil weeps at the sump" for card in view.cards)
    left = apply(fleet, SetDoNow(view.items[0].item_id, True, False), ANN, TODAY)
    for back in (left.back, built.back):
        assert back is not None
        apply(fleet, back, ANN, TODAY)


@pytest.mark.postgres
def test_whoever_closes_a_package_waits_for_who_is_changing_it(
    server_template: str, library: Library
) -> None:
    with open_fleet(server_fleet_address(server_template)) as fleet:
        plane = made(fleet, airplane())
        package_id = made(fleet, BuildPackage(plane, START, "Annual", library))
        with fleet.reading() as work:
            card = next(each for each in card_lines(work, package_id) if each.included)
        with fleet.work(ANN) as first:
            IncludeCard(card.card_id, True, False).apply(first, TODAY)
            with pytest.raises(FleetInUse):
                apply(fleet, AtOnce(ClosePackage(package_id, library, TODAY)), BEN, TODAY)


@dataclass(frozen=True)
class AtOnce:
    """An edit that does not wait for another's work to end."""

    edit: ClosePackage
    says: str = "at once"

    def apply(self, work: Work, today: date) -> Changed:
        work.session.execute(text("SET LOCAL lock_timeout = '20ms'"))
        return self.edit.apply(work, today)


def test_no_read_of_a_package_goes_through_a_whole_table(settled: Planned) -> None:
    with statements(settled.fleet) as sent:
        settled.view()
    with settled.fleet.engine.connect() as connection:
        steps = [
            str(row[3])
            for statement, parameters in sent.selects
            for row in connection.exec_driver_sql(f"EXPLAIN QUERY PLAN {statement}", parameters)
        ]
    scans = {step.split()[1] for step in steps if step.startswith("SCAN")}
    assert scans & set(Base.metadata.tables) <= PEOPLE
    assert any("work_card" in step and "INDEX" in step for step in steps)
