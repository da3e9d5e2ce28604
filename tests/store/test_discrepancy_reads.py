"""The review of discrepancies: filters, order, groups, flow, promises, exports; by index on a full fleet."""

from __future__ import annotations

import csv
import io
from datetime import date, timedelta
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest

from annual_planner.__main__ import main
from annual_planner.exchange.review import review_csv, review_values, review_xlsx
from annual_planner.paper.review import review_pdf
from annual_planner.records.apply import apply
from annual_planner.records.discrepancy_found import Found
from annual_planner.records.discrepancy_life import WaitFor
from annual_planner.records.kept_views import ForgetView, KeepView
from annual_planner.store.bulk import insert_many
from annual_planner.store.discrepancy_reads import (
    GROUPS,
    REVIEW_ORDERS,
    ages,
    flow,
    group_lines,
    promises_blocked,
    review_ids,
    review_lines,
)
from annual_planner.store.kept_views import kept_views
from annual_planner.store.opening import open_fleet
from annual_planner.store.review_rows import Filter
from annual_planner.store.session import Fleet
from annual_planner.store.writing import change
from annual_planner.trade.refused import Refused
from tests.fleets import ANN, TODAY, airplane, made
from tests.statements import statements

FORMULA = '=HYPERLINK("x","y")'


@pytest.fixture
def shop(fleet: Fleet) -> Fleet:
    """Two airplanes with three open discrepancies and a closed one."""
    first, second = made(fleet, airplane()), made(fleet, airplane("N013AP", serial="18"))
    made(fleet, Found(first, date(2026, 1, 10), "engine", "Oil seep", hours_estimate=Decimal(2)))
    made(fleet, Found(second, date(2025, 3, 1), "tail", FORMULA, cost_estimate=Decimal("80.50")))
    made(fleet, Found(first, date(2026, 4, 20), "cockpit", "Door latch", hours_estimate=Decimal(1)))
    closed = made(fleet, Found(first, date(2026, 2, 1), "fuel", "Cap worn"))
    with fleet.work(ANN) as work:
        change(work, "discrepancy", closed, {}, {"closed_on": date(2026, 3, 2), "state": "signed"})
    apply(fleet, WaitFor(1, "parts", date(2026, 4, 1)), ANN, TODAY)
    return fleet


def test_the_oldest_comes_first_and_closed_ones_stay_out(shop: Fleet) -> None:
    with shop.reading() as work:
        assert review_ids(work, Filter()) == [2, 1, 3]
        assert review_ids(work, Filter(), descending=True) == [3, 1, 2]
        assert review_ids(work, Filter(open_only=False)) == [2, 1, 4, 3]
        assert review_ids(work, Filter(), group="registration") == [1, 3, 2]
        assert review_ids(work, Filter(waits_for="parts")) == [1]
        assert review_ids(work, Filter(waits_for="nobody")) == [2, 3]
        assert review_ids(work, Filter(airworthy="not judged", found_until=date(2026, 2, 1))) == [2, 1]
        assert review_ids(work, Filter(search="latch")) == [3]
        assert review_ids(work, Filter(aircraft_id=2, state="found")) == [2]
        assert [line.discrepancy_id for line in review_lines(work, [3, 1])] == [3, 1]
        (line,) = review_lines(work, [1])
    assert (line.text, line.waits_for, line.waits_since) == ("Oil seep", "parts", date(2026, 4, 1))
    assert line.age_days(TODAY) == 114


def test_every_order_and_group_is_answered_and_others_are_refused(shop: Fleet) -> None:
    with shop.reading() as work:
        for order in REVIEW_ORDERS:
            assert sorted(review_ids(work, Filter(), order=order)) == [1, 2, 3]
        for group in GROUPS:
            assert sum(line.count for line in group_lines(work, Filter(), group)) == 3
            assert sorted(review_ids(work, Filter(), group=group)) == [1, 2, 3]
        by_airplane = group_lines(work, Filter(), "registration")
        with pytest.raises(Refused, match="no order"):
            review_ids(work, Filter(), order="luck")
        with pytest.raises(Refused, match="no group"):
            group_lines(work, Filter(), "luck")
    assert [(g.value, g.count, g.hours, g.cost) for g in by_airplane] == [
        ("N012AP", 2, Decimal(3), Decimal(0)), ("N013AP", 1, Decimal(0), Decimal("80.50")),
    ]  # fmt: skip


def test_flow_and_ages_add_up_to_what_is_open(shop: Fleet) -> None:
    with shop.reading() as work:
        months = flow(work, date(2026, 1, 1), TODAY)
        bands = ages(work, TODAY)
    assert [(m.opened, m.closed, m.open_at_end) for m in months] == [
        (1, 0, 2), (1, 0, 3), (0, 1, 2), (1, 0, 3), (0, 0, 3),
    ]  # fmt: skip
    assert [band.count for band in bands] == [1, 0, 1, 1]


