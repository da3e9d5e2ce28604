"""Wire gauges and electrode wear against figures published elsewhere.

Wires of 0.018 and 0.022 in for 14 mm plugs: common practice, no source. Greatest gap on the bench tester and
the half-size limit: US Army TM 9-4910-422-12 sections VII and I. The inch is exact by definition; pint
agrees.
"""

from __future__ import annotations

import tomllib
from decimal import Decimal
from pathlib import Path
from typing import Any

import pint
import pytest

from annual_planner.library.conditions import load_conditions
from annual_planner.library.engines import load_engines
from annual_planner.trade.gaps import (
    BENCH_LIMIT_IN,
    MM_PER_IN,
    GapIs,
    by_wires,
    gap_checked,
    gap_mm,
    gauged,
    wire_enters,
)
from annual_planner.trade.plug_check import PlugSeen, decided
from annual_planner.trade.plugs import Condition, Electrode, Thread, Verdict
from tests.engine_types import plug_type

Facts = dict[str, Any]
TEXT = (Path(__file__).parent / "torque_and_gap_cases.toml").read_text(encoding="utf-8")
CASES = tomllib.loads(TEXT)
SHIPPED = load_engines().plug_types


def name_of(case: Facts) -> str:
    return " ".join(str(each) for each in case.values() if isinstance(each, float))


@pytest.mark.parametrize("case", tomllib.loads(TEXT, parse_float=Decimal)["gap_conversion"])
def test_a_gap_in_millimetres_is_exact(case: Facts) -> None:
    assert gap_mm(case["inch"]) == case["mm"]
    assert pint.Quantity(float(case["inch"]), "inch").to("mm").magnitude == pytest.approx(float(case["mm"]))


def test_an_inch_has_its_exact_size() -> None:
    assert float(MM_PER_IN) == CASES["units"]["inch_in_mm"]


@pytest.mark.parametrize("case", CASES["gap_gauge"], ids=name_of)
def test_wires_judge_a_gap_as_the_case_says(case: Facts) -> None:
    go, no_go = case["go_in"], case["no_go_in"]
    plug = plug_type(gap_low_in=go, gap_high_in=no_go)
    assert wire_enters(case["gap_in"], go) is case["go_enters"]
    assert wire_enters(case["gap_in"], no_go) is case["no_go_enters"]
    expected = GapIs[case["result"].upper()]
    assert by_wires(go_enters=case["go_enters"], no_go_enters=case["no_go_enters"]) is expected
    assert gauged(case["gap_in"], plug) is expected
    assert gap_checked([case["gap_in"]], plug).value.by_gauge is expected


@pytest.mark.parametrize("case", CASES["centre_electrode_oval"], ids=name_of)
def test_an_oval_electrode_is_kept_or_rejected_as_the_case_says(case: Facts) -> None:
    axes = (case["short_axis_in"], case["long_axis_in"])
    assert axes[0] / axes[1] == pytest.approx(case["ratio"])
    seen = PlugSeen((Condition.WORN,), oval_in=axes)
    verdict = decided(seen, plug_type(), says=load_conditions()).value.verdict
    assert (verdict is Verdict.REPLACE) is (case["result"] == "reject")


def test_the_bench_tester_takes_no_wider_gap_than_published() -> None:
    assert CASES["plug_gap"]["bench_test_max_in"] == BENCH_LIMIT_IN


def test_shipped_gaps_are_the_usual_ones() -> None:
    told = CASES["plug_gap"]
    small = [(each.gap_low_in, each.gap_high_in) for each in SHIPPED if each.thread is Thread.MM14]
    assert small == [tuple(told["mm14_practice_in"])]
    massive = {
        (each.gap_low_in, each.gap_high_in)
        for each in SHIPPED
        if each.thread is Thread.MM18 and each.electrode is Electrode.MASSIVE
    }
    assert tuple(told["massive_18mm_practice_in"]) in massive
