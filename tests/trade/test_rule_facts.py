"""How the facts of a question to a rule are read from what a person types, and how faults are told."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from annual_planner.trade.refused import Refused
from annual_planner.trade.rule_questions import QUESTIONS, Fact, RuleQuestion, Value, ask_rule, read_facts

D = Decimal
A_DAY, A_NUMBER = Fact("fact", "A day", "day"), Fact("fact", "A number", "number", least=D(-5), most=D(50))
SOME, WHOLE = Fact("fact", "Some", "numbers"), Fact("fact", "Whole", "number", whole=True)
EITHER = Fact("fact", "Either", "yes or no")
ONE_OF = Fact("fact", "One of", "choice", choices=("ground point", "airway"))


def read(fact: Fact, text: str) -> object:
    return read_facts(QUESTIONS[0]._replace(facts=(fact,)), {"fact": text})["fact"]


@pytest.mark.parametrize(
    ("fact", "text", "meant"),
    [
        (A_DAY, " 2027-03-15 ", date(2027, 3, 15)),
        (A_DAY, "1900-01-01", date(1900, 1, 1)),
        (A_DAY, "2199-12-31", date(2199, 12, 31)),
        (A_NUMBER, "12,5", D("12.5")),
        (A_NUMBER, "-5", D(-5)),
        (A_NUMBER, "+7", D(7)),
        (SOME, "40 25", (D(40), D(25))),
        (SOME, "40, 25", (D(40), D(25))),
        (SOME, "40; 25.5", (D(40), D("25.5"))),
        (SOME, "1 " * 200, (D(1),) * 200),
        (WHOLE, "12.0", D(12)),
        (EITHER, "YES", True),
        (EITHER, "n", False),
        (ONE_OF, "Ground-Point", "ground point"),
    ],
)
def test_facts_are_read_as_people_write_them(fact: Fact, text: str, meant: object) -> None:
    assert read(fact, text) == meant


@pytest.mark.parametrize(
    ("fact", "text", "wrong"),
    [
        (A_DAY, "15.3.2027", "is no day"),
        (A_DAY, "20270315", "is no day"),
        (A_DAY, "2027-02-29", "not in the calendar"),
        (A_DAY, "1899-12-31", "outside the years"),
        (A_DAY, "9999-12-31", "outside the years"),
        (A_NUMBER, "12,000", "two ways"),
        (A_NUMBER, "1e3", "no number"),
        (A_NUMBER, "nan", "no number"),
        (A_NUMBER, "٣", "no number"),
        (A_NUMBER, "50.01", "out of bounds"),
        (A_NUMBER, "-6", "out of bounds"),
        (A_NUMBER, "1.2.3", "no number"),
        (SOME, "40,25", "two ways"),
        (SOME, "40 x", "no number"),
        (SOME, ",", "numbers are taken"),
        (SOME, "1 " * 201, "numbers are taken"),
        (WHOLE, "1.5", "not whole"),
        (EITHER, "maybe", "neither yes nor no"),
        (ONE_OF, "test bench", "none of the choices"),
        (ONE_OF, "x" * 100_000, "signs"),
        (EITHER, "  ", "nothing is stated"),
    ],
)
def test_what_cannot_be_taken_is_told_by_its_fact_with_what_was_expected(
    fact: Fact, text: str, wrong: str
) -> None:
    with pytest.raises(Refused, match=wrong) as refused:
        read(fact, text)
    assert refused.value.said.startswith(f"{fact.label} (fact): ")
    assert fact.expected in refused.value.said
    assert len(refused.value.said) < 300


def test_every_fault_is_told_at_once() -> None:
    typed = {"check": "by ear", "error_deg": "much", "place": "here"}
    with pytest.raises(Refused) as refused:
        ask_rule("vor-error", typed)
    assert [line.split(":")[0] for line in refused.value.said.splitlines()] == [
        "'place' is not asked for.",
        "How it was checked (check)",
        "Bearing error (error_deg)",
    ]


def read_or_refused(asked: RuleQuestion, typed: dict[str, str]) -> dict[str, Value] | Refused:
    try:
        return read_facts(asked, typed)
    except Refused as refused:
        return refused


@given(st.text(max_size=80))
def test_whatever_is_typed_is_taken_or_refused_with_what_is_asked_for(text: str) -> None:
    for asked in QUESTIONS:
        keys = {fact.key for fact in asked.facts}
        found = read_or_refused(asked, dict.fromkeys(keys, text))
        if isinstance(found, Refused):
            assert all(key in found.remedy for key in keys)
        else:
            assert set(found) <= keys


@given(st.text(max_size=80))
def test_a_fact_that_is_not_asked_for_is_never_taken(key: str) -> None:
    known = {fact.key for asked in QUESTIONS for fact in asked.facts}
    if key not in known:
        with pytest.raises(Refused, match="is not asked for"):
            ask_rule("locator-on-flight", {key: "yes"})
