"""`ask`: a question to a rule, answered from stated facts."""

from __future__ import annotations

import argparse
from collections.abc import Sequence
from itertools import groupby
from shlex import quote
from typing import TYPE_CHECKING

from annual_planner.commands.options import DONE, add_command, form_option, words
from annual_planner.trade.refused import Refused

if TYPE_CHECKING:
    from annual_planner.commands.options import Commands
    from annual_planner.trade.rule_questions import Fact, RuleQuestion
    from annual_planner.trade.working import Working


def add(commands: Commands) -> None:
    """Add the command."""
    said = "put a question to a rule, such as: ask locator-battery-use use_minutes='40 25'"
    ask = add_command(commands, "ask", said, _ask)
    ask.add_argument(
        "key", type=words, nargs="?", metavar="KEY", help="which question; without it all are listed"
    )
    ask.add_argument(
        "facts",
        type=words,
        nargs="*",
        metavar="FACT=VALUE",
        help="the facts as stated; without them it is said which are asked for",
    )
    form_option(ask, "text", "json")


def _ask(asked: argparse.Namespace) -> int:
    from annual_planner.exchange.tables import as_json
    from annual_planner.trade.rule_questions import QUESTIONS, question_named
    from annual_planner.trade.working import as_dict, as_lines

    if asked.key is not None and asked.facts:
        working = _answer(question_named(asked.key), asked.facts)
        print(as_json(as_dict(working)) if asked.form == "json" else "\n".join(as_lines(working)))
        return DONE
    listed = QUESTIONS if asked.key is None else (question_named(asked.key),)
    if asked.form == "json":
        print(as_json([_as_values(each) for each in listed]))
    else:
        print("\n".join(_all_lines(listed) if asked.key is None else _lines(listed[0])))
    return DONE


def _answer(question: RuleQuestion, stated: Sequence[str]) -> Working:
    """Every fault is told at once, of how the facts are written as well as of what they say."""
    from annual_planner.trade.rule_questions import read_facts

    typed: dict[str, str] = {}
    faults: list[str] = []
    for word in stated:
        key, equals, value = word.partition("=")
        if not equals:
            faults.append(f"'{word}' states no fact: write it as FACT=VALUE.")
        elif key in typed:
            faults.append(f"'{key}' is stated twice.")
        typed.setdefault(key if equals else "", value)
    typed.pop("", None)
    try:
        given = read_facts(question, typed)
    except Refused as refused:
        raise Refused("\n".join([*faults, refused.said]), refused.remedy) from refused
    if faults:
        raise Refused("\n".join(faults), f"'annual-planner ask {question.key}' tells what it asks for.")
    return question.answer(given).working


def _all_lines(listed: Sequence[RuleQuestion]) -> list[str]:
    """The questions by their groups, each with its key."""
    width = max(len(each.key) for each in listed)
    lines: list[str] = []
    for about, questions in groupby(listed, key=lambda each: each.about):
        lines.append(about)
        lines += [f"  {each.key:<{width}}  {each.title}" for each in questions]
    return [*lines, "", "'annual-planner ask KEY' tells which facts a question asks for."]


def _lines(question: RuleQuestion) -> list[str]:
    """What one question asks for, and how it is put."""
    width = max(len(fact.key) for fact in question.facts)
    facts = [f"  {fact.key:<{width}}  {_asked_for(fact)}" for fact in question.facts]
    needed = [fact for fact in question.facts if fact.needed] or question.facts[:1]
    example = " ".join(f"{fact.key}={quote(_example(fact))}" for fact in needed)
    return [
        f"{question.title} ({question.citation})",
        *facts,
        "",
        f"Such as: annual-planner ask {question.key} {example}",
    ]


def _asked_for(fact: Fact) -> str:
    said = f"{fact.label}: {fact.expected}" + ("" if fact.needed else "; may be left out")
    return f"{said}. {fact.tip}" if fact.tip else said


def _example(fact: Fact) -> str:
    """Something that may be typed for a fact, to show how it is written."""
    typed = {"day": "2027-03-15", "number": f"{max(fact.least, 1)}", "numbers": "40 25", "yes or no": "yes"}
    return typed.get(fact.kind) or fact.choices[0]


def _as_values(question: RuleQuestion) -> dict[str, object]:
    return {
        "key": question.key,
        "title": question.title,
        "about": question.about,
        "citation": question.citation,
        "facts": [
            {
                "key": fact.key,
                "label": fact.label,
                "kind": fact.kind,
                "unit": fact.unit,
                "choices": list(fact.choices),
                "needed": fact.needed,
                "tip": fact.tip,
            }
            for fact in question.facts
        ],
    }
