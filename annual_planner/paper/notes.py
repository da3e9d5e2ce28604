"""Lines for handwriting down to the foot of a sheet, so that no room is wasted."""

from __future__ import annotations

from collections.abc import Callable

from annual_planner.paper.faces import BOLD
from annual_planner.paper.flow import Block
from annual_planner.paper.look import HAIR, MM
from annual_planner.paper.pen import Pen
from annual_planner.paper.text import size_of

NOTES_FROM = 32 * MM
"""From this height left on a sheet on, lines are drawn."""
LINE = 8 * MM


def notes_to_foot(width: float, title: str = "Notes") -> Callable[[float], Block | None]:
    """Make the filler of a section: lines over the height that is left, nothing where it is too little."""

    def fill(height: float) -> Block | None:
        if height < NOTES_FROM:
            return None
        return Block(height, lambda pen, x, top: _lines(pen, x, top, width, height, title))

    return fill


def _lines(pen: Pen, x: float, top: float, width: float, height: float, title: str) -> None:
    pen.write(x, top - 4, title, size_of("small"), face=BOLD, colour=pen.shades.faint)
    line = top - 4 - LINE
    while line >= top - height:
        pen.rule(x, line, width, weight=HAIR, colour=pen.shades.edge)
        line -= LINE
