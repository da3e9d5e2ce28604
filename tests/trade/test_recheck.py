from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from annual_planner.library.compression import load_compression
from annual_planner.trade.recheck import Advice, RecheckDone, Urgency, leak_paths_heard, recheck
from annual_planner.trade.refused import Refused
from annual_planner.trade.working import as_lines

FACTS = load_compression()
LADDER = FACTS.ladder
LOW = 45.0


def done(*keys: str, psi: float = LOW) -> list[RecheckDone]:
    return [RecheckDone(key, psi) for key in keys]


def test_a_low_reading_opens_the_ladder_with_another_run() -> None:
    state = recheck(LOW, 60, [], LADDER).value
    assert state.advice is Advice.GO_ON
    assert state.next_step is not None
    assert state.next_step.key == "run_again"
    assert "engine_running" in state.next_step.cautions


@given(st.sets(st.sampled_from([step.key for step in LADDER])))
def test_no_cylinder_is_condemned_while_a_needed_step_is_open(keys: set[str]) -> None:
    state = recheck(LOW, 60, done(*sorted(keys)), LADDER).value
    needed_open = any(step.needed and step.key not in keys for step in LADDER)
    assert (state.advice is Advice.GO_ON) == needed_open
    assert (state.next_step is None) == (state.advice is not Advice.GO_ON)


@given(st.floats(60, 80))
def test_a_reading_that_comes_back_ends_the_ladder(psi: float) -> None:
    answer = recheck(LOW, 60, [RecheckDone("run_again", psi)], LADDER)
    assert answer.value.advice is Advice.CAME_BACK
    assert answer.value.reading_psi == psi


def test_damage_outweighs_a_reading_that_came_back() -> None:
    seen = [RecheckDone("run_again", 74), RecheckDone("borescope", damage="exhaust valve burnt at one side")]
    answer = recheck(36, 60, seen, LADDER)
    assert answer.value.advice is Advice.TAKE_OFF
    assert "exhaust valve burnt" in "\n".join(as_lines(answer.working))


def test_a_step_left_out_needs_its_reason_and_keeps_it_in_the_working() -> None:
    with pytest.raises(Refused, match="has no reading after it"):
        recheck(LOW, 60, [RecheckDone("stake")], LADDER)
    answer = recheck(LOW, 60, [RecheckDone("stake", left_out="the maker forbids it")], LADDER)
    assert "left out: the maker forbids it" in "\n".join(as_lines(answer.working))


def test_unknown_and_repeated_steps_are_named_at_once() -> None:
    with pytest.raises(Refused) as refused:
        recheck(LOW, 60, [RecheckDone("kick", 50), *done("oil", "oil")], LADDER)
    assert "'kick' is no step" in refused.value.said
    assert "is there twice" in refused.value.said


def test_the_worst_path_heard_comes_first() -> None:
    paths = leak_paths_heard(["breather", "intake", "exhaust", "breather"], FACTS.paths).value
    assert [path.key for path in paths] == ["exhaust", "intake", "breather"]
    assert paths[0].urgency is Urgency.FIRST


def test_hearing_nothing_is_an_answer_and_an_unknown_place_is_not() -> None:
    assert leak_paths_heard([], FACTS.paths).working.result == "nothing was heard"
    with pytest.raises(Refused, match="Choose among"):
        leak_paths_heard(["cabin"], FACTS.paths)
