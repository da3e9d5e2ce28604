"""Signs that stay legible in black and white: the caution sign, and the shapes of due states."""

from __future__ import annotations

from annual_planner.paper.faces import BOLD
from annual_planner.paper.look import print_look
from annual_planner.paper.pen import Pen


def caution_sign(pen: Pen, x: float, top: float, side: float) -> None:
    """Draw a warning triangle with an exclamation mark, ink outline first, colour second."""
    pen.shape(
        [(x, top - side * 0.88), (x + side / 2, top), (x + side, top - side * 0.88)],
        fill=pen.shades.caution,
        edge=pen.shades.ink,
        weight=1.1,
    )
    size = side * 0.62
    pen.write(x + side / 2, top - side * 0.12, "!", size, face=BOLD, colour="#000000", align="center")


def state_sign(pen: Pen, x: float, top: float, side: float, word: str) -> None:
    """Draw the shape of a due state; the word stands beside it."""
    state = print_look().state(word)
    fill, ink = state.light.fill, pen.shades.ink
    middle, low = x + side / 2, top - side
    if state.shape == "triangle":
        pen.shape([(x, low), (middle, top), (x + side, low)], fill=fill, edge=ink, weight=0.6)
    elif state.shape == "diamond":
        half = top - side / 2
        pen.shape(
            [(x, half), (middle, top), (x + side, half), (middle, low)], fill=fill, edge=ink, weight=0.6
        )
    elif state.shape == "dash":
        pen.rule(x, top - side / 2, side, weight=1.4, colour=ink)
    else:
        _round(pen, middle, top - side / 2, side / 2, "" if state.shape == "ring" else fill)


def _round(pen: Pen, x: float, y: float, radius: float, fill: str) -> None:
    from annual_planner.paper.look import rgb

    canvas = pen.canvas
    canvas.setStrokeColorRGB(*rgb(pen.shades.ink))
    canvas.setLineWidth(0.6 if fill else 1.2)
    if fill:
        canvas.setFillColorRGB(*rgb(fill))
    canvas.circle(x, y, radius, stroke=1, fill=1 if fill else 0)
