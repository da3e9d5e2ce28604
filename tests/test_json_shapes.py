"""What scripts read is shaped as docs/json.md says, key for key."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from annual_planner.__main__ import main
from tests.json_shape import differences, said_of, shape_of

PACKAGE = "N012MH-2026-1"
COMMANDS = [
    ("due",),
    ("plan", "--aircraft", "N012MH", "--start", "2026-05-13"),
    ("engine", "--aircraft", "N012MH"),
    ("engine", "--aircraft", "N081YA"),
    ("explain", "N012MH", "annual"),
    ("weeks", "--seconds", "0"),
    ("review",),
    ("layout", "--package", PACKAGE, "--seconds", "0"),
]

QUESTIONS: list[tuple[str, ...]] = [
    ("ask",),
    ("ask", "vor-error"),
    ("ask", "vor-error", "check=airway", "error_deg=5"),
]


@pytest.fixture(scope="module")
def fleet(module_sample: Path) -> str:
    """The sample with the guided airplane's annual planned."""
    path = str(module_sample)
    assert main(["plan", "--fleet", path, "--aircraft", "N012MH", "--start", "2026-05-13"]) == 0
    return path


@pytest.mark.parametrize("words", COMMANDS, ids=lambda words: "-".join(words[:3]))
def test_the_page_says_what_a_command_prints(
    words: tuple[str, ...], fleet: str, capsys: pytest.CaptureFixture[str]
) -> None:
    name, *options = words
    capsys.readouterr()
    assert main([name, "--fleet", fleet, *options, "--as", "json"]) == 0
    assert differences(json.loads(capsys.readouterr().out), name) == []


@pytest.mark.parametrize("words", QUESTIONS, ids=lambda words: "-".join(words[:3]))
def test_the_page_says_what_a_question_to_a_rule_prints(
    words: tuple[str, ...], capsys: pytest.CaptureFixture[str]
) -> None:
    assert main([*words, "--as", "json"]) == 0
    assert differences(json.loads(capsys.readouterr().out), "ask") == []


def test_every_command_that_prints_json_is_on_the_page() -> None:
    for name in {words[0] for words in COMMANDS + QUESTIONS} | {"entries"}:
        assert said_of(name), name


def test_a_key_too_many_and_one_too_few_are_told_with_their_place() -> None:
    line = dict.fromkeys(said_of("due")["[]"])
    del line["state"]
    assert differences([line], "due") != []
    assert differences([{**line, "state": "", "colour": ""}], "due") != []
    assert differences([{**line, "state": ""}], "due") == []


def test_a_working_within_another_value_stands_as_one_word() -> None:
    working = dict.fromkeys(("title", "result", "inputs", "steps", "rules", "assumptions", "parts"))
    assert shape_of({"cost": {"working": working}})["cost.working"] == {"a working"}
    assert shape_of(working)[""] == set(working)
