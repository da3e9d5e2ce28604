"""What the commands take as words, numbers and days, and how they say what they can't take."""

from __future__ import annotations

import argparse
from collections.abc import Iterator
from pathlib import Path

import pytest

from annual_planner.__main__ import _families, _parser, main, read_words
from annual_planner.commands.screen import open_window
from annual_planner.store.opening import open_fleet


def commands() -> Iterator[tuple[str, argparse.ArgumentParser]]:
    """Every command with its parser."""
    [action] = (
        each for each in _parser(_families())._actions if isinstance(each, argparse._SubParsersAction)
    )
    yield from action.choices.items()


@pytest.mark.parametrize(
    ("words", "said"),
    [
        ("weeks --fleet F --seconds nan", "not between 0 and"),
        ("weeks --fleet F --seconds -5", "not between 0 and"),
        ("layout --fleet F --package P --seconds inf", "not between 0 and"),
        ("layout --fleet F --package P --seconds soon", "no number of seconds"),
        ("layout --fleet F --package P --hour-worth nan", "not above 0"),
        ("layout --fleet F --package P --hour-worth 1e300", "not above 0"),
        ("layout --fleet F --package P --from 08:00", "no moment"),
        ("engine --fleet F --aircraft N0 --position nan", "no number from 1"),
        ("engine --fleet F --aircraft N0 --position ²", "no number from 1"),
        ("engine --fleet F --aircraft N0 --position 0", "no number from 1"),
        ("entries --fleet F --package P --first-label -4", "no number from 1"),
        ("due --fleet F --until 31.12.2026", "not a day"),
        ("due --fleet F --until 2026-02-30", "not a day"),
        ("plan --fleet F --aircraft N0 --start yesterday", "not a day"),
        ("plant --fleet F", "'plan'"),
        (f"due --fleet F --aircraft {'x' * 100_000}", "longer than"),
        (f"due --fleet F --until {'9' * 100_000}", "not a day"),
        (f"explain --fleet F {'x' * 100_000}", "longer than"),
        (f"ask {'x' * 100_000}", "longer than"),
    ],
)
def test_what_cannot_be_meant_is_said_in_one_short_line(
    words: str, said: str, capsys: pytest.CaptureFixture[str]
) -> None:
    with pytest.raises(SystemExit) as left:
        main(words.split())
    error = capsys.readouterr().err
    assert (left.value.code, error.count("\n")) == (2, 1)
    assert said in error
    assert len(error) < 400


@pytest.mark.parametrize(("name", "command"), list(commands()))
def test_every_option_and_word_of_a_command_has_its_line_of_help(
    name: str, command: argparse.ArgumentParser
) -> None:
    silent = [action.dest for action in command._actions if not action.help]
    assert silent == []


def test_an_option_means_the_same_in_every_command() -> None:
    placeholders: dict[str, set[str]] = {}
    for _, command in commands():
        for action in command._actions:
            for option in action.option_strings:
                placeholders.setdefault(option, set()).add(str(action.metavar))
    apart = {"--out", "--paper"}  # a file of two kinds; two sizes, and for entries label sheets too
    assert {option for option, shown in placeholders.items() if len(shown) > 1} <= apart


def test_where_there_is_nothing_yet_it_is_said_what_to_do(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    fleet = str(tmp_path / "new.fleet")
    open_fleet(fleet, create=True).close()
    assert main(["due", "--fleet", fleet]) == 0
    assert "add one in the window" in capsys.readouterr().out
    assert main(["review", "--fleet", fleet]) == 0
    assert capsys.readouterr().out == "No discrepancy is open.\n"
    assert main(["due", "--fleet", fleet, "--as", "json"]) == 0
    assert capsys.readouterr().out == "[]\n"


@pytest.mark.parametrize(
    ("given", "fleet", "shop"),
    [
        ([], "", None),
        (["--fleet", "a.fleet"], "a.fleet", None),
        (["--shop", "own", "--fleet", "due"], "due", Path("own")),
        (["--fleet=a.fleet"], "a.fleet", None),
    ],
)
def test_without_a_command_the_window_is_asked_for(given: list[str], fleet: str, shop: Path | None) -> None:
    asked = read_words(given)
    assert (asked.command, asked.fleet, asked.shop) == (open_window, fleet, shop)


@pytest.mark.parametrize("given", [["--fleet"], ["--fleet", "--shop"], ["--fleet", "a", "b"], ["fleet", "a"]])
def test_what_is_no_option_of_the_window_is_refused_with_the_way_to_the_help(
    given: list[str], capsys: pytest.CaptureFixture[str]
) -> None:
    with pytest.raises(SystemExit) as left:
        read_words(given)
    assert left.value.code == 2
    assert "--help" in capsys.readouterr().err
