from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from annual_planner.trade.life_left import life_left
from annual_planner.trade.periods import DuePoint, DueState, Force, Interval, Logic, add_calendar_months
from annual_planner.trade.weighing import ToWeigh, falls_due_by, weigh

START = date(2026, 5, 11)
HORIZON = add_calendar_months(START, 12)
IN_24_MONTHS = Interval(calendar_months=24)


def _thing(due_on: date | None = None, **more: object) -> ToWeigh:
    plain = ToWeigh("Test", Force.RULE, IN_24_MONTHS, DuePoint(due_on), DueState.OK)
    return replace(plain, **more)  # type: ignore[arg-type]


def test_the_reason_gives_the_life_lost_and_the_visit_saved() -> None:
    worked = weigh(_thing(date(2026, 8, 12)), START, HORIZON)
    assert worked.value.do_now
    assert worked.value.reason == "gives up 3 months of 24; left, it needs its own visit about 12 Aug 2026"
    assert worked.value.given_up_days == 93
    assert worked.working.result.startswith("do now")


def test_an_oil_change_with_most_of_its_life_left_waits_for_an_ordinary_visit() -> None:
    thing = _thing(
        interval=Interval(hours=Decimal(50)),
        due=DuePoint(hours=Decimal(540)),
        hours_at_start=Decimal(500),
        early_on=date(2026, 8, 20),
        expected_on=date(2026, 9, 8),
        force=Force.RECOMMENDED,
    )
    weighed = weigh(thing, START, HORIZON).value
    assert not weighed.do_now
    assert weighed.given_up_hours == Decimal(40)
    assert "40 h of 50 h" in weighed.reason
    assert "ordinary visit about 8 Sep 2026" in weighed.reason


def test_binding_heavy_work_goes_in_even_with_most_of_its_life_left() -> None:
    thing = _thing(date(2027, 3, 31), interval=Interval(calendar_months=12), work_hours=Decimal(9))
    assert weigh(thing, START, HORIZON).value.do_now


def test_advice_with_most_of_its_life_left_is_left() -> None:
    thing = _thing(date(2027, 3, 31), interval=Interval(calendar_months=18), force=Force.RECOMMENDED)
    weighed = weigh(thing, START, HORIZON).value
    assert not weighed.do_now
    assert weighed.reason == (
        "done now it gives up 11 months of 18; only recommended, due about 31 Mar 2027; "
        "left to the next annual it runs 2 months over"
    )


@pytest.mark.parametrize(("force", "days", "now"), [
    (Force.RECOMMENDED, 352, False), (Force.RECOMMENDED, 150, True), (Force.RULE, 352, True),
])  # fmt: skip
def test_a_printed_day_far_off_is_left_where_it_is_only_advice(force: Force, days: int, now: bool) -> None:
    weighed = weigh(_thing(START + timedelta(days=days), interval=None, force=force), START, HORIZON).value
    assert weighed.do_now is now
    assert f"gives up {days} days" in weighed.reason


def test_advice_by_hours_says_how_many_hours_over_it_runs_if_left() -> None:
    thing = _thing(
        interval=Interval(hours=Decimal(500)),
        due=DuePoint(hours=Decimal(1300)),
        hours_at_start=Decimal(1000),
        early_on=date(2026, 10, 1),
        expected_on=START + timedelta(days=300),
        force=Force.RECOMMENDED,
    )
    weighed = weigh(thing, START, HORIZON).value
    assert not weighed.do_now
    assert "gives up 300 h of 500 h" in weighed.reason
    assert f"runs about {(HORIZON - START).days - 300} h over" in weighed.reason, "one hour a day"


def test_a_limit_in_the_month_of_the_next_annual_is_left_to_it() -> None:
    last_day = weigh(_thing(HORIZON), START, HORIZON)
    assert not last_day.value.do_now
    assert last_day.value.reason.startswith("done now it gives up 13 months of 24; ")
    assert "due 31 May 2027, in the month in which the next annual ends" in last_day.value.reason
    assert any("reaches it by then" in step.text for step in last_day.working.steps)
    assert weigh(_thing(date(2027, 4, 30)), START, HORIZON).value.do_now
    hours_first = _thing(HORIZON, interval=Interval(hours=Decimal(100), calendar_months=24),
                         due=DuePoint(HORIZON, Decimal(540)), hours_at_start=Decimal(500),
                         early_on=date(2027, 3, 1), expected_on=date(2027, 4, 1))  # fmt: skip
    assert "next annual ends: that visit" not in weigh(hours_first, START, HORIZON).value.reason


def test_heavy_advice_is_the_owners_to_decide_even_when_past() -> None:
    overhaul = _thing(
        interval=Interval(hours=Decimal(2000)),
        due=DuePoint(hours=Decimal(2000)),
        hours_at_start=Decimal("2010.5"),
        expected_on=START,
        force=Force.RECOMMENDED,
        work_hours=Decimal(30),
    )
    past = weigh(overhaul, START + timedelta(days=30), HORIZON).value
    assert not past.do_now
    assert past.reason == (
        "past its limit when the visit starts (by 10.5 h); recommended; about 30 h of work: "
        "condition and trend, and the owner, decide"
    )
    assert weigh(replace(overhaul, force=Force.LIMITATION), START + timedelta(days=30), HORIZON).value.do_now
    assert weigh(replace(overhaul, work_hours=Decimal(3)), START + timedelta(days=30), HORIZON).value.do_now


