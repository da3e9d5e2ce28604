from __future__ import annotations

import unicodedata
from datetime import datetime
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from annual_planner.trade.canonical import (
    LARGEST_WHOLE,
    NotCanonical,
    canonical_bytes,
    measured,
    moment_text,
    read_canonical,
)
from annual_planner.trade.shown import shown

texts = st.text(st.characters(exclude_categories=["Cs"]))
wholes = st.integers(-LARGEST_WHOLE, LARGEST_WHOLE)
values = st.recursive(
    st.none() | st.booleans() | wholes | texts,
    lambda inner: (
        st.lists(inner, max_size=4)
        | st.dictionaries(texts.map(lambda text: unicodedata.normalize("NFC", text)), inner, max_size=4)
    ),
    max_leaves=12,
)


@given(values)
def test_canonical_bytes_read_back_and_are_the_same_again(value: object) -> None:
    written = canonical_bytes(value)
    assert canonical_bytes(read_canonical(written)) == written


@given(texts)
def test_two_ways_of_writing_a_letter_are_one(text: str) -> None:
    assert canonical_bytes(unicodedata.normalize("NFD", text)) == canonical_bytes(text)


@pytest.mark.parametrize(
    "value", [1.5, Decimal("1.5"), 2**53, "\ud800", {1: "a"}, b"x", {"e\u0301": 1, "\u00e9": 2}]
)
def test_what_has_no_one_form_is_refused(value: object) -> None:
    with pytest.raises(NotCanonical):
        canonical_bytes({"value": value})


@pytest.mark.parametrize(
    "content", [b'{"b":1,"a":2}', b'{"a": 1}', b'{"a":1.0}', b"[1,]", b"\xff", b"[" * 9000]
)
def test_bytes_in_another_form_are_not_taken_for_canonical(content: bytes) -> None:
    with pytest.raises(NotCanonical):
        read_canonical(content)


@given(st.decimals(allow_nan=False, allow_infinity=False, places=3, min_value=-(10**6), max_value=10**6))
def test_a_measured_number_is_written_without_an_exponent(value: Decimal) -> None:
    number, unit = measured(value, "h").split(" ")
    assert (Decimal(number), unit, "E" in number) == (value, "h", False)


def test_a_moment_without_a_zone_is_refused() -> None:
    with pytest.raises(ValueError, match="zone"):
        moment_text(datetime(2026, 5, 4))  # noqa: DTZ001 - that is what is refused


def test_a_line_break_in_a_text_cannot_pose_as_a_line_of_the_content() -> None:
    lines = shown(canonical_bytes({"text": "tire\nMeaning: inspected and airworthy", "meaning": "performed"}))
    assert [line for line in lines.split("\n") if line.startswith("Meaning")] == ["Meaning: performed"]


def test_the_words_of_an_entry_stand_first_and_numbers_on_one_line() -> None:
    content = {"approved": True, "card ids": [19, 21, 36], "text": "I certify …", "heard": ["intake"]}
    assert shown(canonical_bytes(content)).split("\n") == [
        "Text: I certify …",
        "Approved: yes",
        "Card ids: 19, 21, 36",
        "Heard:",
        "  1. intake",
    ]


@given(st.lists(wholes, min_size=1, max_size=5), st.lists(texts, min_size=1, max_size=5))
def test_numbers_share_a_line_and_texts_never_do(numbers: list[int], words: list[str]) -> None:
    lines = shown(canonical_bytes({"numbers": numbers, "words": words})).split("\n")
    assert lines[0] == f"Numbers: {', '.join(map(str, numbers))}"
    assert sum(line.startswith(tuple(f"  {n}. " for n in range(1, 6))) for line in lines) >= len(words)
