from __future__ import annotations

from datetime import date

from hypothesis import given
from hypothesis import strategies as st

from annual_planner.trade.registration import registration_expires


@given(st.dates(date(2000, 1, 1), date(2080, 12, 31)))
def test_a_registration_ends_in_its_month_seven_years_on(issued: date) -> None:
    expires = registration_expires(issued).value
    assert (expires.year, expires.month) == (issued.year + 7, issued.month)
    assert expires.day >= 28


def test_the_printed_date_governs() -> None:
    assert registration_expires(date(2025, 2, 15), printed_on=date(2032, 2, 29)).value == date(2032, 2, 29)
