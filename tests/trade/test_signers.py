from __future__ import annotations

from datetime import date
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from annual_planner.trade.signers import (
    Activity,
    SignerFacts,
    annual_signer_valid,
    authorization_expires,
    first_year_activity,
    flight_check_pilot,
    mechanic_current,
)

HELD = SignerFacts(authorization_expires=date(2027, 3, 31))
ON = date(2026, 4, 10)


@given(st.dates(date(2000, 1, 1), date(2080, 12, 31)))
def test_an_authorization_ends_on_a_31_march_of_an_odd_year_within_two_years(issued: date) -> None:
    expires = authorization_expires(issued).value
    assert (expires.month, expires.day, expires.year % 2) == (3, 31, 1)
    assert issued <= expires
    assert (expires - issued).days < 731


def test_the_card_governs() -> None:
    assert authorization_expires(date(2025, 3, 15), printed_on=date(2027, 3, 31)).value == date(2027, 3, 31)


@pytest.mark.parametrize(
    "activity",
    [
        Activity(annuals=4),
        Activity(major_approvals=8),
        Activity(progressives=1),
        Activity(course_hours=8),
        Activity(oral_test=True),
    ],
)
def test_any_one_kind_of_activity_is_enough(activity: Activity) -> None:
    value = first_year_activity(date(2025, 4, 1), activity).value
    assert value.met
    assert value.privileges_through == date(2027, 3, 31)


def test_half_of_two_kinds_is_not_enough() -> None:
    mixed = Activity(annuals=3, major_approvals=7, course_hours=7)
    assert not first_year_activity(date(2025, 4, 1), mixed).value.met


def test_held_for_less_than_ninety_days_of_the_first_year_nothing_is_asked() -> None:
    assert not first_year_activity(date(2026, 1, 2), Activity()).value.needed
    assert first_year_activity(date(2026, 1, 1), Activity()).value.needed


def test_a_signer_in_order_is_entitled_to_the_last_day() -> None:
    assert annual_signer_valid(HELD, ON).value
    assert annual_signer_valid(HELD, date(2027, 3, 31)).value


@pytest.mark.parametrize(
    ("signer", "why"),
    [
        (SignerFacts(authorization_expires=None), "in date"),
        (SignerFacts(date(2027, 3, 31), first_year_activity_met=False), "first-year activity"),
        (SignerFacts(date(2027, 3, 31), base_moved_on=date(2026, 4, 1)), "move of the base"),
        (SignerFacts(date(2027, 3, 31), ratings=frozenset({"airframe"})), "ratings"),
        (SignerFacts(date(2027, 3, 31), recent=False), "recent experience"),
    ],
)
def test_each_condition_alone_stops_a_signer_and_is_named(signer: SignerFacts, why: str) -> None:
    worked = annual_signer_valid(signer, ON)
    assert not worked.value
    assert why in worked.working.result


def test_missed_activity_counts_from_april_and_until_the_oral_test() -> None:
    missed = SignerFacts(date(2027, 3, 31), first_year_activity_met=False, oral_test_on=date(2026, 4, 20))
    entitled = [annual_signer_valid(missed, date(2026, *day)).value for day in ((3, 31), (4, 19), (4, 20))]
    assert entitled == [True, False, True]


def test_after_a_move_privileges_return_with_the_notice() -> None:
    moved = SignerFacts(date(2027, 3, 31), base_moved_on=date(2026, 5, 1), base_notice_on=date(2026, 5, 10))
    entitled = [annual_signer_valid(moved, date(2026, *day)).value for day in ((4, 30), (5, 1), (5, 10))]
    assert entitled == [True, False, True]


def test_six_months_or_being_found_able_keeps_a_mechanic_current() -> None:
    assert mechanic_current(Decimal(6)).value
    assert not mechanic_current(Decimal("5.9")).value
    assert mechanic_current(Decimal(0), found_able=True).value


def test_a_private_pilot_or_higher_makes_the_flight_check() -> None:
    grades = ("student", "sport", "recreational", "private", "commercial", "airline transport")
    assert [flight_check_pilot(grade).value for grade in grades] == [False] * 3 + [True] * 3
