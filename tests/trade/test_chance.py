from collections import Counter
from itertools import permutations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from annual_planner.trade.chance import kendall, one_way_chance, student_t

few = st.lists(st.integers(0, 5), min_size=2, max_size=6)


def counted_one_by_one(values: tuple[int, ...]) -> int:
    return sum((b > a) - (b < a) for place, a in enumerate(values) for b in values[place + 1 :])


@given(few)
def test_the_chance_is_what_going_through_every_order_counts(values: list[int]) -> None:
    found = kendall(values)
    counts = Counter(abs(counted_one_by_one(order)) for order in permutations(values))
    extreme = sum(orders for steps, orders in counts.items() if steps >= abs(found.steps))
    assert found.chance == pytest.approx(extreme / counts.total(), rel=1e-12)


@given(st.lists(st.integers(-50, 50), min_size=2, max_size=12))
def test_turning_the_values_over_or_round_turns_the_sign_and_keeps_the_chance(values: list[int]) -> None:
    straight, over, back = kendall(values), kendall([-v for v in values]), kendall(values[::-1])
    assert straight.steps == -over.steps == -back.steps
    assert straight.chance == over.chance == back.chance


@given(st.lists(st.integers(-50, 50), min_size=2, max_size=12), st.floats(0.1, 100))
def test_only_the_order_counts_and_not_the_unit(values: list[int], scale: float) -> None:
    assert kendall([v * scale for v in values]) == kendall(values)


def test_readings_all_alike_show_nothing() -> None:
    assert kendall([72, 72, 72, 72]).chance == 1
    with pytest.raises(ValueError, match="at least 2"):
        kendall([72])


@pytest.mark.parametrize("count", range(2, 12))
def test_all_one_way_has_its_known_chance(count: int) -> None:
    assert kendall(list(range(count))).chance == pytest.approx(one_way_chance(count), rel=1e-12)


@given(st.floats(0.05, 0.99), st.integers(1, 40))
def test_t_falls_with_more_readings_and_rises_with_confidence(confidence: float, freedom: int) -> None:
    assert student_t(confidence, freedom) > student_t(confidence, freedom + 1)
    assert student_t(confidence + 0.005, freedom) > student_t(confidence, freedom)


def test_t_of_many_readings_is_that_of_the_normal_curve() -> None:
    assert student_t(0.95, 5000) == pytest.approx(1.96, abs=1e-3)


@pytest.mark.parametrize(("confidence", "freedom"), [(0, 3), (1, 3), (0.9, 0)])
def test_t_without_a_meaning_is_a_fault_of_the_program(confidence: float, freedom: int) -> None:
    with pytest.raises(ValueError, match="no t"):
        student_t(confidence, freedom)
