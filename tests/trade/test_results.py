"""Reading a measurement as it is typed."""

from __future__ import annotations

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from annual_planner.trade.refused import Refused
from annual_planner.trade.results import limits_said, measurement_titles, read_result

LOW, HIGH = Decimal(60), Decimal(80)


@pytest.mark.parametrize("typed", ["72", "72 psi", "72psi", "72 PSI", "  72.0  "])
def test_a_number_is_read_with_or_without_the_card_s_unit(typed: str) -> None:
    read = read_result(typed, "psi", LOW, HIGH).value
    assert (read.value, read.unit, read.within) == (Decimal(72), "psi", True)


@pytest.mark.parametrize(("typed", "within"), [("60", True), ("80", True), ("59.9", False), ("80.1", False)])
def test_a_limit_itself_is_within(typed: str, within: bool) -> None:
    assert read_result(typed, "psi", LOW, HIGH).value.within is within


def test_units_that_convert_exactly_are_converted_and_others_refused() -> None:
    assert read_result("0,4064 mm", "in").value.value == Decimal("0.016")
    assert read_result("10 ft-lb", "in-lb").value.value == Decimal(120)
    for typed, unit in (("72 bar", "psi"), ("", "psi"), ("9" * 12, "rpm"), ("x" * 300, "")):
        with pytest.raises(Refused):
            read_result(typed, unit)


def test_words_are_kept_and_never_within_or_out() -> None:
    assert (read_result("Y", "").value.text, read_result("fail", "").value.text) == ("yes", "no")
    assert read_result("could not reach it", "psi", LOW, HIGH).value.within is None


def test_limits_and_titles_are_said_plainly() -> None:
    assert limits_said(LOW, HIGH, "psi") == "60 to 80 psi"
    assert limits_said(None, HIGH, "psi") == "at most 80 psi"
    assert limits_said(None, None, "psi") == ""
    assert measurement_titles("Gap", "plug", 2) == ("Gap, plug 1", "Gap, plug 2")


@given(value=st.decimals("-1000000", "1000000", places=3))
def test_what_was_written_is_what_is_read(value: Decimal) -> None:
    assert read_result(f"{value} in", "in").value.value == value


@given(typed=st.text(max_size=60))
def test_anything_typed_is_read_or_refused(typed: str) -> None:
    try:
        read = read_result(typed, "psi", LOW, HIGH).value
    except Refused:
        return
    assert read.within is None or (LOW <= (read.value or Decimal(0)) <= HIGH) is read.within
