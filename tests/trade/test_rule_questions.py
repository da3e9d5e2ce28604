"""Questions to rules: what they ask for, how they are found, and that each answer shows its whole working."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from itertools import groupby

import pytest
from hypothesis import given
from hypothesis import strategies as st

from annual_planner.trade.refused import Refused
from annual_planner.trade.rule_questions import (
    QUESTIONS,
    Fact,
    RuleQuestion,
    ask_rule,
    question_named,
)
from annual_planner.trade.working import Working
from tests.workings import lacks

D = Decimal
EVERY = pytest.mark.parametrize("asked", QUESTIONS, ids=[each.key for each in QUESTIONS])
DAYS = st.dates(date(1990, 1, 1), date(2090, 12, 31))


def answered(asked: RuleQuestion, typed: dict[str, str]) -> Working | Refused:
    """The working; or the refusal of facts that can't be taken or can't both be so."""
    try:
        return ask_rule(asked.key, typed)
    except Refused as refused:
        return refused


def typed_for(fact: Fact) -> st.SearchStrategy[str]:
    """Words that a person may type for a fact."""
    if fact.kind == "day":
        return DAYS.map(date.isoformat)
    if fact.kind == "choice":
        return st.sampled_from(fact.choices)
    if fact.kind == "yes or no":
        return st.sampled_from(("yes", "no"))
    places = 0 if fact.whole else 1
    numbers = st.decimals(max(fact.least, D(-9999)), min(fact.most, D(9999)), places=places).map(str)
    return numbers if fact.kind == "number" else st.lists(numbers, min_size=1, max_size=9).map(" ".join)


def filled(asked: RuleQuestion) -> st.SearchStrategy[dict[str, str]]:
    """What is needed, and some of the rest."""
    needed = {fact.key: typed_for(fact) for fact in asked.facts if fact.needed}
    others = {fact.key: typed_for(fact) for fact in asked.facts if not fact.needed}
    return st.fixed_dictionaries(needed, optional=others)


def test_questions_are_told_apart_and_those_of_a_group_stand_together() -> None:
    assert len({each.key for each in QUESTIONS}) == len({each.title for each in QUESTIONS}) == len(QUESTIONS)
    groups = [about for about, _ in groupby(QUESTIONS, key=lambda each: each.about)]
    assert len(groups) == len(set(groups))
    assert all(each.key == each.key.casefold().replace(" ", "-") for each in QUESTIONS)


@EVERY
def test_a_question_cites_its_rule_and_asks_for_facts_that_are_told_apart(asked: RuleQuestion) -> None:
    assert asked.title.endswith("?")
    assert asked.about
    assert asked.citation.startswith("14 CFR ")
    assert asked.facts
    keys = [fact.key for fact in asked.facts]
    assert len(set(keys)) == len({fact.label for fact in asked.facts}) == len(keys)
    assert all(key.isidentifier() for key in keys)
    for fact in asked.facts:
        assert (len(fact.choices) > 1) == (fact.kind == "choice")


@EVERY
@given(data=st.data())
def test_whatever_is_answered_is_one_sentence_with_a_whole_working(
    asked: RuleQuestion, data: st.DataObject
) -> None:
    typed = data.draw(filled(asked))
    working = answered(asked, typed)
    if isinstance(working, Refused):
        assert working.remedy
        return
    assert lacks(working, whole=True) == []
    assert working.title == asked.title
    assert working.result.endswith(".")
    assert [each.name for each in working.inputs] == [fact.label for fact in asked.facts]
    assert {each.name for each in working.inputs if each.value == "not stated"} == {
        fact.label for fact in asked.facts if fact.key not in typed
    }
    assert all(rule.citation.startswith("14 CFR ") and rule.says for rule in working.rules)
    assert working.assumptions
    cited = "; ".join(rule.citation for rule in working.rules)
    assert any(part in cited for part in asked.citation.split("; "))


def test_a_question_is_found_by_its_key_and_a_near_one_names_it() -> None:
    assert all(question_named(f" {each.key.upper()} ") is each for each in QUESTIONS)
    with pytest.raises(Refused, match="locator-battery-use"):
        question_named("locator-batery")
    with pytest.raises(Refused, match="all questions are listed"):
        question_named("weather")