def test_a_promised_day_names_what_stands_in_its_way(shop: Fleet) -> None:
    package: dict[str, Any] = {
        "id": 1, "aircraft_id": 1, "number": "N012AP-2026-1", "title": "Annual", "start_on": TODAY,
        "horizon_on": date(2027, 6, 30), "state": "in work", "promised_on": date(2026, 5, 15),
    }  # fmt: skip
    with shop.work(ANN) as work:
        insert_many(work, "work_package", [package])
        for row_id in (1, 3):
            change(work, "discrepancy", row_id, {}, {"package_id": 1})
    with shop.reading() as work:
        (blocked,) = promises_blocked(work)
    assert (blocked.discrepancy_ids, blocked.waiting, blocked.hours) == ((1, 3), ("parts",), Decimal(3))


def test_views_are_kept_written_over_and_forgotten(shop: Fleet) -> None:
    view = made(shop, KeepView(ANN, "review", "Parts", {"waits_for": "parts"}))
    back = apply(shop, KeepView(ANN, "review", "Parts", {"waits_for": "owner"}), ANN, TODAY).back
    with shop.reading() as work:
        assert [each.settings for each in kept_views(work, ANN, "review")] == [{"waits_for": "owner"}]
    assert back is not None
    apply(shop, back, ANN, TODAY)
    apply(shop, ForgetView(view), ANN, TODAY)
    with shop.reading() as work:
        assert kept_views(work, ANN, "review") == ()


def test_exports_hold_numbers_as_numbers_and_no_formula(shop: Fleet) -> None:
    from openpyxl import load_workbook

    with shop.reading() as work:
        lines = review_lines(work, review_ids(work, Filter()))
    rows = list(csv.reader(io.StringIO(review_csv(lines, TODAY))))
    assert rows[1][4] == f"'{FORMULA}"
    sheet = load_workbook(io.BytesIO(review_xlsx(lines, TODAY))).active
    assert sheet is not None
    assert (sheet["E2"].value, sheet["E2"].data_type) == (FORMULA, "s")
    assert sheet["M2"].value == 80.5
    assert review_values(lines, TODAY)[0]["what"] == FORMULA


@pytest.mark.parametrize("size", ["letter", "a4"])
def test_the_paper_list_is_laid_across_and_always_the_same(shop: Fleet, size: str) -> None:
    with shop.reading() as work:
        lines = review_lines(work, review_ids(work, Filter()))
    first, second, empty = io.BytesIO(), io.BytesIO(), io.BytesIO()
    assert review_pdf(lines, first, today=TODAY, page_size=size) == 1
    review_pdf(lines, second, today=TODAY, page_size=size)
    assert first.getvalue() == second.getvalue()
    assert review_pdf([], empty, today=TODAY, page_size=size) == 1
    assert review_pdf(lines * 40, io.BytesIO(), today=TODAY, page_size=size) > 2


def test_the_command_lists_and_writes_without_writing_over(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    where = tmp_path / "a.fleet"
    with open_fleet(where, create=True) as fleet:
        plane = made(fleet, airplane())
        made(fleet, Found(plane, date(2026, 1, 10), "engine", "Oil seep"))
    words = ["review", "--fleet", str(where), "--today", "2026-05-04"]
    for form in ("table", "csv", "json"):
        assert main([*words, "--as", form]) == 0
        assert "Oil seep" in capsys.readouterr().out
    out = tmp_path / "list.xlsx"
    assert main([*words, "--as", "xlsx", "--out", str(out), "--pdf", str(tmp_path / "list.pdf")]) == 0
    assert out.read_bytes()[:2] == b"PK"
    assert (tmp_path / "list.pdf").read_bytes()[:4] == b"%PDF"
    assert main([*words, "--as", "csv", "--out", str(where)]) == 2
    assert main([*words, "--as", "xlsx"]) == 2


def test_the_list_of_a_full_fleet_goes_by_the_index(tmp_path: Path) -> None:
    with open_fleet(tmp_path / "a.fleet", create=True) as fleet:
        plane = made(fleet, airplane())
        rows: list[dict[str, Any]] = [
            {"id": n, "aircraft_id": plane, "found_on": TODAY - timedelta(days=n % 900), "zone": "engine",
             "text": f"thing {n}", "airworthy": None, "closed_on": TODAY if n % 5 else None}
            for n in range(1, 2001)
        ]  # fmt: skip
        with fleet.work(ANN) as work:
            insert_many(work, "discrepancy", rows)
        with statements(fleet) as sent, fleet.reading() as work:
            assert len(review_ids(work, Filter())) == 400
        asked = sent.selects
        assert len(asked) == 1
        with fleet.engine.connect() as connection:
            plan = [
                str(row[3])
                for row in connection.exec_driver_sql(f"EXPLAIN QUERY PLAN {asked[0][0]}", asked[0][1])
            ]
    assert any("ix_discrepancy_closed_found" in step for step in plan)
    assert not any("SCAN discrepancy" in step or "TEMP B-TREE" in step for step in plan)
