"""What ships with the program against what the rules list: scope, preventive maintenance, intervals.

Sources: 14 CFR Part 43 Appendices A(c) and D, 43.15(c)(2), Parts 39, 47, 65 and 91, as published in the
electronic Code of Federal Regulations between 24 August and 3 September 2026; see rule_lists.toml.
"""

from __future__ import annotations

import tomllib
from collections import Counter
from datetime import date, timedelta
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest

from annual_planner.library.rules import load_rules
from annual_planner.library.shelf import load_library
from annual_planner.trade.authority import authority
from annual_planner.trade.cards import WorkKind
from annual_planner.trade.facts import MONTHS_OF_WORK, expires_on, listed_as
from annual_planner.trade.people import Airplane, Certificate, CertificateKind, Person, Standing, WorkPiece
from annual_planner.trade.requirements import RequirementTemplate

LISTS: dict[str, Any] = tomllib.loads(Path(__file__).with_name("rule_lists.toml").read_text(encoding="utf-8"))
SCOPE, PREVENTIVE, INTERVALS = LISTS["scope"], LISTS["preventive"], LISTS["interval"]
LIBRARY = load_library()
RULES = load_rules()
ROMAN = SCOPE["engine_run"]

NUMBERED_REFS = [
    f"14 CFR 43 App. D({letter})({n})"
    for letter, count in SCOPE["numbered"].items()
    for n in range(1, count + 1)
]
UNNUMBERED_REFS = [
    f"14 CFR 43 App. D({letter})" for letter, count in SCOPE["unnumbered"].items() for _ in range(count)
]
RUN_REFS = [f"14 CFR 43.15(c)(2){roman}" for roman in ROMAN]


def test_the_scope_is_the_rules_ten_paragraphs_39_numbered_and_5_unnumbered_items_and_the_engine_run() -> (
    None
):
    assert (len(NUMBERED_REFS), len(UNNUMBERED_REFS), len(RUN_REFS)) == (39, 5, 4)
    assert len({*SCOPE["numbered"], *SCOPE["unnumbered"]}) == 10
    shipped = Counter(item.ref for item in LIBRARY.items)
    assert shipped == Counter([*NUMBERED_REFS, *UNNUMBERED_REFS, *RUN_REFS])


def test_each_paragraph_is_one_group_and_no_two_share_one() -> None:
    groups: dict[str, set[str]] = {}
    for item in LIBRARY.items:
        if "App. D(" in item.ref:
            groups.setdefault(item.ref.split("App. D(")[1][0], set()).add(item.group)
    assert sorted(groups) == list("abcdefghij")
    assert all(len(names) == 1 for names in groups.values())
    assert len({name for names in groups.values() for name in names}) == 10


@pytest.mark.parametrize(("ref", "word"), SCOPE["words"].items())
def test_an_item_speaks_of_what_the_rule_has_under_its_number(ref: str, word: str) -> None:
    [item] = [each for each in LIBRARY.items if each.ref == ref]
    assert word in " ".join((item.subject, *item.look_for)).lower()


def test_only_the_lighter_than_air_item_can_never_apply_to_an_airplane() -> None:
    never = [item.ref for item in LIBRARY.items if item.never_because]
    assert never == SCOPE["not_on_airplanes"]


def test_the_preventive_list_is_the_31_items_in_force_once_each() -> None:
    refs = [item.ref for item in RULES.items]
    assert refs == [f"A(c)({n})" for n in range(1, PREVENTIVE["in_force"] + 1)]


def test_the_former_last_item_is_on_the_list_no_more() -> None:
    former = f"A(c)({PREVENTIVE['former']})"
    assert RULES.item(former) is None
    assert listed_as(WorkPiece("update", WorkKind.SERVICE, preventive=(former,)), RULES) == "not listed"
    assert all(former not in card.preventive for card in LIBRARY.cards)


def test_items_of_balloons_and_primary_category_are_not_an_ordinary_airplanes() -> None:
    odd = {f"A(c)({n})" for n in (*PREVENTIVE["balloon"], *PREVENTIVE["primary_category"])}
    assert {item.ref for item in RULES.items if not item.for_airplane} == odd
    assert not odd & {ref for card in LIBRARY.cards for ref in card.preventive}


