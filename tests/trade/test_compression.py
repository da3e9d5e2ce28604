from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from annual_planner.trade.compression import (
    Conditions,
    JudgingRule,
    Spread,
    SpreadRule,
    Verdict,
    judged_cylinder,
    judged_direct,
    judged_test,
    lowest_good_psi,
    master_index,
    normalized_psi,
)
from annual_planner.trade.refused import Refused
from annual_planner.trade.restrictor import restrictor_for
from annual_planner.trade.working import as_lines

QUARTER = JudgingRule("q", "a quarter at most", "a rule", max_loss_fraction=0.25)
MASTER = JudgingRule("m", "not under the master", "a maker", master_floor=True)
WATCHED = JudgingRule("s", "spread", "a maker", 0.25, False, 65.0, SpreadRule(5, 10, 15))
readings = st.floats(15, 79.9)


@given(st.floats(25, 74.9), st.floats(75, 85), st.floats(10, 15))
def test_while_the_leak_is_choked_normalizing_keeps_the_share_of_absolute_pressure(
    reading: float, regulated: float, air: float
) -> None:
    value = normalized_psi(reading, regulated, air).value
    assert (value + 14.695949) / 94.695949 == pytest.approx((reading + air) / (regulated + air), rel=1e-6)


@given(st.floats(25, 75), st.floats(75, 85))
def test_the_limit_is_held_against_the_reading_as_taken(reading: float, regulated: float) -> None:
    judged = judged_cylinder(1, reading, Conditions(regulated_psi=regulated), QUARTER).value
    lost = (regulated - reading) / regulated
    if abs(lost - 0.25) > 1e-6:
        assert (judged.verdict is Verdict.SUSPECT) == (lost > 0.25)


@given(readings, readings, st.floats(10, 15))
def test_an_index_of_one_is_the_master_and_a_better_reading_is_less(
    one: float, other: float, air: float
) -> None:
    made = Conditions(ambient_psi_a=air)
    assert master_index(one, one, made).value == 1
    if one > other + 1e-6:
        assert master_index(one, other, made).value < 1 < master_index(other, one, made).value


@given(st.dictionaries(st.integers(1, 9), st.integers(40, 80).map(float), min_size=1))
def test_a_whole_test_names_its_weakest_and_its_spread(psi: dict[int, float]) -> None:
    judged = judged_test(psi, Conditions(), WATCHED).value
    assert judged.spread_psi == max(psi.values()) - min(psi.values())
    assert set(judged.weakest) == {number for number in psi if psi[number] == min(psi.values())}
    assert [each.cylinder for each in judged.cylinders] == sorted(psi)


@pytest.mark.parametrize(
    ("spread", "said"),
    [(0, Spread.NORMAL), (5, Spread.NORMAL), (7, Spread.WIDER), (10, Spread.SOONER), (15, Spread.SOONER),
     (15.5, Spread.INVESTIGATE)],
)  # fmt: skip
def test_the_spread_is_said_in_words(spread: float, said: Spread) -> None:
    assert judged_test({1: 79, 2: 79 - spread}, Conditions(), WATCHED).value.spread is said


def test_exactly_a_quarter_lost_is_good_at_any_regulated_pressure() -> None:
    for regulated in (80, 79, 78.4, 77.7, 75.1):
        judged = judged_cylinder(1, regulated * 0.75, Conditions(regulated_psi=regulated), QUARTER).value
        assert judged.verdict is Verdict.WITHIN


def test_a_reading_under_the_watch_figure_is_within_limits_and_watched() -> None:
    judged = judged_cylinder(3, 64, Conditions(), WATCHED).value
    assert judged.verdict is Verdict.WATCH
    assert judged_cylinder(3, 59, Conditions(), WATCHED).value.verdict is Verdict.SUSPECT
    assert judged_cylinder(3, 65, Conditions(), WATCHED).value.verdict is Verdict.WITHIN


def test_an_engine_judged_by_the_master_needs_its_reading() -> None:
    with pytest.raises(Refused, match="it was not read"):
        judged_cylinder(1, 50, Conditions(), MASTER)
    fifty = judged_cylinder(1, 50, Conditions(master_psi=43), MASTER)
    assert fifty.value.verdict is Verdict.WITHIN
    assert fifty.value.index is not None
    assert fifty.value.index < 1
    with pytest.raises(Refused, match="shows no leak"):
        judged_cylinder(1, 50, Conditions(master_psi=80), MASTER)


def test_the_working_tells_the_reading_as_taken_from_the_computed_one() -> None:
    made = Conditions(regulated_psi=78, ambient_psi_a=12.228)
    lines = "\n".join(as_lines(judged_cylinder(4, 60, made, QUARTER).working))
    for words in (
        "60/78: within limits",
        "as taken",
        "(computed)",
        "can't be compared",
        "written for 80 psi",
    ):
        assert words in lines


def test_a_test_without_readings_is_refused() -> None:
    with pytest.raises(Refused, match="no readings"):
        judged_test({}, Conditions(), QUARTER)
    with pytest.raises(Refused, match="four turns"):
        judged_direct([])


def test_the_makers_restrictor_goes_before_the_bore() -> None:
    answer = restrictor_for(5.25, makers_in=0.040)
    assert answer.value == 0.040
    assert "maker" in answer.working.rules[0].citation
    with pytest.raises(Refused, match="not possible"):
        restrictor_for(0)


@given(st.lists(st.floats(50, 150), min_size=1, max_size=9), st.floats(0.1, 10))
def test_a_direct_test_flags_the_same_cylinders_in_any_unit(psi: list[float], scale: float) -> None:
    limit = 0.8 * sum(psi) / len(psi)
    if all(abs(each - limit) > 1e-6 for each in psi):
        assert judged_direct([each * scale for each in psi]).value.flagged == judged_direct(psi).value.flagged


@given(st.floats(70, 85), st.floats(30, 64), st.sampled_from([QUARTER, MASTER, WATCHED]))
def test_the_lowest_good_reading_is_where_the_verdict_turns(
    regulated: float, master: float, rule: JudgingRule
) -> None:
    made = Conditions(regulated_psi=regulated, master_psi=master)
    lowest = lowest_good_psi(made, rule).value
    assert judged_cylinder(1, lowest, made, rule).value.verdict is not Verdict.SUSPECT
    assert judged_cylinder(1, lowest - 0.001, made, rule).value.verdict is Verdict.SUSPECT


def test_a_rule_without_a_limit_has_no_lowest_reading() -> None:
    with pytest.raises(Refused, match="no lowest reading"):
        lowest_good_psi(Conditions(), JudgingRule("n", "nothing", "nobody"))
    with pytest.raises(Refused, match="it was not read"):
        lowest_good_psi(Conditions(), MASTER)


@pytest.mark.parametrize("rule", [QUARTER, MASTER, WATCHED])
def test_a_cylinder_that_holds_nothing_is_judged_and_leaves_the_others_judged(rule: JudgingRule) -> None:
    made = Conditions(master_psi=43)
    dead = judged_cylinder(2, 0, made, rule)
    assert (dead.value.verdict, dead.value.loss_fraction) == (Verdict.SUSPECT, 1.0)
    assert (dead.value.leak_ratio, dead.value.index) == (None, None)
    assert "sticks open" in "\n".join(as_lines(dead.working))
    test = judged_test({1: 75.0, 2: 0.0, 3: 74.0}, made, rule).value
    assert [each.verdict is Verdict.SUSPECT for each in test.cylinders] == [False, True, False]
