"""Published limits, restrictors and tests against what their sources say; each case names its source."""

from __future__ import annotations

from typing import Any

import pytest

from annual_planner.library.compression import load_compression
from annual_planner.trade import flow, restrictor
from annual_planner.trade.compression import Conditions, Verdict, judged_cylinder, judged_direct, master_index
from tests.outside.cylinder_cases import TABLES, named

LIMITS = TABLES["compression_limits"]
FACTS = load_compression()
Case = dict[str, Any]


def close(value: float, relative: float = 1e-4) -> Any:
    return pytest.approx(value, rel=relative, abs=1e-12)


def cases(table: str) -> Any:
    return pytest.mark.parametrize("case", TABLES[table], ids=named)


def test_the_shipped_figures_are_the_published_ones() -> None:
    by_leakage = FACTS.rule("by_leakage")
    assert by_leakage.max_loss_fraction == LIMITS["max_loss_fraction"]
    assert LIMITS["regulated_psi_g"] == flow.REGULATED_PSI
    assert 80 * (1 - LIMITS["max_loss_fraction"]) == LIMITS["remove_and_inspect_below_psi_g"]
    assert LIMITS["orifice_bore_split_in"] == restrictor.BORE_SPLIT_IN
    assert LIMITS["orifice_small_in"] == restrictor.SMALL_RESTRICTOR_IN
    assert LIMITS["orifice_large_in"] == restrictor.LARGE_RESTRICTOR_IN
    rerun = next(step for step in FACTS.ladder if step.key == "run_again")
    assert f"at least {LIMITS['rerun_minutes_before_recheck']} minutes" in rerun.text


@cases("orifice_choice")
def test_restrictor_by_bore(case: Case) -> None:
    assert restrictor.restrictor_for(case["bore_in"]).value == case["orifice_in"]


@cases("compression_threshold")
def test_loss_and_limit(case: Case) -> None:
    made = Conditions(regulated_psi=case["regulated_psi_g"])
    judged = judged_cylinder(1, case["reading_psi_g"], made, FACTS.rule("by_leakage")).value
    assert judged.loss_fraction == close(case["loss_fraction"])
    assert (judged.verdict is Verdict.SUSPECT) == (case["result"] == "suspect")


@cases("direct_compression")
def test_direct_test(case: Case) -> None:
    judged = judged_direct(case["readings_psi"]).value
    assert judged.mean_psi == close(case["mean_psi"])
    assert judged.limit_psi == close(case["limit_psi"])
    assert list(judged.flagged) == case["cylinders_flagged"]


@cases("master_orifice")
def test_index_to_the_master(case: Case) -> None:
    made = Conditions(master_psi=case["master_reading_psi_g"])
    assert flow.area_ratio(case["master_reading_psi_g"]) == close(case["master_ratio"])
    index = master_index(case["cylinder_reading_psi_g"], case["master_reading_psi_g"], made)
    assert index.value == close(case["index"])
    judged = judged_cylinder(1, case["cylinder_reading_psi_g"], made, FACTS.rule("by_master")).value
    assert (judged.verdict is Verdict.SUSPECT) == (case["result"] == "below_limit")
