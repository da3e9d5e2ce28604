"""What becomes of a plug: the gravest reason decides, and a dropped one is never fitted again."""

from __future__ import annotations

import math
from functools import partial

import pytest
from hypothesis import given
from hypothesis import strategies as st

from annual_planner.library.conditions import load_conditions
from annual_planner.trade.gaps import WIDEST_MEASURED_IN
from annual_planner.trade.plug_check import OPEN_OHM, PlugSeen, overruled
from annual_planner.trade.plug_check import decided as decided_by
from annual_planner.trade.plugs import Condition, Damage, Electrode, Verdict
from annual_planner.trade.refused import Refused
from annual_planner.trade.working import as_lines
from tests.engine_types import plug_type

CONDITIONS = load_conditions()
decided = partial(decided_by, says=CONDITIONS)
PLUG = plug_type()
CLEANABLE = [each for each in Condition if CONDITIONS[each].verdict is Verdict.CLEAN]


def verdict(seen: PlugSeen, **changes: object) -> Verdict:
    return decided(seen, plug_type(**changes)).value.verdict


def test_every_condition_says_looks_causes_and_where_to_look_next() -> None:
    assert set(CONDITIONS) == set(Condition)
    for says in CONDITIONS.values():
        assert says.looks_like
        assert says.causes
        assert says.look_next
        assert says.source


def test_every_condition_that_scraps_a_plug_is_written_up_on_the_cylinder() -> None:
    for says in CONDITIONS.values():
        assert bool(says.discrepancy) is (says.verdict is Verdict.REPLACE)


@pytest.mark.parametrize("condition", [Condition.METAL_SPRAYED, Condition.FUSED])
def test_a_sprayed_or_fused_plug_raises_a_discrepancy_on_the_cylinder(condition: Condition) -> None:
    decision = decided(PlugSeen((condition,)), PLUG).value
    assert decision.verdict is Verdict.REPLACE
    assert "inspect cylinder" in decision.discrepancies[0]


def test_a_normal_plug_is_cleaned_and_nothing_written_up() -> None:
    worked = decided(PlugSeen(gaps_in=(0.018,), electrode_in=0.09, resistance_ohm=1500), PLUG)
    assert worked.value.verdict is Verdict.CLEAN
    assert worked.value.discrepancies == ()


@given(
    conditions=st.lists(st.sampled_from(Condition), min_size=1, max_size=3, unique=True).filter(
        lambda each: Condition.NORMAL not in each or len(each) == 1
    ),
    gap_in=st.floats(0, WIDEST_MEASURED_IN),
    size_in=st.floats(0, 0.1),
)
def test_a_dropped_plug_is_rejected_whatever_else_and_nobody_overrules_it(
    conditions: list[Condition], gap_in: float, size_in: float
) -> None:
    seen = PlugSeen(tuple(conditions), dropped=True, gaps_in=(gap_in,), electrode_in=size_in)
    decision = decided(seen, PLUG).value
    assert decision.verdict is Verdict.REPLACE
    with pytest.raises(Refused, match="dropped"):
        overruled(decision, Verdict.CLEAN, "looks fine to me")


def test_another_verdict_needs_a_reason_and_keeps_it() -> None:
    decision = decided(PlugSeen(resistance_ohm=6000), PLUG).value
    with pytest.raises(Refused, match="needs a reason"):
        overruled(decision, Verdict.CLEAN, "  ")
    other = overruled(decision, Verdict.CLEAN, " new meter says 1.4 kΩ ")
    assert (other.verdict, other.overruled_because) == (Verdict.CLEAN, "new meter says 1.4 kΩ")
    assert other.reasons == decision.reasons


@pytest.mark.parametrize(
    ("size_in", "expected"),
    [
        (0.1, Verdict.CLEAN),
        (0.061, Verdict.CLEAN),
        (0.055, Verdict.REPLACE_SOON),
        (0.0501, Verdict.REPLACE_SOON),
        (0.05, Verdict.REPLACE),
        (0.02, Verdict.REPLACE),
    ],
)
def test_an_electrode_at_half_of_its_new_size_is_rejected(size_in: float, expected: Verdict) -> None:
    assert verdict(PlugSeen((Condition.WORN,), electrode_in=size_in)) is expected


