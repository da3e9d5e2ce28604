"""Cautions as they stand on cards and lists: the sign, the title, the words, in a box of its own."""

from __future__ import annotations

from annual_planner.paper.faces import BOLD, REGULAR, broken, leading, width_of
from annual_planner.paper.flow import Block
from annual_planner.paper.pen import Pen
from annual_planner.paper.signs import caution_sign
from annual_planner.paper.text import size_of
from annual_planner.trade.cards import Caution

SIGN = 16.0
INSET = 26.0
TITLE_WIDE = 118.0
"""Width of the column of titles, in a box with the warnings at the right of it."""


def caution_block(caution: Caution, width: float) -> Block:
    """Make one caution: a box with a firm left edge, the sign and title, and the words beside them."""
    body, small = size_of("body"), size_of("small") + 0.5
    title = broken(f"Caution: {caution.title}", BOLD, body, TITLE_WIDE - 8)
    lines = broken(caution.text, REGULAR, small, width - INSET - TITLE_WIDE - 8)
    titled, told = len(title) * leading(body), len(lines) * leading(small)
    high = max(titled, told, SIGN) + 4

    def draw(pen: Pen, x: float, top: float) -> None:
        pen.box(x, top, width, high, edge=pen.shades.ink, weight=0.6)
        pen.box(x, top, 3, high, fill=pen.shades.ink)
        caution_sign(pen, x + 7, top - (high - SIGN) / 2, SIGN)
        left = x + INSET + 2
        pen.write_lines(left, top - (high - titled) / 2, title, body, face=BOLD)
        pen.write_lines(left + TITLE_WIDE, top - (high - told) / 2, lines, small)

    return Block(high + 2, draw, once=f"caution {caution.key}", again=_told_above(caution))


def _told_above(caution: Caution) -> Block:
    """Make the line that stands for a caution whose words stand higher up on the same sheet."""
    size, small = size_of("body"), size_of("small") + 0.5
    title = f"Caution: {caution.title}"

    def draw(pen: Pen, x: float, top: float) -> None:
        caution_sign(pen, x + 9, top - 1, SIGN - 4)
        pen.write(x + INSET + 2, top - 1.5, title, size, face=BOLD)
        shift = max(TITLE_WIDE, width_of(title, BOLD, size) + 8)
        pen.write(x + INSET + 2 + shift, top - 2, "words above, on this sheet", small)

    return Block(SIGN - 1, draw)


def short_cautions(cautions: tuple[Caution, ...], width: float) -> Block:
    """Make one line of caution titles with the sign, for a sheet that only continues a card."""
    size = size_of("body")
    text = "Caution: " + ", ".join(caution.title.lower() for caution in cautions)
    lines = broken(text, BOLD, size, width - INSET)
    high = max(len(lines) * leading(size) + 4, SIGN)

    def draw(pen: Pen, x: float, top: float) -> None:
        caution_sign(pen, x + 2, top - 1, SIGN - 4)
        pen.write_lines(x + INSET - 4, top - 2, lines, size, face=BOLD)

    return Block(high + 2, draw)
