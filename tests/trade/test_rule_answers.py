"""What questions to rules answer at the edges of the rules."""

from __future__ import annotations

from datetime import date, timedelta
from decimal import Decimal
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from annual_planner.library.rules import load_rules
from annual_planner.trade.authorization import EXPIRY
from annual_planner.trade.periods import end_of_month
from annual_planner.trade.refused import Refused
from annual_planner.trade.rule_questions import ask_rule, question_named, read_facts

D = Decimal
REBUILT = {"whole": "yes", "tested_to": "limits of a new item", "new_parts": "yes"}
DAYS = st.dates(date(1990, 1, 1), date(2090, 12, 31))


def value(key: str, **typed: str) -> Any:
    asked = question_named(key)
    return asked.answer(read_facts(asked, typed)).value


@pytest.mark.parametrize(
    ("key", "typed", "answer"),
    [
        ("annual-applies", {"flies_under": "standard", "program": "no", "progressive": "no"}, True),
        ("annual-applies", {"flies_under": "provisional", "program": "no", "progressive": "no"}, False),
        ("annual-applies", {"flies_under": "standard", "program": "yes", "progressive": "no"}, False),
        ("annual-applies", {"flies_under": "standard", "program": "no", "progressive": "yes"}, False),
        ("overhauled-or-rebuilt", {**REBUILT}, "rebuilt"),
        ("overhauled-or-rebuilt", {**REBUILT, "new_parts": "no"}, "overhauled"),
        ("overhauled-or-rebuilt", {**REBUILT, "tested_to": "approved or acceptable standards"}, "overhauled"),
        ("overhauled-or-rebuilt", {**REBUILT, "tested_to": "nothing"}, "neither"),
        ("overhauled-or-rebuilt", {**REBUILT, "whole": "no"}, "neither"),
        ("return-to-service", {"entry": "yes", "major": "no", "limits": "no"}, True),
        ("return-to-service", {"entry": "no", "major": "no", "limits": "no"}, False),
        ("return-to-service", {"entry": "yes", "major": "yes", "limits": "no"}, False),
        ("return-to-service", {"entry": "yes", "major": "yes", "form": "yes", "limits": "no"}, True),
        ("return-to-service", {"entry": "yes", "major": "no", "limits": "yes"}, False),
        ("return-to-service", {"entry": "yes", "major": "no", "limits": "yes", "manual": "yes"}, True),
        ("hundred-hour-needed", {"hire": "no", "paid_instruction": "yes", "by_instructor": "yes"}, True),
        ("hundred-hour-needed", {"hire": "no", "paid_instruction": "yes", "by_instructor": "no"}, False),
        ("hundred-hour-needed", {"hire": "no", "paid_instruction": "no", "by_instructor": "yes"}, False),
        ("hundred-hour-needed", {"hire": "yes", "paid_instruction": "no", "by_instructor": "no"}, True),
        ("inspection-stands-for", {"entered_as": "annual", "entitled": "yes"}, (True, True)),
        ("inspection-stands-for", {"entered_as": "100-hour", "entitled": "yes"}, (False, True)),
        ("inspection-stands-for", {"entered_as": "100-hour", "entitled": "no"}, (False, True)),
        ("inspection-stands-for", {"entered_as": "annual", "entitled": "no"}, (False, False)),
        (
            "progressive-dropped",
            {"complete_on": "2026-01-12", "complete_hours": "2200.0"},
            (date(2027, 1, 31), D("2300.0")),
        ),
        (
            "annual-unapproved",
            {"entered_on": "2026-04-28", "cleared_on": "2027-04-30"},
            (date(2027, 4, 30), date(2027, 4, 30)),
        ),
        (
            "annual-unapproved",
            {"entered_on": "2026-04-28", "cleared_on": "2027-05-01"},
            (None, date(2027, 4, 30)),
        ),
        ("directive-interval", {"directive": "50", "quoted": "100", "unit": "h"}, D(50)),
        ("directive-interval", {"directive": "12", "quoted": "6", "unit": "calendar-months"}, D(12)),
        ("directive-ferry", {"overdue": "no"}, True),
        ("directive-ferry", {"overdue": "yes", "permit": "forbids it"}, False),
        ("limited-part-off", {"same_status": "yes", "same_product": "yes", "not_flown": "yes"}, False),
        ("limited-part-off", {"same_status": "no", "same_product": "yes", "not_flown": "yes"}, True),
        ("limited-part-off", {"same_status": "yes", "same_product": "no", "not_flown": "yes"}, True),
        ("limited-part-off", {"same_status": "yes", "same_product": "yes", "not_flown": "no"}, True),
        ("flight-check-needed", {"changed": "yes", "shown_on_ground": "no"}, True),
        ("flight-check-needed", {"changed": "yes", "shown_on_ground": "yes"}, False),
        ("flight-check-needed", {"changed": "no", "shown_on_ground": "no"}, False),
        ("major-form-copies", {"approved_on": "2026-12-31"}, (date(2027, 1, 2), 2)),
        ("major-form-copies", {"approved_on": "2026-12-31", "cabin_tank": "yes"}, (date(2027, 1, 2), 3)),
        ("locator-battery-use", {"use_minutes": "40, 20"}, False),
        ("locator-battery-use", {"use_minutes": "40 20 0.5"}, True),
        ("locator-battery-age", {"marked_on": "2028-11-30"}, date(2028, 11, 30)),
        ("locator-battery-age", {"life_from": "2024-03-15", "life_months": "61"}, date(2026, 9, 15)),
        ("locator-battery-age", {"life_from": "2024-08-31", "life_months": "12"}, date(2025, 2, 28)),
        ("locator-battery-dated", {"on_unit": "no", "in_records": "yes"}, ("on the outside of the unit",)),
        ("locator-battery-dated", {"on_unit": "yes", "in_records": "yes"}, ()),
        ("locator-on-flight", {}, True),
        ("locator-on-flight", {"training_within_nm": "50"}, False),
        ("locator-on-flight", {"training_within_nm": "50,5"}, True),
        ("locator-on-flight", {"ferry": "yes"}, False),
        ("locator-on-flight", {"design_test": "yes"}, False),
        ("locator-on-flight", {"application": "yes"}, False),
        ("locator-on-flight", {"one_person": "yes"}, False),
        ("altimeter-altitude", {"tested_to_ft": "10000", "planned_ft": "10000"}, True),
        ("altimeter-altitude", {"tested_to_ft": "10000", "planned_ft": "10001"}, False),
        ("altitude-reporting", {"differences_ft": "125 -125 0"}, True),
        ("altitude-reporting", {"differences_ft": "0 -126"}, False),
        ("authorization-expiry", {"issued_on": "2025-03-15"}, date(2025, 3, 31)),
        ("authorization-expiry", {"issued_on": "2025-04-01"}, date(2027, 3, 31)),
        (
            "authorization-expiry",
            {"issued_on": "2025-03-15", "printed_on": "2027-03-31"},
            date(2027, 3, 31),
        ),
        ("mechanic-recent", {"months_worked": "6"}, True),
        ("mechanic-recent", {"months_worked": "5.9"}, False),
        ("mechanic-recent", {"months_worked": "0", "found_able": "yes"}, True),
    ],
)
def test_what_the_rule_says_at_its_edges(key: str, typed: dict[str, str], answer: object) -> None:
    assert value(key, **typed) == answer