@pytest.mark.parametrize(
    "number",
    [
        n
        for n in range(1, PREVENTIVE["in_force"] + 1)
        if n not in (*PREVENTIVE["balloon"], *PREVENTIVE["primary_category"])
    ],
)
def test_each_item_an_airplane_owner_may_do_has_a_card(number: int) -> None:
    assert any(f"A(c)({number})" in card.preventive for card in LIBRARY.cards)


def shipped(line: dict[str, Any]) -> RequirementTemplate:
    [found] = [each for each in LIBRARY.requirements if each.citation == line["citation"]]
    return found


@pytest.mark.parametrize("line", INTERVALS, ids=lambda line: line["citation"])
def test_an_interval_is_the_rules_in_number_and_unit(line: dict[str, Any]) -> None:
    interval = shipped(line).interval
    if line["unit"] == "none":
        assert interval is None
        return
    assert interval is not None
    units = ("hours", "cycles", "calendar_months", "months", "days")
    given = {unit: number for unit in units if (number := getattr(interval, unit)) is not None}
    assert given == {line["unit"]: line["number"]}
    assert interval.recurring is not line.get("once", False)


@pytest.mark.parametrize("line", INTERVALS, ids=lambda line: line["citation"])
def test_an_interval_may_be_overflown_only_as_the_rule_says(line: dict[str, Any]) -> None:
    interval = shipped(line).interval
    overfly = interval.enroute_excess_hours if interval is not None else Decimal(0)
    assert overfly == line.get("overfly_hours", 0)


@pytest.mark.parametrize("line", INTERVALS, ids=lambda line: line["citation"])
def test_an_interval_binds_and_bites_on_the_use_the_rule_names(line: dict[str, Any]) -> None:
    template = shipped(line)
    assert str(template.force) == line.get("force", "rule")
    assert {str(use) for use in template.bites_on} == set(line.get("bites_on", ["any"]))


def test_the_program_holds_no_binding_interval_that_the_rules_do_not() -> None:
    binding = {each.citation for each in LIBRARY.requirements if each.force.binding and each.interval}
    assert binding <= {line["citation"] for line in INTERVALS}


def test_the_authorization_ends_on_the_day_the_rule_names() -> None:
    end = LISTS["persons"]["authorization_ends"]
    for issued in (date(2025, 4, 1), date(2026, 11, 25), date(2027, 3, 31), date(2027, 4, 1)):
        card = Certificate(CertificateKind.INSPECTION_AUTHORIZATION, "", valid_from=issued)
        day = expires_on(card, RULES.expiry)
        assert day is not None
        assert (day.month, day.day, day.year % 2) == (end["month"], end["day"], 1)
        assert issued <= day < issued + timedelta(days=732)


def test_missed_activity_rests_the_privileges_after_31_march_of_the_even_year() -> None:
    checked = LISTS["persons"]["activity_checked"]
    both = frozenset({"airframe", "powerplant"})
    held = (
        Certificate(CertificateKind.MECHANIC, "", both, months_worked_in_24=Decimal(24)),
        Certificate(
            CertificateKind.INSPECTION_AUTHORIZATION, "", valid_from=date(2025, 4, 1), activity_met=False
        ),
    )
    look = WorkPiece("look", WorkKind.INSPECT, inspection="annual")
    days = [date(2026, 1, 1) + timedelta(days=n) for n in range(365)]
    person, asked = Person("", held), (Airplane(), Standing.NONE)
    may = [authority(look, person, *asked, day, RULES).may_sign for day in days]
    through = days[sum(may) - 1]
    assert (through.month, through.day, through.year % 2) == (checked["month"], checked["day"], 0)
    assert may == sorted(may, reverse=True), "once they rest they don't come back by themselves"


def test_recent_experience_is_six_months_of_work() -> None:
    assert LISTS["persons"]["recent_experience_months"] == MONTHS_OF_WORK
