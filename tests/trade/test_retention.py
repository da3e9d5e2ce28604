from __future__ import annotations

from datetime import date

from annual_planner.trade.entry_text import EntryKind
from annual_planner.trade.retention import discrepancy_list_until, entry_kept, work_record_until


def test_a_repetition_after_the_year_does_not_lengthen_it() -> None:
    assert work_record_until(date(2025, 6, 10), repeated_on=date(2027, 1, 1)).value == date(2026, 6, 11)


def test_a_year_from_a_leap_day_ends_with_february() -> None:
    assert work_record_until(date(2028, 2, 29)).value == date(2029, 3, 1)


def test_an_open_list_is_kept() -> None:
    worked = discrepancy_list_until(date(2026, 4, 28), None)
    assert worked.value is None
    assert "not all is cleared" in worked.working.result


def test_each_kind_of_entry_is_kept_as_long_as_its_rule_says() -> None:
    said = {kind: entry_kept(kind, date(2025, 5, 1)) for kind in EntryKind}
    assert "at least through 31 May 2026" in said[EntryKind.INSPECTION].result
    assert said[EntryKind.DIRECTIVE].result == "never discarded"
    for kind in (EntryKind.MAINTENANCE, EntryKind.PREVENTIVE):
        assert "from 2 May 2026, or as soon as the work is repeated" in said[kind].result
    assert all(each.rules and each.steps for each in said.values())