OUT = {"removed_on": "2026-09-01", "entry": "yes", "placard": "yes"}
VOR = {"uses_vor": "yes", "ifr": "yes", "checked_on": "2026-11-10"}


@pytest.mark.parametrize(
    ("key", "typed", "sentence"),
    [
        (
            "locator-removed",
            {**OUT, "flight_on": "2026-11-30"},
            "It may be flown without the transmitter through 30 Nov 2026.",
        ),
        (
            "locator-removed",
            {**OUT, "flight_on": "2026-12-01"},
            "It may not be flown: the days without the transmitter ended on 30 Nov 2026.",
        ),
        (
            "locator-removed",
            {**OUT, "flight_on": "2026-09-01", "entry": "no"},
            "It may not be flown: the entry must be made first.",
        ),
        (
            "locator-removed",
            {**OUT, "flight_on": "2026-09-01", "entry": "no", "placard": "no"},
            "It may not be flown: the entry and the placard must be made first.",
        ),
        (
            "altimeter-new",
            {"made_on": "2026-05-04", "fitted_on": "2026-05-04"},
            "The altimeter is good through 31 May 2028; its fitting asks for a static system test.",
        ),
        (
            "transponder-use",
            {"tested_on": "2024-02-10", "flight_on": "2026-02-28"},
            "The transponder may be used through 28 Feb 2026.",
        ),
        (
            "transponder-use",
            {"tested_on": "2024-02-10", "flight_on": "2026-03-01"},
            "The transponder stays off, under VFR as well: its test ended on 28 Feb 2026.",
        ),
        (
            "vor-check-needed",
            {**VOR, "flight_on": "2026-11-10"},
            "The flight asks for a VOR check, and the last one serves.",
        ),
        (
            "vor-check-needed",
            {**VOR, "flight_on": "2026-12-11"},
            "The receiver has to be checked before this flight.",
        ),
        (
            "vor-check-needed",
            {**VOR, "flight_on": "2026-12-11", "ifr": "no"},
            "The flight asks for no VOR check.",
        ),
        (
            "annual-unapproved",
            {"entered_on": "2026-04-28", "cleared_on": "2026-04-28"},
            "It may be flown from 28 Apr 2026, with the next annual by 30 Apr 2027.",
        ),
        (
            "authorization-activity",
            {"held_from": "2027-01-15", "year": "second"},
            "No activity is asked for in that year; the authorization ends on 31 Mar 2027.",
        ),
        (
            "authorization-activity",
            {"held_from": "2025-04-01", "year": "first", "oral_test": "yes"},
            "The activity of that year was met; the privileges run through 31 Mar 2027.",
        ),
        (
            "authorization-activity",
            {"held_from": "2025-04-01", "year": "first"},
            "It was not met: the privileges rest after 31 Mar 2026, until an oral test is passed.",
        ),
        (
            "authorization-activity",
            {"held_from": "2025-04-01", "year": "second"},
            "It was not met: the authorization ends on 31 Mar 2027 and is not renewed on it.",
        ),
        (
            "flight-time-in-service",
            {"airborne_hours": "1.3", "running_hours": "1.3"},
            "1.3 h are added to the time in service.",
        ),
        (
            "directive-ferry",
            {"overdue": "no", "permit": "forbids it"},
            "The directive does not keep it on the ground.",
        ),
        (
            "directive-ferry",
            {"overdue": "yes", "permit": "forbids it"},
            "It may not be flown: the directive forbids a permit flight.",
        ),
        (
            "directive-ferry",
            {"overdue": "yes", "permit": "does not forbid it"},
            "It may be flown there under a special flight permit only.",
        ),
        (
            "directive-ferry",
            {"overdue": "yes"},
            "It may be flown there under a special flight permit only, unless the directive forbids it.",
        ),
    ],
)
def test_the_sentence_says_what_may_be_done_and_until_when(
    key: str, typed: dict[str, str], sentence: str
) -> None:
    assert ask_rule(key, typed).result == sentence


