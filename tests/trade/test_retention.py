from __future__ import annotations

from datetime import date

from annual_planner.trade.retention import discrepancy_list_until, work_record_until


def test_a_repetition_after_the_year_does_not_lengthen_it() -> None:
    assert work_record_until(date(2025, 6, 10), repeated_on=date(2027, 1, 1)).value == date(2026, 6, 11)


def test_a_year_from_a_leap_day_ends_with_february() -> None:
    assert work_record_until(date(2028, 2, 29)).value == date(2029, 3, 1)


def test_an_open_list_is_kept() -> None:
    worked = discrepancy_list_until(date(2026, 4, 28), None)
    assert worked.value is None
    assert "not all is cleared" in worked.working.result
