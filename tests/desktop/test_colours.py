"""Every two colours that the window puts one on the other can be told apart (WCAG 2.2, 1.4.3 and 1.4.11)."""

from itertools import product

import pytest

from annual_planner.desktop.colours import Colours, colours, signs
from annual_planner.desktop.signs import DRAW
from tests.contrast import contrast

pytestmark = pytest.mark.desktop

GROUNDS = ("board", "paper", "wash", "chosen", "warn_wash")
"""Everything that text and signs stand on: window, lists, headings, a chosen row, a message."""
TEXTS = ("ink", "faint", "accent", "chosen_ink")
MARKS = ("edge", "accent", "outline")
"""Edges of fields, ring of what the keys act on, line round a sign."""
TEXT_LEAST, MARK_LEAST = 4.5, 3.0


def ratio(of: Colours, one: str, other: str) -> float:
    return contrast(getattr(of, one), getattr(of, other))


@pytest.mark.parametrize("dark", [False, True], ids=["light", "dark"])
def test_text_is_legible_on_every_ground(dark: bool) -> None:
    of = colours(dark)
    pairs = [*product(TEXTS, GROUNDS), ("accent_ink", "accent")]
    assert {pair: ratio(of, *pair) for pair in pairs if ratio(of, *pair) < TEXT_LEAST} == {}


@pytest.mark.parametrize("dark", [False, True], ids=["light", "dark"])
def test_edges_ring_and_signs_are_seen_on_every_ground(dark: bool) -> None:
    of = colours(dark)
    pairs = [*product(MARKS, GROUNDS), ("bad", "paper"), ("accent_ink", "accent")]
    assert {pair: ratio(of, *pair) for pair in pairs if ratio(of, *pair) < MARK_LEAST} == {}


def test_no_standing_is_told_by_colour_alone() -> None:
    shapes: dict[str, set[str]] = {}
    for sign in signs().values():
        shapes.setdefault(sign.shape, set()).add(sign.colour)
    assert set(shapes) <= set(DRAW)
    assert {shape for shape, inks in shapes.items() if {"bad", "good"} <= inks} == set()