@pytest.mark.parametrize("missing", ["by_approver", "power", "magnetos", "pressures", "temperatures"])
def test_each_part_of_the_engine_run_alone_keeps_an_annual_from_approval(missing: str) -> None:
    parts = {fact.key: "yes" for fact in question_named("annual-engine-run").facts}
    assert value("annual-engine-run", **parts)
    assert not value("annual-engine-run", **{**parts, missing: "no"})


@given(st.integers(0, 300).map(lambda n: D(n) / 10))
def test_ten_hours_are_allowed_on_the_way_and_none_for_hire(excess: Decimal) -> None:
    done = D(1000) + excess
    way, hire, private = (
        value("hundred-hour-late", due_hours="1000", done_hours=f"{done}", flown=flown)
        for flown in ("on the way to the inspection", "for hire", "privately")
    )
    assert (way.broken, hire.broken, private.broken) == (excess > 10, excess > 0, False)
    assert way.hours == hire.hours == 1100
    assert private.hours == done + 100


@given(DAYS, st.integers(0, 2000))
def test_a_transponder_is_used_through_the_end_of_the_month_two_years_on(tested: date, days: int) -> None:
    flown = tested + timedelta(days)
    found = value("transponder-use", tested_on=tested.isoformat(), flight_on=flown.isoformat())
    assert found.may_use == (flown <= found.last_on)
    assert found.last_on == end_of_month(found.last_on)
    assert (found.last_on.year, found.last_on.month) == (tested.year + 2, tested.month)


@given(DAYS, st.integers(0, 200), st.booleans(), st.booleans())
def test_ninety_days_without_the_locator_need_entry_and_placard(
    out: date, days: int, entry: bool, placard: bool
) -> None:
    found = value(
        "locator-removed",
        removed_on=out.isoformat(),
        flight_on=(out + timedelta(days)).isoformat(),
        entry="yes" if entry else "no",
        placard="yes" if placard else "no",
    )
    assert found.last_on == out + timedelta(90)
    assert found.may_fly == (days <= 90 and entry and placard)


@pytest.mark.parametrize(
    ("check", "limit"),
    [
        ("test signal", D(4)),
        ("ground point", D(4)),
        ("airborne point", D(6)),
        ("airway", D(6)),
        ("dual receivers", D(4)),
    ],
)
@pytest.mark.parametrize("side", [1, -1])
def test_a_bearing_error_at_the_limit_passes_on_either_side(check: str, limit: Decimal, side: int) -> None:
    assert value("vor-error", check=check, error_deg=f"{side * limit}")
    assert not value("vor-error", check=check, error_deg=f"{side * (limit + D('0.1'))}")


