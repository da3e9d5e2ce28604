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
"""Space between two things beside one another."""


def side_by_side(left: Block, right: Block, shift: float) -> Block:
    """Put two blocks beside one another, the second `shift` points to the right."""

    def draw(pen: Pen, x: float, top: float) -> None:
        left.draw(pen, x, top)
        right.draw(pen, x + shift, top)

    return Block(max(left.height, right.height), draw)


def boxed_blanks(title: str, fields: Sequence[tuple[str, float]], width: float, *, note: str = "") -> Block:
    """Make a framed row of blanks, each (what goes in it, share)."""
    small = size_of("small")
    lines = broken(title, BOLD, size_of("body"), width - 12)
    notes = broken(note, REGULAR, small, width - 12) if note else ()
    head = len(lines) * leading(size_of("body")) + len(notes) * leading(small) + 2
    high = head + ROOM + leading(small) + 2.5
    total = sum(share for _, share in fields)

    def draw(pen: Pen, x: float, top: float) -> None:
        pen.box(x, top, width, high, edge=pen.shades.ink, weight=THIN)
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


def open_blanks(
    fields: Sequence[tuple[str, float]], width: float, *, high: float = 0.0, owed: bool = False
) -> Block:
    """Make a row of blanks, each (what goes in it, share), at the foot of `high` where that is more.

    `owed`: in a firm frame with the first label bold, where a signature must stand; else without a frame.
    """
    small, inset = size_of("small"), 5.0 if owed else 0.0
    total = sum(share for _, share in fields)
    wides = [(width - 2 * inset) * share / total for _, share in fields]
    faces = [BOLD if owed and not number else REGULAR for number in range(len(fields))]
    labels = [
        broken(name, face, small, wide - 8)
        for (name, _), face, wide in zip(fields, faces, wides, strict=True)
    ]
    low = max(len(lines) for lines in labels) * leading(small) + (2.5 if owed else 1.0)
    high = max(high, ROOM + low)

    def draw(pen: Pen, x: float, top: float) -> None:
        if owed:
            pen.box(x, top, width, high, edge=pen.shades.ink, weight=FIRM)
        left, line = x + inset, top - high + low
        for number, (lines, face, wide) in enumerate(zip(labels, faces, wides, strict=True), 1):
            last = number == len(labels)
            pen.rule(left, line, wide - (0 if last else 8), weight=THIN, colour=pen.shades.ink)
            colour = "" if face == BOLD else pen.shades.faint
            pen.write_lines(left, line - 1, lines, small, face=face, colour=colour)
            left += wide

    return Block(high, draw)