def test_a_plug_worn_by_eye_and_not_measured_is_replaced_soon() -> None:
    assert verdict(PlugSeen((Condition.WORN,))) is Verdict.REPLACE_SOON


@pytest.mark.parametrize("damage", Damage)
def test_damage_rejects_at_first_sight(damage: Damage) -> None:
    assert verdict(PlugSeen(damage=(damage,))) is Verdict.REPLACE


@pytest.mark.parametrize(
    ("ohm", "limit", "expected"),
    [
        (1500, None, Verdict.CLEAN),
        (5000, None, Verdict.REPLACE_SOON),
        (4999, 5000.0, Verdict.CLEAN),
        (5000, 5000.0, Verdict.REPLACE),
        (3000, 2500.0, Verdict.REPLACE),
        (OPEN_OHM, None, Verdict.REPLACE),
        (math.inf, None, Verdict.REPLACE),
    ],
)
def test_resistance_is_advice_unless_the_maker_limits_it_or_it_is_open(
    ohm: float, limit: float | None, expected: Verdict
) -> None:
    assert verdict(PlugSeen(resistance_ohm=ohm), resistance_limit_ohm=limit) is expected


def test_the_shop_may_have_its_own_figure_for_resistance() -> None:
    assert decided(PlugSeen(resistance_ohm=3000), PLUG, 2000).value.verdict is Verdict.REPLACE_SOON


def test_a_gap_to_close_is_no_reason_to_replace_and_one_too_small_is() -> None:
    assert verdict(PlugSeen(gaps_in=(0.03,))) is Verdict.CLEAN
    assert verdict(PlugSeen(gaps_in=(0.01,))) is Verdict.REPLACE


def test_a_plug_without_a_steady_spark_under_pressure_is_replaced() -> None:
    assert verdict(PlugSeen(sparks_under_pressure=False)) is Verdict.REPLACE
    assert verdict(PlugSeen(sparks_under_pressure=True)) is Verdict.CLEAN


@given(st.sampled_from(CLEANABLE), st.floats(0, 0.1), st.floats(0, 0.1))
def test_a_thinner_electrode_never_gets_a_milder_verdict(
    condition: Condition, one_in: float, other_in: float
) -> None:
    grave = [Verdict.CLEAN, Verdict.REPLACE_SOON, Verdict.REPLACE]
    thin, thick = sorted((one_in, other_in))
    milder = grave.index(verdict(PlugSeen((condition,), electrode_in=thick)))
    assert grave.index(verdict(PlugSeen((condition,), electrode_in=thin))) >= milder


@pytest.mark.parametrize(
    ("seen", "said"),
    [
        (PlugSeen(()), "looks like"),
        (PlugSeen((Condition.NORMAL, Condition.FUSED)), "normal and fused"),
        (PlugSeen(electrode_in=0.2), "0.2 in"),
        (PlugSeen(electrode_in=-1), "-1 in"),
        (PlugSeen(oval_in=(0.1, 0.05)), "oval of 0.1 by 0.05"),
        (PlugSeen(resistance_ohm=-1), "-1 Ω"),
        (PlugSeen(resistance_ohm=math.nan), "nan Ω"),
        (PlugSeen(gaps_in=(0.5,)), "gap of 0.5"),
    ],
)
def test_what_cannot_be_is_refused(seen: PlugSeen, said: str) -> None:
    with pytest.raises(Refused, match=said):
        decided(seen, PLUG)


def test_the_oval_limit_is_not_used_on_a_fine_wire() -> None:
    with pytest.raises(Refused, match="massive"):
        decided(PlugSeen(oval_in=(0.01, 0.02)), plug_type(electrode=Electrode.FINE_WIRE))


def test_the_working_gives_each_reason_its_verdict_and_rule_and_names_what_is_missing() -> None:
    worked = decided(PlugSeen((Condition.OIL_FOULED,), gaps_in=(0.03,), dropped=True), PLUG)
    lines = "\n".join(as_lines(worked.working))
    assert "replace: dropped" in lines
    assert "oil fouled (wet and black) → clean" in lines
    assert "rule: an engine maintenance manual: a plug that was dropped" in lines
    assert "Not measured: resistance." in lines
    assert "Gap, Alder: too large: close" in lines