def test_a_vor_check_is_asked_for_by_ifr_with_vor_alone_and_serves_thirty_days() -> None:
    on = {"flight_on": "2026-12-10", "checked_on": "2026-11-10"}
    assert value("vor-check-needed", ifr="yes", uses_vor="yes", **on) == (True, True)
    late = {**on, "flight_on": "2026-12-11"}
    assert value("vor-check-needed", ifr="yes", uses_vor="yes", **late) == (True, False)
    assert value("vor-check-needed", ifr="yes", uses_vor="no", **late) == (False, False)
    assert value("vor-check-needed", ifr="no", uses_vor="yes", flight_on="2026-12-10") == (False, None)


def test_a_static_system_tested_since_it_was_opened_is_not_tested_again() -> None:
    opened = {"how": "a line or fitting opened", "opened_on": "2025-10-10"}
    assert value("static-opened", **opened).test_required
    assert value("static-opened", **opened, static_tested_on="2025-10-09").test_required
    assert not value("static-opened", **opened, static_tested_on="2025-10-10").test_required


@pytest.mark.parametrize(
    "not_so",
    [{"rebuilt_by": "somebody else"}, {"signed": "no"}, {"directives": "no"}, {"bulletins": "no"}],
    ids=lambda not_so: next(iter(not_so)),
)
def test_an_engines_record_begins_anew_only_with_everything_there(not_so: dict[str, str]) -> None:
    there = {"signed": "yes", "directives": "yes", "bulletins": "yes"}
    for maker in ("its maker", "an agency that the maker approved"):
        assert value("engine-record-anew", rebuilt_by=maker, **there)
    assert not value("engine-record-anew", **{"rebuilt_by": "its maker", **there, **not_so})


@pytest.mark.parametrize("not_so", ["from_flight_deck", "opened", "tools", "as_instructed"])
def test_a_database_update_is_maintenance_once_one_thing_differs(not_so: str) -> None:
    plain = {"from_flight_deck": "yes", "opened": "no", "tools": "no", "as_instructed": "yes"}
    assert not value("database-update", **plain)
    assert value("database-update", **{**plain, not_so: "no" if plain[not_so] == "yes" else "yes"})


def test_the_authorization_ends_as_the_shipped_rules_have_it() -> None:
    assert load_rules().expiry == EXPIRY


def activity(held_from: str, year: str, **done: str) -> Any:
    return value("authorization-activity", held_from=held_from, year=year, **done)


def test_held_for_less_than_ninety_days_of_a_year_nothing_is_asked() -> None:
    assert activity("2026-01-01", "first").needed
    assert not activity("2026-01-02", "first").needed
    assert activity("2026-01-02", "second").needed
    assert not activity("2027-01-02", "second").needed


@pytest.mark.parametrize(
    "done",
    [
        {"annuals": "4"},
        {"major_work": "8"},
        {"progressives": "1"},
        {"course_hours": "8"},
        {"oral_test": "yes"},
    ],
    ids=lambda done: next(iter(done)),
)
@pytest.mark.parametrize("year", ["first", "second"])
def test_any_one_kind_of_activity_is_enough(year: str, done: dict[str, str]) -> None:
    found = activity("2025-04-01", year, **done)
    assert (found.needed, found.met, found.privileges_through) == (True, True, date(2027, 3, 31))


def test_half_of_several_kinds_is_not_enough_and_a_first_year_missed_stops_the_privileges() -> None:
    half = {"annuals": "3", "major_work": "7", "course_hours": "7.5"}
    first, second = (activity("2025-04-01", year, **half) for year in ("first", "second"))
    assert (first.met, first.privileges_through) == (False, date(2026, 3, 31))
    assert (second.met, second.privileges_through) == (False, date(2027, 3, 31))
    assert first.expires_on == second.expires_on == date(2027, 3, 31)


@pytest.mark.parametrize(
    ("key", "typed", "said"),
    [
        (
            "annual-unapproved",
            {"entered_on": "2026-04-28", "cleared_on": "2026-04-27"},
            "before the inspection",
        ),
        ("flight-time-in-service", {"airborne_hours": "1.4", "running_hours": "1.3"}, "longer than"),
        ("altimeter-new", {"made_on": "2026-04-28", "fitted_on": "2026-04-27"}, "before it was made"),
        ("transponder-use", {"tested_on": "2026-04-28", "flight_on": "2026-04-27"}, "before the test"),
        ("locator-battery-age", {"life_from": "2024-03-15"}, "Neither a marked"),
        ("locator-battery-age", {}, "Neither a marked"),
    ],
)
def test_facts_that_do_not_go_together_are_refused_with_what_to_do(
    key: str, typed: dict[str, str], said: str
) -> None:
    with pytest.raises(Refused, match=said) as refused:
        ask_rule(key, typed)
    assert refused.value.remedy
