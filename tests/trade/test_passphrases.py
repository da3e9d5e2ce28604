from __future__ import annotations

import unicodedata

import pytest

from annual_planner.library.passphrases import blocked_phrases
from annual_planner.trade.passphrases import LONGEST, MOST_TRIES, WAITS_S, normalised, wrong_with

OWN = ("Ann Quill",)


@pytest.mark.parametrize(
    "phrase",
    [
        "otter lamp violin quay",
        "  spaces count, too  ",
        "ein Bär sägt im Öl",
        "梯子と油と古い地図帳と青い鳥の羽",
        "x" * 0 + "mole fence tundra " * 3 + "kettle rain",
    ],
)
def test_long_phrases_of_any_letters_are_taken(phrase: str) -> None:
    assert wrong_with(phrase, blocked_phrases(), OWN) == ""


@pytest.mark.parametrize(
    ("phrase", "reason"),
    [
        ("short of fifteen"[:14], "at least 15"),
        ("aaaaaaaaaaaaaaaaaaaa", "repeats"),
        ("abcabcabcabcabcabc", "repeats"),
        ("Password Password 1", "guesses"),
        ("P A S S W O R D 1234567890", "guesses"),
        ("correct horse battery staple", "guesses"),
        ("Ann Quill Ann Quill 1985", "guesses"),
        ("annual inspection 2026", "guesses"),
        ("tab\tin the middle of it", "typed again"),
        ("otter lamp " * 30, str(LONGEST)),
    ],
)
def test_what_is_guessed_first_is_refused_with_its_reason(phrase: str, reason: str) -> None:
    assert reason in wrong_with(phrase, blocked_phrases(), OWN)


def test_at_least_64_characters_are_allowed() -> None:
    phrase = "otter lamp violin quay mole fence tundra kettle rain ladder bell stone"
    assert len(phrase) > 64
    assert wrong_with(phrase, blocked_phrases(), OWN) == ""


def test_every_keyboards_way_to_write_a_letter_is_the_same() -> None:
    phrase = "ein Bär sägt im Öl"
    assert normalised(unicodedata.normalize("NFD", phrase)) == normalised(phrase)


def test_waits_grow_to_an_hour_over_the_tries() -> None:
    assert list(WAITS_S) == sorted(WAITS_S)
    assert (len(WAITS_S), WAITS_S[2], WAITS_S[-1]) == (MOST_TRIES, 30, 3600)
