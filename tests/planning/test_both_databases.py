"""The same plan comes out of a file and a server; its reads go by indexes."""

from __future__ import annotations

from datetime import date
from typing import Any

from sqlalchemy import event

from annual_planner.library.shelf import Library
from annual_planner.planning.edits import SetDoNow
from annual_planner.planning.explain import explain
from annual_planner.planning.packages import BuildPackage
from annual_planner.planning.reading import read_package
from annual_planner.records.apply import apply
from annual_planner.records.compliances import RecordCompliance
from annual_planner.records.discrepancies import RecordDiscrepancy
from annual_planner.store.mappings import Base
from annual_planner.store.session import Fleet
from tests.fleets import ANN, TODAY, airplane, annual, fleet, made, server_template
from tests.planning.conftest import Planned

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


def test_no_read_of_a_package_goes_through_a_whole_table(settled: Planned) -> None:
    sent: list[tuple[str, Any]] = []

    def note(connection: object, cursor: object, statement: str, parameters: Any, *_: object) -> None:
        if statement.lstrip().upper().startswith("SELECT"):
            sent.append((statement, parameters))

    event.listen(settled.fleet.engine, "before_cursor_execute", note)
    settled.view()
    event.remove(settled.fleet.engine, "before_cursor_execute", note)
    with settled.fleet.engine.connect() as connection:
        steps = [
            str(row[3])
            for statement, parameters in sent
            for row in connection.exec_driver_sql(f"EXPLAIN QUERY PLAN {statement}", parameters)
        ]
    scans = {step.split()[1] for step in steps if step.startswith("SCAN")}
    assert scans & set(Base.metadata.tables) <= PEOPLE
    assert any("work_card" in step and "INDEX" in step for step in steps)
