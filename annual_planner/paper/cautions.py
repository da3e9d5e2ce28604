"""Cautions as they stand on cards and lists: the sign, the title, the words, in a box of its own."""

from __future__ import annotations

from annual_planner.paper.faces import BOLD, REGULAR, broken, leading
from annual_planner.paper.flow import Block
from annual_planner.paper.pen import Pen
from annual_planner.paper.signs import caution_sign
from annual_planner.paper.text import size_of
from annual_planner.trade.cards import Caution

SIGN = 17.0
INSET = 26.0


def caution_block(caution: Caution, width: float) -> Block:
    """Make one caution: a box with a firm left edge and the warning sign, legible without colour."""
    body, small = size_of("body"), size_of("small") + 0.5
    title = broken(f"Caution: {caution.title}", BOLD, body, width - INSET - 6)
    lines = broken(caution.text, REGULAR, small, width - INSET - 6)
    inner = len(title) * leading(body) + len(lines) * leading(small)
    high = max(inner + 7, SIGN + 8)

    def draw(pen: Pen, x: float, top: float) -> None:
        pen.box(x, top, width, high, edge=pen.shades.ink, weight=0.6)
        pen.box(x, top, 3, high, fill=pen.shades.ink)
        caution_sign(pen, x + 7, top - (high - SIGN) / 2, SIGN)
        pen.write_lines(x + INSET + 2, top - 3, title, body, face=BOLD)
        pen.write_lines(x + INSET + 2, top - 3 - len(title) * leading(body), lines, small)

    return Block(high + 3, draw)


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
