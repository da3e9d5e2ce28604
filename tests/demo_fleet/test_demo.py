"""The demo fleet: whole, repeatable, invented."""

from __future__ import annotations

import os
import re
import subprocess
import sys
from contextlib import closing
from dataclasses import asdict
from datetime import date, timedelta
from pathlib import Path

import pytest

from annual_planner.library.shelf import load_library
from annual_planner.store.fleet_reads import due_page, fleet_ids, fleet_lines, readings
from annual_planner.store.opening import open_fleet
from annual_planner.store.rows import DueLine, FleetLine
from annual_planner.trade.discrepancy_life import (
    DECIDED,
    DEFER,
    DISPOSITIONS,
    WAITS,
    Life,
    LifeStep,
    after,
    decision_fault,
    may_follow,
)
from annual_planner.trade.refused import Refused
from demo_fleet.loader import DEMO_AIRPLANE, DEMO_TODAY, build_demo, demo_rows
from demo_fleet.written import read_demo

ROOT = Path(__file__).parents[2]


@pytest.fixture(scope="module")
def demo_path(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("demo") / "demo.fleet"
    build_demo(path)
    return path


def _lines(path: Path) -> list[FleetLine]:
    with closing(open_fleet(path, read_only=True)) as fleet, fleet.reading() as work:
        return fleet_lines(work, fleet_ids(work))


def _dues(path: Path) -> list[DueLine]:
    with closing(open_fleet(path, read_only=True)) as fleet, fleet.reading() as work:
        return due_page(work, limit=10_000)


def test_a_dozen_airplanes_stand_in_the_fleet_list(demo_path: Path) -> None:
    assert len(_lines(demo_path)) == 12


def test_no_registration_could_be_a_real_one(demo_path: Path) -> None:
    assert all(re.fullmatch(r"N0\w{4}", line.registration) for line in _lines(demo_path))


def test_the_guided_airplane_has_its_annual_due_within_two_months(demo_path: Path) -> None:
    [guided] = [line for line in _lines(demo_path) if line.registration == DEMO_AIRPLANE]
    assert guided.annual_due_on is not None
    assert DEMO_TODAY <= guided.annual_due_on <= DEMO_TODAY + timedelta(days=62)


def test_one_airplane_is_out_of_annual(demo_path: Path) -> None:
    late = [line.registration for line in _lines(demo_path) if line.state == "overdue"]
    assert late == ["N051QF"]


def test_everything_in_the_due_list_has_been_done_once_or_bears_a_date(demo_path: Path) -> None:
    assert [line.title for line in _dues(demo_path) if line.state == "no record"] == []


def test_three_airplanes_have_six_years_of_readings(demo_path: Path) -> None:
    with closing(open_fleet(demo_path, read_only=True)) as fleet, fleet.reading() as work:
        counts = [len(readings(work, each)) for each in fleet_ids(work)]
    assert sum(count >= 72 for count in counts) == 3


def test_the_same_day_gives_the_same_rows() -> None:
    assert demo_rows(read_demo(), DEMO_TODAY) == demo_rows(read_demo(), DEMO_TODAY)


def test_the_same_day_gives_the_same_bytes_whatever_order_sets_have(tmp_path: Path) -> None:
    files = [tmp_path / f"{seed}.fleet" for seed in ("0", "7")]
    for file in files:
        words = f"from demo_fleet.loader import build_demo; build_demo({str(file)!r})"
        environment = os.environ | {"PYTHONHASHSEED": file.stem}
        subprocess.run([sys.executable, "-c", words], cwd=ROOT, env=environment, check=True, timeout=120)
    assert files[0].read_bytes() == files[1].read_bytes()


def test_the_demo_moves_with_its_today(tmp_path: Path) -> None:
    later = date(2027, 5, 4)
    build_demo(tmp_path / "later.fleet", today=later)
    [guided] = [line for line in _lines(tmp_path / "later.fleet") if line.registration == DEMO_AIRPLANE]
    assert guided.annual_due_on is not None
    assert guided.annual_due_on > later


def test_features_and_zones_are_known_to_the_library() -> None:
    library, demo = load_library(), read_demo()
    features = {feature.key for feature in library.features}
    zones = {zone.key for zone in library.zones}
    assert all(features.issuperset(kind.features) for kind in demo.types.values())
    assert all(defect.zone in zones for defect in demo.discrepancies)


def test_an_existing_file_is_left_alone(tmp_path: Path) -> None:
    target = tmp_path / "mine.fleet"
    target.write_text("mine")
    with pytest.raises(Refused, match="exists already"):
        build_demo(target)
    assert target.read_text() == "mine"


def test_every_step_of_a_discrepancy_may_follow_the_one_before() -> None:
    rows = demo_rows(read_demo(), DEMO_TODAY)
    for row in rows["discrepancy"]:
        life, last = Life(), row["found_on"]
        for step in [each for each in rows["discrepancy_step"] if each["discrepancy_id"] == row["id"]][1:]:
            assert may_follow(life, step["step"]) == "", row["text"]
            if step["step"] == DECIDED:
                may = True if step["facts"]["disposition"] == DEFER else None
                assert decision_fault(life, step["facts"]["disposition"], deferral_says_may=may) == ""
            assert last <= step["on"] <= DEMO_TODAY, row["text"]
            life, last = after(life, LifeStep(step["step"], step["on"], step["facts"])), step["on"]
        assert {name: row[name] for name in asdict(life)} == asdict(life)


def test_discrepancies_show_every_state_and_what_is_waited_for() -> None:
    rows = demo_rows(read_demo(), DEMO_TODAY)["discrepancy"]
    still_open = [row for row in rows if row["closed_on"] is None]
    assert {row["state"] for row in still_open} == {"found", "judged", "decided", "in work"}
    assert {row["disposition"] for row in still_open} >= set(DISPOSITIONS)
    assert {row["waits_for"] for row in still_open} >= set(WAITS)
    assert len(rows) - len(still_open) >= 20
