from __future__ import annotations

from datetime import datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from annual_planner.planning.crew.open_time import Calendar, Span, both_open, said_span, unbroken
from annual_planner.trade.refused import Refused
from tests.planning.crew.annuals import at, saturdays, shop_weeks

WEEKS = shop_weeks(2)
steps = st.integers(min_value=0, max_value=WEEKS.steps - 1)


@given(steps)
def test_a_step_comes_back_from_its_wall_clock(step: int) -> None:
    assert WEEKS.step_at(WEEKS.when(step)) == step
    assert WEEKS.steps_by(WEEKS.until(step + 1)) == step + 1


@given(steps, st.integers(min_value=1, max_value=200))
def test_pieces_add_up_to_the_steps_and_lie_in_open_time(start: int, count: int) -> None:
    end = min(start + count, WEEKS.steps)
    pieces = WEEKS.pieces(start, end)
    assert sum(piece.steps for piece in pieces) == end - start
    assert both_open([Calendar(pieces), WEEKS]) == Calendar(pieces)


def test_closed_time_is_not_counted() -> None:
    assert WEEKS.when(16) == at("2026-05-04T13:00")
    assert WEEKS.until(16) == at("2026-05-04T12:00")
    assert WEEKS.when(32) == at("2026-05-05T08:00")
    assert WEEKS.step_at(at("2026-05-09T10:00")) == 5 * 32
    assert WEEKS.steps_by(at("2026-05-04T12:40")) == 16


def test_nights_are_breaks_of_another_day() -> None:
    assert WEEKS.breaks()[:3] == (16, 32, 48)
    assert WEEKS.breaks(nights_only=True)[:2] == (32, 64)


def test_stretches_that_touch_become_one() -> None:
    two = unbroken(at("2026-05-04T08:00"), 4), unbroken(at("2026-05-04T09:00"), 4)
    assert Calendar((*two[1].spans, *two[0].spans)) == unbroken(at("2026-05-04T08:00"), 8)


def test_times_off_the_quarter_hour_are_refused() -> None:
    with pytest.raises(Refused, match="quarter"):
        Span(at("2026-05-04T08:05"), at("2026-05-04T09:00"))


def test_saturdays_and_the_shops_weeks_share_no_time() -> None:
    assert both_open([WEEKS, saturdays(2)]).steps == 0


def test_whole_days_are_said_without_hours() -> None:
    day = datetime.fromisoformat("2026-05-30")
    assert said_span(Span(day, day + timedelta(days=3))) == "30 May – 1 Jun 2026"
