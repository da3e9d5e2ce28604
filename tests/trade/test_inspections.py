from __future__ import annotations

from datetime import date, timedelta
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from annual_planner.trade.inspections import (
    Flown,
    InspectionDone,
    InspectionKind,
    annual_allows,
    annual_disapproved,
    annual_due,
    grounded_between,
    hundred_hour_after,
    hundred_hour_due,
    progressive_dropped,
    time_in_service,
)
from annual_planner.trade.periods import DuePoint
from annual_planner.trade.refused import Refused

D = Decimal
ANNUAL, HUNDRED = InspectionKind.ANNUAL, InspectionKind.HUNDRED_HOUR


def test_a_hundred_hour_or_a_signer_not_entitled_does_not_move_the_annual() -> None:
    done = [
        InspectionDone(ANNUAL, date(2025, 5, 14), D(1000)),
        InspectionDone(HUNDRED, date(2025, 9, 5), D(1080)),
        InspectionDone(ANNUAL, date(2025, 10, 5), D(1090), signer_entitled=False),
    ]
    assert annual_due(done).value.on == date(2026, 5, 31)


def test_the_hundred_hour_counts_from_the_later_of_both_kinds_in_any_order() -> None:
    done = [
        InspectionDone(HUNDRED, date(2025, 9, 5), D(1080)),
        InspectionDone(ANNUAL, date(2025, 5, 14), D(1000)),
    ]
    assert hundred_hour_due(done).value.hours == D(1180)
    assert hundred_hour_due(done[1:]).value.hours == D(1100)


def test_with_no_inspection_there_is_no_due_date() -> None:
    assert annual_due([]).value == hundred_hour_due([]).value == DuePoint()


@given(st.integers(0, 300).map(lambda n: D(n) / 10))
def test_the_allowance_is_ten_hours_on_the_way_and_none_on_business(excess: Decimal) -> None:
    done = D(1000) + excess
    assert hundred_hour_after(D(1000), done, Flown.EN_ROUTE).value.broken == (excess > 10)
    assert hundred_hour_after(D(1000), done, Flown.HIRE).value.broken == (excess > 0)
    assert not hundred_hour_after(D(1000), done, Flown.PRIVATE).value.broken


def test_a_broken_limit_says_what_was_assumed_about_the_next() -> None:
    worked = hundred_hour_after(D(1000), D(1003), Flown.HIRE)
    assert "overflown" in worked.working.result
    assert any("silent" in text for part in worked.working.parts for text in part.assumptions)
    assert hundred_hour_after(D(1000), D(1003), Flown.HIRE, cautious=False).value.next_due_hours == D(1103)


def test_the_last_legal_day_is_flown_without_a_permit() -> None:
    assert annual_allows(date(2026, 5, 31), date(2026, 5, 31)).value.legal


def test_no_day_is_lost_when_the_annual_is_approved_in_time() -> None:
    last = date(2026, 5, 31)
    assert grounded_between(last, last).value is None
    assert grounded_between(last, last + timedelta(1)).value is None
    lost = grounded_between(last, last + timedelta(2)).value
    assert lost is not None
    assert lost.first == lost.last == date(2026, 6, 1)


def test_a_routine_phase_is_no_base_for_what_follows_a_dropped_program() -> None:
    with pytest.raises(Refused, match="last complete inspection"):
        progressive_dropped(InspectionDone(InspectionKind.PROGRESSIVE_ROUTINE, date(2026, 5, 2), D(2240)))


def test_clearing_before_the_inspection_is_refused() -> None:
    with pytest.raises(Refused, match="before the inspection"):
        annual_disapproved(date(2026, 4, 28), date(2026, 4, 27))


def test_no_more_is_flown_than_the_engine_ran() -> None:
    with pytest.raises(Refused, match="in the air"):
        time_in_service(D("1.3"), D("1.4"))
