"""A plan as bars in rows."""

from datetime import datetime, timedelta
from itertools import pairwise

from hypothesis import given
from hypothesis import strategies as st

from annual_planner.planning.crew.open_time import Span
from annual_planner.planning.timeline import Bar, rows_of

EIGHT = datetime.fromisoformat("2026-05-04T08:00")
quarters = st.integers(min_value=0, max_value=40)
stretches = st.lists(st.tuples(quarters, st.integers(1, 12), st.sampled_from(("cabin", "tail"))), max_size=25)


def a_bar(number: int, first: int, long: int, zone: str) -> Bar:
    starts = EIGHT + timedelta(minutes=15 * first)
    ends = starts + timedelta(minutes=15 * long)
    pieces = (Span(starts, ends),)
    return Bar(f"job {number}", str(number), number, ("Ada",), zone, starts, ends, pieces, False, 0, "", "")


@given(stretches)
def test_no_bar_of_a_zone_hides_another_and_none_is_lost(found: list[tuple[int, int, str]]) -> None:
    bars = [a_bar(number, *each) for number, each in enumerate(found)]
    rows = rows_of(bars, "zone")
    assert sorted(bar.job for _, row in rows for bar in row) == sorted(bar.job for bar in bars)
    assert all(one.ends <= two.starts for _, row in rows for one, two in pairwise(row))
    assert [words for words, _ in rows if words] == sorted({bar.zone for bar in bars})


@given(stretches)
def test_there_are_no_more_rows_than_bars_at_once(found: list[tuple[int, int, str]]) -> None:
    bars = [a_bar(number, first, long, "cabin") for number, (first, long, _) in enumerate(found)]
    at_once = [sum(b.starts <= bar.starts < b.ends for b in bars) for bar in bars]
    assert len(rows_of(bars, "zone")) == max(at_once, default=0)
