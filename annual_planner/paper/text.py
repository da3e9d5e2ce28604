"""Blocks of text: headings, paragraphs, marked lines, gaps."""

from __future__ import annotations

from annual_planner.paper.faces import BOLD, REGULAR, broken, leading
from annual_planner.paper.flow import Block
from annual_planner.paper.look import print_look
from annual_planner.paper.pen import Pen


def size_of(kind: str) -> float:
    """Type size of a kind of text ('body', 'small' …), points."""
    return print_look().paper_pt[kind]


def gap(height: float) -> Block:
    """Leave space."""
    return Block(height, lambda pen, x, top: None)


def stacked(*blocks: Block) -> Block:
    """Put blocks under one another as one that is never cut."""

    def draw(pen: Pen, x: float, top: float) -> None:
        for block in blocks:
            block.draw(pen, x, top)
            top -= block.height

    return Block(sum(block.height for block in blocks), draw)


def heading(text: str, width: float, *, note: str = "") -> Block:
    """Set a section's heading over the accent rule, with a quiet note below it."""
    size, small = size_of("heading"), size_of("body")
    lines = broken(text, BOLD, size, width)
    notes = broken(note, REGULAR, small, width) if note else ()
    first = len(lines) * leading(size) + 3

    def draw(pen: Pen, x: float, top: float) -> None:
        pen.write_lines(x, top, lines, size, face=BOLD, colour=pen.shades.accent)
        pen.accent_rule(x, top - first, width)
        pen.write_lines(x, top - first - 4, notes, small, colour=pen.shades.faint)

    return Block(first + (4 + len(notes) * leading(small) if notes else 0) + 7, draw)


def band(text: str, width: float, *, told: str = "") -> Block:
    """Set a heading in a band over the whole width, `told` at its right end."""
    size = size_of("heading")
    lines = broken(text, BOLD, size, width - 24)
    high = len(lines) * leading(size) + 8

    def draw(pen: Pen, x: float, top: float) -> None:
        pen.box(x, top, width, high, fill=pen.shades.band)
        pen.box(x, top, 4, high, fill=pen.shades.accent)
        pen.write_lines(x + 12, top - 4, lines, size, face=BOLD, colour=pen.shades.accent)
        pen.write(x + width - 8, top - 8, told, size_of("body"), align="right")

    return Block(high + 8, draw)


def subheading(text: str, width: float) -> Block:
    """Set a heading inside a section."""
    size = size_of("subheading")
    lines = broken(text, BOLD, size, width)

    def draw(pen: Pen, x: float, top: float) -> None:
        pen.write_lines(x, top - 4, lines, size, face=BOLD)

    return Block(len(lines) * leading(size) + 8, draw)


def paragraph(
    text: str,
    width: float,
    *,
    kind: str = "body",
    face: str = REGULAR,
    faint: bool = False,
) -> Block:
    """Set text broken to the width."""
    size = size_of(kind)
    lines = broken(text, face, size, width)

    def draw(pen: Pen, x: float, top: float) -> None:
        colour = pen.shades.faint if faint else ""
        pen.write_lines(x, top, lines, size, face=face, colour=colour)

    return Block(len(lines) * leading(size) + 2, draw)


def paragraphs(text: str, width: float, *, most: int = 12) -> list[Block]:
    """Set text as blocks of so many lines at most, so that a long one can go on over sheets."""
    lines = broken(text, REGULAR, size_of("body"), width)
    return [paragraph("\n".join(lines[place : place + most]), width) for place in range(0, len(lines), most)]


def labelled(label: str, text: str, width: float, *, label_width: float = 62.0) -> Block:
    """Set a quiet label at the left and its text beside it."""
    size = size_of("body")
    lines = broken(text, REGULAR, size, width - label_width)

    def draw(pen: Pen, x: float, top: float) -> None:
        pen.write(x, top - 1.2, label, size_of("small"), face=BOLD, colour=pen.shades.faint)
        pen.write_lines(x + label_width, top, lines, size)

    return Block(len(lines) * leading(size) + 0.8, draw)
