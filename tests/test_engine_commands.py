"""The commands about one engine: its table, its documented values, the working of each number."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from annual_planner.__main__ import main


@pytest.fixture(scope="module")
def fleet(module_sample: Path) -> str:
    return str(module_sample)


def test_the_table_names_every_plug_and_every_cylinder(
    fleet: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["engine", "--fleet", fleet, "--aircraft", "N012MH"]) == 0
    said = capsys.readouterr().out
    for row in ("T", "B"):
        for cylinder in range(1, 5):
            assert f"\n{cylinder}{row} " in said
    assert "compression test of" in said


def test_the_values_have_the_documented_keys(fleet: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["engine", "--fleet", fleet, "--aircraft", "N012MH", "--as", "json"]) == 0
    values = json.loads(capsys.readouterr().out)
    assert set(values) == {
        "engine", "places", "tray", "spares", "removed", "rotations", "schemes", "proposal", "torque",
        "restrictor_in", "rule", "hours_to_annual", "outlook", "tests", "cylinders",
    }  # fmt: skip
    assert {each["place"] for each in values["places"]} == {f"{n}{row}" for n in range(1, 5) for row in "TB"}
    moves = {each["place"]: each["next_place"] for each in values["places"]}
    assert sorted(moves.values()) == sorted(moves), "every place gets one plug"


def steps_of(working: dict[str, Any]) -> list[object]:
    """Inputs and steps of a working and of the workings it rests on."""
    inside = [each for part in working["parts"] for each in steps_of(part)]
    return [*working["inputs"], *working["steps"], *inside]


@pytest.mark.parametrize(
    "asked",
    ["", "plug 3T", "cylinder 3", "rotation", "proposal", "polarity", "test", "torque", "set", "hours"],
)
def test_every_number_of_the_engine_shows_its_working(
    fleet: str, capsys: pytest.CaptureFixture[str], asked: str
) -> None:
    words = ["N012MH", "engine", "1", *asked.split()]
    assert main(["explain", "--fleet", fleet, *words, "--as", "json"]) == 0
    working = json.loads(capsys.readouterr().out)
    assert working["result"]
    assert steps_of(working)


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["engine", "--aircraft", "N099ZZ"], "N099ZZ"),
        (["engine", "--aircraft", "N012MH", "--position", "3"], "3"),
        (["explain", "N012MH", "engine", "1", "plug", "9T"], "9"),
    ],
)
def test_what_is_not_there_is_one_line(
    fleet: str, capsys: pytest.CaptureFixture[str], words: list[str], said: str
) -> None:
    assert main([words[0], "--fleet", fleet, *words[1:]]) == 2
    error = capsys.readouterr().err
    assert said in error
    assert error.count("\n") == 1


def test_sheets_are_written_beside_the_table(
    fleet: str, capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    paper = tmp_path / "tray.pdf"
    words = ["engine", "--fleet", fleet, "--aircraft", "N012MH", "--pdf", str(paper), "--sheet", "tray"]
    assert main(words) == 0
    assert f"engine sheets: {paper} (1 page)" in capsys.readouterr().err
    assert paper.read_bytes().startswith(b"%PDF")
