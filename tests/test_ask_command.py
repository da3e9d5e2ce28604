"""The command `ask`: questions to rules are listed, told and answered, with no fleet."""

from __future__ import annotations

import json
import shlex

import pytest

from annual_planner.__main__ import main
from annual_planner.trade.rule_questions import QUESTIONS, question_named

Capture = pytest.CaptureFixture[str]


def test_without_a_key_every_question_stands_under_its_group(capsys: Capture) -> None:
    assert main(["ask"]) == 0
    lines = capsys.readouterr().out.splitlines()
    for each in QUESTIONS:
        at = next(n for n, line in enumerate(lines) if line.split()[:1] == [each.key])
        assert lines[at].endswith(each.title)
        heading = next(line for line in reversed(lines[:at]) if not line.startswith(" "))
        assert heading == each.about


@pytest.mark.parametrize("key", [each.key for each in QUESTIONS])
def test_a_key_alone_tells_every_fact_with_what_may_be_typed(key: str, capsys: Capture) -> None:
    assert main(["ask", key]) == 0
    said = capsys.readouterr().out
    asked = question_named(key)
    assert asked.citation in said
    for fact in asked.facts:
        [line] = [line for line in said.splitlines() if line.split()[:1] == [fact.key]]
        assert fact.label in line
        assert all(choice in line for choice in fact.choices)
        assert ("may be left out" in line) is not fact.needed


@pytest.mark.parametrize("key", [each.key for each in QUESTIONS])
def test_the_example_of_a_question_is_one_that_can_be_taken(key: str, capsys: Capture) -> None:
    assert main(["ask", key]) == 0
    *_, example = capsys.readouterr().out.splitlines()
    words = shlex.split(example.partition("annual-planner ")[2])
    assert words[:2] == ["ask", key]
    status = main(words)
    assert (status, capsys.readouterr().err) == (0, "")


def test_the_answer_is_a_sentence_with_its_working(capsys: Capture) -> None:
    assert main(["ask", "locator-battery-use", "use_minutes=40 25"]) == 0
    first, *rest = capsys.readouterr().out.splitlines()
    assert first.endswith("Replace or recharge the battery now.")
    assert "  input: Minutes used = 40, 25 min (as stated)" in rest
    assert "  step: 40 min + 25 min → 65 min" in rest
    assert any("14 CFR 91.207(c)(1)" in line for line in rest)


def test_the_answer_as_json_is_the_same(capsys: Capture) -> None:
    words = ["ask", "vor-error", "check=ground-point", "error_deg=-4,5"]
    assert main([*words, "--as", "json"]) == 0
    told = json.loads(capsys.readouterr().out)
    assert told["result"] == "The receiver fails at a limit of 4 degrees."
    assert main(words) == 0
    assert capsys.readouterr().out.startswith(f"{told['title']}: {told['result']}\n")


def test_every_fault_of_what_was_stated_is_told_at_once(capsys: Capture) -> None:
    stated = ["removed_on=2027-02-30", "flight_on=soon", "entry=perhaps", "entry=yes", "color=red", "placard"]
    assert main(["ask", "locator-removed", *stated]) == 2
    error = capsys.readouterr().err
    for said in (
        "'2027-02-30' is not in the calendar",
        "'soon' is no day; expected is a day such as 2027-03-15",
        "'perhaps' is neither yes nor no; expected is yes or no",
        "'entry' is stated twice",
        "'color' is not asked for",
        "'placard' states no fact",
        "Placard in the pilot's view (placard): nothing is stated",
    ):
        assert said in error


def test_a_fact_stated_twice_is_not_answered(capsys: Capture) -> None:
    assert main(["ask", "locator-battery-use", "use_minutes=40", "use_minutes=25"]) == 2
    told = capsys.readouterr()
    assert told.out == ""
    assert "'use_minutes' is stated twice" in told.err


def test_a_key_that_is_nearly_right_is_answered_with_those_near_it(capsys: Capture) -> None:
    assert main(["ask", "vor-eror", "check=airway"]) == 2
    assert "vor-error" in capsys.readouterr().err
    assert main(["ask", "transponder"]) == 2
    assert "transponder-use" in capsys.readouterr().err


def test_facts_that_cannot_both_be_so_are_refused_with_what_to_do(capsys: Capture) -> None:
    stated = ["airborne_hours=1.7", "running_hours=1.6"]
    assert main(["ask", "flight-time-in-service", *stated]) == 2
    assert "Correct one of the two times." in capsys.readouterr().err
