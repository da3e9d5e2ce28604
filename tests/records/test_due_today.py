"""Days pass without any record being changed; the due state follows them all the same."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest

from annual_planner.records.due_today import bring_forward, lines_on
from annual_planner.store.fleet_reads import due_page
from annual_planner.store.opening import open_fleet
from annual_planner.store.rows import DueLine
from annual_planner.store.session import Fleet
from demo_fleet.loader import DEMO_TODAY

LATER = date(2026, 7, 1)
"""The day after the annual of N012MH has run out."""


@pytest.fixture
def demo(own_sample: Path) -> Fleet:
    return open_fleet(own_sample)


def kept(fleet: Fleet) -> list[DueLine]:
    with fleet.reading() as work:
        return due_page(work, limit=100_000)


def annual_of(lines: list[DueLine], registration: str) -> DueLine:
    [found] = [each for each in lines if each.registration == registration and each.key == "annual"]
    return found


def test_an_annual_that_ran_out_overnight_is_overdue_without_any_edit(demo: Fleet) -> None:
    assert annual_of(kept(demo), "N012MH").state == "due soon"
    with demo.reading() as work:
        then = lines_on(work, due_page(work, limit=100_000), LATER)
    assert annual_of(then, "N012MH").state == "overdue"
    assert annual_of(kept(demo), "N012MH").state == "due soon"
    demo.close()


def test_bringing_forward_keeps_what_looking_on_that_day_shows(demo: Fleet) -> None:
    with demo.reading() as work:
        looked_at = lines_on(work, due_page(work, limit=100_000), LATER)
    assert bring_forward(demo, "Ann", LATER) == len({each.aircraft_id for each in looked_at})
    assert kept(demo) == looked_at
    assert bring_forward(demo, "Ann", LATER) == 0
    demo.close()


def test_on_the_day_it_was_worked_out_nothing_changes(demo: Fleet) -> None:
    with demo.reading() as work:
        lines = due_page(work, limit=100_000)
        assert lines_on(work, lines, DEMO_TODAY) == lines
    assert bring_forward(demo, "Ann", DEMO_TODAY) == 0
    demo.close()
