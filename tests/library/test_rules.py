"""Reading rules from TOML."""

from __future__ import annotations

from datetime import date

import pytest

from annual_planner.library.rules import load_rules, read_rules
from annual_planner.trade.authority import MayDo, authority
from annual_planner.trade.cards import WorkKind
from annual_planner.trade.clauses import FACTS, Decides, Expiry
from annual_planner.trade.people import Airplane, Certificate, CertificateKind, Person, Standing, WorkPiece
from annual_planner.trade.refused import Refused

OTHER = """
name = "elsewhere"
read_on = 2026-11-25

[[clause]]
key = "L1"
citation = "Law 1"
says = "An inspector of the guild does all work."
decides = "do"
basis = "repair station certificate"
when = [{ fact = "station.ratings", all = ["airframe", "propeller"] }]
"""


def test_the_shipped_rules_are_read_whole() -> None:
    rules = load_rules("us")
    assert len(rules.items) == 31
    assert [item.ref for item in rules.items] == [f"A(c)({n})" for n in range(1, 32)]
    assert {clause.decides for clause in rules.clauses} == set(Decides)
    assert all("CFR" in clause.citation for clause in rules.clauses)


def test_every_fact_that_rules_ask_for_is_used_or_known() -> None:
    asked = {condition.fact for clause in load_rules().clauses for condition in clause.when}
    assert asked <= set(FACTS)
    assert set(FACTS) - asked == set(), "a fact no shipped rule asks for is dead weight"


def test_another_set_of_rules_stands_beside_the_shipped_one() -> None:
    rules = read_rules("elsewhere.toml", OTHER)
    rated = Certificate(CertificateKind.REPAIR_STATION, "", frozenset({"airframe", "propeller"}))
    half = Certificate(CertificateKind.REPAIR_STATION, "", frozenset({"airframe"}))
    work = WorkPiece("a task", WorkKind.REPAIR)
    answers = [
        authority(work, Person("x", (held,)), Airplane(), Standing.NONE, date(2026, 11, 25), rules)
        for held in (rated, half)
    ]
    assert [a.may_do for a in answers] == [MayDo.YES, MayDo.NO]


def refused(text: str) -> str:
    with pytest.raises(Refused) as caught:
        read_rules("mine.toml", text)
    assert caught.value.remedy
    return caught.value.said


@pytest.mark.parametrize(
    ("wrong", "right", "told"),
    [
        (
            "station.ratings",
            "station.rating",
            "no fact is called 'station.rating'; expected one of work.kind",
        ),
        ('"propeller"]', '"propellor"]', "station.ratings is never 'propellor'; expected among airframe"),
        ("all =", "every =", "clause 1, when 1, every"),
        (", all = [", ", any = ['airframe'], all = [", "exactly one of 'any', 'all', 'none'"),
        ('decides = "do"', 'decides = "allow"', "clause 1, decides"),
        ('decides = "do"', 'decides = "forbid"', "a clause that decides 'forbid' needs 'takes'"),
        ('decides = "do"', 'decides = "entry"', "a clause that decides 'entry' needs 'gives'"),
        ('basis = "repair station certificate"\n', "", "a clause that decides 'do' needs 'basis'"),
        ('citation = "Law 1"\n', "", "clause 1, citation: Field required"),
        ('says = "An', "says = An", "not readable as TOML"),
        ("read_on = 2026-11-25", "", "read_on: Field required"),
        ("read_on = 2026-11-25", f"read_on = {'9' * 5000}", "not readable as TOML"),
        ("read_on = 2026-11-25", "read_on = true", "read_on"),
        ('citation = "Law 1"', 'citation = "Law \\u009b1m"', "clause 1, citation"),
    ],
)
def test_a_fault_is_told_with_its_file_place_and_what_was_expected(wrong: str, right: str, told: str) -> None:
    assert wrong in OTHER
    said = refused(OTHER.replace(wrong, right, 1))
    assert said.startswith("mine.toml can't be used:")
    assert told in said


def test_all_faults_are_told_at_once() -> None:
    said = refused(OTHER.replace("station.ratings", "x").replace('"Law 1"', '""').replace('"do"', '"no"'))
    assert all(place in said for place in ("clause 1, when 1:", "clause 1, citation:", "clause 1, decides:"))


def test_a_clause_given_twice_is_refused() -> None:
    clause = OTHER[OTHER.index("[[clause]]") :]
    assert "clause given more than once: L1" in refused(OTHER + clause)


def test_an_expiry_that_is_no_day_of_the_year_is_refused() -> None:
    assert "expiry" in refused(OTHER.replace("[[clause]]", "[expiry]\nmonth = 2\nday = 30\n[[clause]]", 1))


def test_rules_that_are_not_there_are_refused() -> None:
    with pytest.raises(Refused, match="no rules called 'moon'"):
        load_rules("moon")


@pytest.mark.parametrize(
    ("years", "expected"),
    [("every", date(2026, 3, 31)), ("odd", date(2027, 3, 31)), ("even", date(2026, 3, 31))],
)
def test_an_authorization_runs_out_on_its_day_of_the_right_year(years: str, expected: date) -> None:
    assert Expiry(3, 31, years).next_from(date(2025, 4, 1)) == expected
    assert Expiry(3, 31, years).next_from(expected) == expected