def test_what_is_past_its_limit_goes_in() -> None:
    late = weigh(_thing(date(2026, 4, 30), state=DueState.OVERDUE), START, HORIZON).value
    assert late.do_now
    assert late.given_up_days == 0
    assert "past its limit when the visit starts (since 30 Apr 2026)" in late.reason


def test_what_the_annual_does_anyway_goes_in_whatever_its_life() -> None:
    thing = _thing(date(2027, 5, 30), force=Force.RECOMMENDED, by_card="Oil change")
    assert weigh(thing, START, HORIZON).value.do_now


def test_without_a_record_binding_work_goes_in_and_advice_waits_for_the_record() -> None:
    unknown = _thing(state=DueState.NEVER_DONE)
    assert falls_due_by(unknown, HORIZON)
    assert weigh(unknown, START, HORIZON).value.do_now
    advice = weigh(replace(unknown, force=Force.RECOMMENDED), START, HORIZON).value
    assert not advice.do_now
    assert "write down when it was last done" in advice.reason
    hours_unknown = replace(unknown, force=Force.RECOMMENDED, last_on=date(2025, 6, 3))
    assert weigh(hours_unknown, START, HORIZON).value.reason == (
        "last done 3 Jun 2025, but not written down at how many hours: write down the hours, "
        "then it can be weighed"
    )


def test_what_the_visit_does_anyway_goes_in_even_without_a_record() -> None:
    advice = _thing(state=DueState.NEVER_DONE, force=Force.RECOMMENDED, by_card="Compression test")
    weighed = weigh(advice, START, HORIZON).value
    assert weighed.do_now
    assert weighed.reason == "the annual's own work does it (Compression test); no record of it"
    whole = replace(advice, by_card="", by_visit="this visit is the annual itself")
    assert weigh(whole, START, HORIZON).value.reason == "this visit is the annual itself; no record of it"


@pytest.mark.parametrize(
    ("interval", "days", "said"),
    [
        (Interval(calendar_months=12), 385, "12 months of 12"),
        (Interval(days=30), 1, "1 day of 30"),
        (Interval(months=12), 1, "1 day of 12 months"),
        (None, 200, "200 days"),
    ],
)
def test_life_left_is_said_in_the_interval_s_own_measure(
    interval: Interval | None, days: int, said: str
) -> None:
    assert life_left(DuePoint(START + timedelta(days=days)), interval, None, START).said == said


def test_an_hour_limit_counts_by_its_early_bound() -> None:
    hours = DuePoint(hours=Decimal(600))
    thing = _thing(due=hours, early_on=HORIZON, expected_on=HORIZON + timedelta(days=90))
    assert falls_due_by(thing, HORIZON)
    assert not falls_due_by(replace(thing, early_on=HORIZON + timedelta(days=1)), HORIZON)


def test_what_only_the_early_bound_brings_in_is_watched_when_advice_and_done_when_binding() -> None:
    thing = _thing(
        interval=Interval(hours=Decimal(2000)),
        due=DuePoint(hours=Decimal(1990)),
        hours_at_start=Decimal(1900),
        early_on=HORIZON,
        expected_on=HORIZON + timedelta(days=200),
        force=Force.RECOMMENDED,
    )
    advice = weigh(thing, START, HORIZON).value
    assert not advice.do_now
    assert "from 31 May 2027 on" in advice.reason
    assert weigh(replace(thing, force=Force.LIMITATION), START, HORIZON).value.do_now


def test_whichever_last_is_due_only_when_both_limits_are() -> None:
    both = DuePoint(on=HORIZON, hours=Decimal(600), logic=Logic.LAST)
    thing = _thing(due=both, early_on=HORIZON + timedelta(days=1))
    assert not falls_due_by(thing, HORIZON)
    assert falls_due_by(replace(thing, early_on=HORIZON), HORIZON)
    assert not falls_due_by(replace(thing, early_on=None), HORIZON)


def test_what_has_ended_is_never_due() -> None:
    ended = _thing(state=DueState.ENDED, due=DuePoint(ended="done once"))
    assert not falls_due_by(ended, HORIZON)


@pytest.mark.parametrize("days", [0, 1])
def test_the_horizon_itself_still_counts(days: int) -> None:
    assert falls_due_by(_thing(HORIZON + timedelta(days=days)), HORIZON) == (days == 0)


@given(st.integers(-400, 365), st.sampled_from(list(Force)))
def test_less_life_left_never_turns_do_now_into_leave(days: int, force: Force) -> None:
    def decided(on: date) -> bool:
        state = DueState.OVERDUE if on < START else DueState.OK
        return weigh(_thing(on, force=force, state=state), START, HORIZON).value.do_now

    due_on = START + timedelta(days=days)
    if decided(due_on):
        assert decided(due_on - timedelta(days=1))


@given(st.integers(-400, 400))
def test_life_given_up_is_never_below_nothing(days: int) -> None:
    given_up = weigh(_thing(START + timedelta(days=days)), START, HORIZON).value.given_up_days
    assert given_up == max(days, 0)
