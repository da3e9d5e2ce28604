"""Blanks for names, dates, certificate numbers and ink signatures."""

from __future__ import annotations

from collections.abc import Sequence

from annual_planner.paper.faces import BOLD, REGULAR, broken, leading
from annual_planner.paper.flow import Block
from annual_planner.paper.look import FIRM, MM, THIN
from annual_planner.paper.pen import Pen
from annual_planner.paper.text import size_of

ROOM = 8 * MM
"""Height of a line to sign on."""


GUTTER = 6.0


def side_by_side(left: Block, right: Block, shift: float) -> Block:
    """Put two blocks beside one another, the second `shift` points to the right."""

    def draw(pen: Pen, x: float, top: float) -> None:
        left.draw(pen, x, top)
        right.draw(pen, x + shift, top)

    return Block(max(left.height, right.height), draw)


def boxed_blanks(
    title: str, fields: Sequence[tuple[str, float]], width: float, *, firm: bool = False, note: str = ""
) -> Block:
    """Make a framed row of blanks, each (what goes in it, share); firm where a signature is owed."""
    small = size_of("small")
    lines = broken(title, BOLD, size_of("body"), width - 12)
    notes = broken(note, REGULAR, small, width - 12) if note else ()
    head = len(lines) * leading(size_of("body")) + len(notes) * leading(small) + 4
    high = head + ROOM + leading(small) + 3.5
    total = sum(share for _, share in fields)

    def draw(pen: Pen, x: float, top: float) -> None:
        pen.box(x, top, width, high, edge=pen.shades.ink, weight=FIRM if firm else THIN)
        pen.write_lines(x + 6, top - 3, lines, size_of("body"), face=BOLD)
        below = top - 3 - len(lines) * leading(size_of("body"))
        pen.write_lines(x + 6, below, notes, small, colour=pen.shades.faint)
        start = x + 6
        for name, share in fields:
            wide = (width - 12) * share / total
            pen.rule(start, top - head - ROOM, wide - 8, weight=THIN, colour=pen.shades.ink)
            pen.write(start, top - head - ROOM - 1, name, small, colour=pen.shades.faint)
            start += wide

    return Block(high, draw)
