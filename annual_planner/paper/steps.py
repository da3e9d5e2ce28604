"""Steps to tick: a box for the pen, a number, the words; short ones in two columns, read down."""

from __future__ import annotations

from collections.abc import Sequence

from annual_planner.paper.faces import BOLD, REGULAR, broken, leading, parted
from annual_planner.paper.flow import Block
from annual_planner.paper.look import BOX, HAIR
from annual_planner.paper.pen import Pen
from annual_planner.paper.signing import side_by_side
from annual_planner.paper.text import paragraphs, size_of

APART = 12.0
"""Space between two columns of steps."""
WORTH = 0.8
"""Two columns are worth their trouble from this share of the height of one on."""
ABOVE = 2.4
MOST_LINES = 30


def step_blocks(texts: Sequence[str], width: float) -> list[Block]:
    """Make all steps of a piece of work: one column, or two where that is clearly lower."""
    single = [block for number, text in enumerate(texts, 1) for block in _single(number, text, width)]
    if len(texts) < 3 or len(single) > len(texts):
        return single
    double = _two_columns(texts, width)
    low = sum(block.height for block in double) <= WORTH * sum(block.height for block in single)
    return double if low else single


def _single(number: int, text: str, width: float) -> list[Block]:
    """A step over the whole width; one as long as a story goes on below it."""
    first, rest = parted(text, REGULAR, size_of("body"), width - BOX - 30, MOST_LINES)
    return [step_block(number, first, width), *(paragraphs(rest, width) if rest else ())]


def _two_columns(texts: Sequence[str], width: float) -> list[Block]:
    half = (width - APART) / 2
    rows = -(-len(texts) // 2)
    blocks: list[Block] = []
    for row in range(rows):
        places = [place for place in (row, row + rows) if place < len(texts)]
        high = max(_height(texts[place], half) for place in places)
        left, *right = [step_block(place + 1, texts[place], half, at_least=high) for place in places]
        blocks.append(side_by_side(left, right[0], half + APART) if right else left)
    return blocks


def _lines(text: str, width: float) -> tuple[str, ...]:
    return broken(text, REGULAR, size_of("body"), width - BOX - 30)


def _height(text: str, width: float) -> float:
    return max(BOX, len(_lines(text, width)) * leading(size_of("body")) + 1) + ABOVE


def step_block(number: int, text: str, width: float, *, at_least: float = 0.0) -> Block:
    """Make one step: a box for the pen, its number, its words, a hair line below."""
    size = size_of("body")
    lines = _lines(text, width)
    high = max(_height(text, width), at_least)

    def draw(pen: Pen, x: float, top: float) -> None:
        pen.tick_box(x + 1, top - 1.2, BOX)
        shift = 1.6 + max(0.0, (BOX - len(lines) * leading(size)) / 2)
        pen.write(x + BOX + 18, top - shift, f"{number}", size, face=BOLD, align="right")
        pen.write_lines(x + BOX + 26, top - shift, lines, size)
        pen.rule(x + BOX + 8, top - high, width - BOX - 8, weight=HAIR)

    return Block(high, draw)
