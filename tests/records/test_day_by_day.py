"""Bringing the kept due state to another day is the same as working all of it out from nothing."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from decimal import Decimal
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from sqlalchemy import select

from annual_planner.records.compliances import RecordCompliance
from annual_planner.records.due_state import refresh
from annual_planner.records.due_today import bring_forward, lines_on
from annual_planner.store.fleet_reads import due_page
from annual_planner.store.mappings import DueRow, StandingRow
from annual_planner.store.rows import DueLine
from annual_planner.store.session import Fleet
from tests.fleets import ANN, TODAY, airplane, annual, hundred_hour, made
from tests.records.flown_fleet import FROM, SomeAirplane, airplanes, write
from tests.statements import statements

BEGINS = FROM + timedelta(days=10)
few_airplanes = st.lists(airplanes, min_size=1, max_size=3).map(tuple)
steps = st.lists(
    st.one_of(st.integers(1, 3), st.integers(1, 90), st.integers(-40, -1)), min_size=1, max_size=8
)


def kept(fleet: Fleet) -> list[Any]:
    """All that is kept, as it stands in the tables."""
    with fleet.reading() as work:
        dues = work.session.execute(select(DueRow.__table__).order_by(DueRow.requirement_id)).all()
        standings = work.session.execute(
            select(StandingRow.__table__).order_by(StandingRow.aircraft_id)
        ).all()
    return [*dues, *standings]


def work_out_from_nothing(fleet: Fleet, today: date, airplanes: int) -> None:
    with fleet.work(ANN) as work:
        for number in range(1, airplanes + 1):
            refresh(work, number, today)


def rounded(lines: list[DueLine]) -> list[DueLine]:
    """Without what only the digits of a Decimal tell apart."""
    return [replace(line, hours_left=None if line.hours_left is None else +line.hours_left) for line in lines]


@settings(max_examples=25, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(planes=few_airplanes, steps=steps)
def test_from_day_to_day_is_the_same_as_from_nothing_on_the_last_day(
    fleet: Fleet, planes: tuple[SomeAirplane, ...], steps: list[int]
) -> None:
    with fleet.work(ANN) as work:
        write(work, planes)
    work_out_from_nothing(fleet, BEGINS, len(planes))
    day = BEGINS
    for days in steps:
        before, day = day, day + timedelta(days=days)
        with fleet.reading() as work:
            looked_at = lines_on(work, due_page(work), day)
        assert bring_forward(fleet, ANN, day) == len(planes)
        with fleet.reading() as work:
            assert rounded(due_page(work)) == rounded(looked_at), (before, day)
    brought = kept(fleet)
    work_out_from_nothing(fleet, day, len(planes))
    assert brought == kept(fleet)


def fleet_of(fleet: Fleet, airplanes: int, requirements: int) -> None:
    for number in range(airplanes):
        plane = made(fleet, airplane(f"N0{number:02}QA"))
        for place in range(requirements):
            need = made(fleet, replace(annual(plane), key="", title=f"Requirement {place}"))
            made(fleet, RecordCompliance(need, date(2026, 1, 14), None))


@pytest.mark.parametrize("requirements", [1, 12])
def test_a_day_asks_the_same_number_of_queries_however_many_lines_turn(
    fleet: Fleet, requirements: int
) -> None:
    fleet_of(fleet, 3, requirements)
    with statements(fleet) as sent:
        assert bring_forward(fleet, ANN, date(2027, 2, 1)) == 3
    with fleet.reading() as work:
        assert {line.state for line in due_page(work)} == {"overdue"}
    assert len([said for said, _ in sent if "BEGIN" not in said and "PRAGMA" not in said]) == 10, sent


def test_a_day_that_changes_no_line_writes_none(fleet: Fleet) -> None:
    fleet_of(fleet, 2, 3)
    before = kept(fleet)
    with statements(fleet) as sent:
        bring_forward(fleet, ANN, TODAY + timedelta(days=1))
    written = [said for said, _ in sent if said.startswith(("UPDATE", "INSERT", "DELETE"))]
    assert [each.partition(" SET ")[0] for each in written] == ["UPDATE aircraft_standing"]
    assert kept(fleet)[:6] == before[:6]


def test_stopped_on_its_way_it_goes_on_the_next_time(fleet: Fleet) -> None:
    fleet_of(fleet, 3, 2)
    turns = iter((None, None, InterruptedError()))

    def go_on() -> None:
        if (stop := next(turns)) is not None:
            raise stop

    last = date(2027, 2, 1)
    with pytest.raises(InterruptedError):
        bring_forward(fleet, ANN, last, go_on=go_on, at_once=1)
    with fleet.reading() as work:
        assert sorted(line.state for line in due_page(work)) == ["in date"] * 2 + ["overdue"] * 4
        assert {line.state for line in lines_on(work, due_page(work), last)} == {"overdue"}
    assert bring_forward(fleet, ANN, last) == 1
    brought = kept(fleet)
    work_out_from_nothing(fleet, last, 3)
    assert brought == kept(fleet)


def test_no_day_foreseen_is_shown_in_the_past(fleet: Fleet) -> None:
    need = made(fleet, hundred_hour(made(fleet, airplane())))
    made(fleet, RecordCompliance(need, date(2026, 1, 4), Decimal("1500.0")))
    later = date(2028, 1, 1)
    bring_forward(fleet, ANN, later)
    with fleet.reading() as work:
        [line] = due_page(work)
    assert (line.early_on, line.forecast_on, line.late_on, line.comes_first_on) == (later,) * 4
    bring_forward(fleet, ANN, TODAY)
    with fleet.reading() as work:
        [line] = due_page(work)
    assert line.early_on is not None
    assert line.late_on is not None
    assert line.early_on < line.late_on < later
