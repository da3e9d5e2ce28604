from __future__ import annotations

from dataclasses import replace

import pytest

from annual_planner.library.engines import load_engines
from annual_planner.trade.compression import Conditions, Spread, Verdict, judged_cylinder, judged_test
from annual_planner.trade.engine_compression import judging_rule_of, restrictor_of
from annual_planner.trade.engines import (
    CompressionKind,
    CompressionRule,
    EngineType,
    RestrictorChoice,
    RestrictorRule,
)

ENGINES = load_engines().engines
ENGINE = ENGINES[0]


def judged_by(kind: CompressionKind, lowest: float | None = None, spread: float | None = None) -> EngineType:
    return replace(ENGINE, compression=CompressionRule(kind, "an invented maker", lowest, spread))


@pytest.mark.parametrize("engine", ENGINES, ids=lambda engine: engine.key)
def test_every_shipped_engine_type_can_be_tested_and_judged(engine: EngineType) -> None:
    made = Conditions(restrictor_in=restrictor_of(engine).value, master_psi=43)
    rule = judging_rule_of(engine)
    assert judged_cylinder(1, 78, made, rule).value.verdict is Verdict.WITHIN
    assert judged_cylinder(1, 30, made, rule).value.verdict is Verdict.SUSPECT
    assert rule.citation


def test_a_makers_restrictor_goes_before_the_bore() -> None:
    big = replace(ENGINE, bore_in=5.25)
    assert restrictor_of(replace(big, restrictor=RestrictorRule(RestrictorChoice.BY_BORE))).value == 0.060
    own = RestrictorRule(RestrictorChoice.FIXED, 0.040, "an invented maker")
    answer = restrictor_of(replace(big, restrictor=own))
    assert answer.value == 0.040
    assert answer.working.rules[0].citation == "an invented maker"


def test_the_makers_lowest_reading_is_itself_good() -> None:
    rule = judging_rule_of(judged_by(CompressionKind.LEAKAGE_LIMIT, lowest=62))
    assert judged_cylinder(1, 62, Conditions(), rule).value.verdict is Verdict.WITHIN
    assert judged_cylinder(1, 61.9, Conditions(), rule).value.verdict is Verdict.SUSPECT


def test_where_the_maker_gives_no_figure_a_quarter_may_be_lost() -> None:
    rule = judging_rule_of(judged_by(CompressionKind.LEAKAGE_LIMIT))
    assert rule.max_loss_fraction == 0.25


def test_an_engine_judged_by_the_master_has_no_other_limit() -> None:
    rule = judging_rule_of(judged_by(CompressionKind.MASTER_ORIFICE))
    made = Conditions(master_psi=43)
    assert judged_cylinder(1, 50, made, rule).value.verdict is Verdict.WITHIN
    assert judged_cylinder(1, 42, made, rule).value.verdict is Verdict.SUSPECT


@pytest.mark.parametrize(
    ("low", "said"), [(77, Spread.NORMAL), (62, Spread.NORMAL), (61, Spread.INVESTIGATE)]
)
def test_above_the_makers_spread_the_weakest_is_investigated(low: float, said: Spread) -> None:
    rule = judging_rule_of(judged_by(CompressionKind.SPREAD, 60, 15))
    assert judged_test({1: 77, 2: low}, Conditions(), rule).value.spread is said


def test_a_maker_without_a_spread_has_it_shown_and_not_judged() -> None:
    judged = judged_test(
        {1: 77, 2: 62}, Conditions(), judging_rule_of(judged_by(CompressionKind.LEAKAGE_LIMIT))
    )
    assert judged.value.spread is None
    assert judged.value.spread_psi == 15


def test_a_maker_may_ask_for_a_lowest_reading_beside_the_master() -> None:
    rule = judging_rule_of(judged_by(CompressionKind.MASTER_ORIFICE, lowest=60))
    made = Conditions(master_psi=43)
    assert judged_cylinder(1, 59, made, rule).value.verdict is Verdict.SUSPECT
    assert judged_cylinder(1, 60, made, rule).value.verdict is Verdict.WITHIN
