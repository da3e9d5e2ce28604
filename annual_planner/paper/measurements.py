"""Blanks for the numbers a card asks for: one, or one for each cylinder, plug, wheel or engine, with the limits."""

from __future__ import annotations

from collections.abc import Mapping

from annual_planner.paper.faces import BOLD, REGULAR, broken, leading
from annual_planner.paper.flow import Block
from annual_planner.paper.look import BLANK_HIGH
from annual_planner.paper.pen import Pen
from annual_planner.paper.said import said_limits, text_in
from annual_planner.paper.text import size_of

BLANK_WIDE = 48.0
NAME_SHARE = 0.42
ROWS_OF_PLUG = {True: ("F", "R"), False: ("T", "B")}
"""Letters of the two plugs of a cylinder: front and rear on a radial, else top and bottom."""


def measurement_block(
    measured: Mapping[str, object], counts: Mapping[str, int], width: float, *, radial: bool
) -> Block:
    """Make the blanks of one measurement, its name and limits at the left."""
    names = blank_names(measured, counts, radial=radial)
    left = width * NAME_SHARE
    texts = _words(
        measured, left - 8, plugs=len(names) > 1 and text_in(measured, "per") == "plug", radial=radial
    )
    across = max(1, int((width - left) // BLANK_WIDE))
    rows = [names[start : start + across] for start in range(0, len(names), across)]
    label = leading(size_of("small")) if len(names) > 1 else 0.0
    row_high = BLANK_HIGH + label + 2
    high = max(len(rows) * row_high, sum(leading(size) for _, size, _ in texts)) + 4
    unit = text_in(measured, "unit")

    def draw(pen: Pen, x: float, top: float) -> None:
        y = top
        for line, size, face in texts:
            pen.write(x, y, line, size, face=face)
            y -= leading(size)
        for number, row in enumerate(rows):
            _blanks(pen, x + left, top - number * row_high, row, label, unit)

    return Block(high, draw)


def blank_names(measured: Mapping[str, object], counts: Mapping[str, int], *, radial: bool) -> list[str]:
    """Name each blank of a measurement; one empty name when it is taken once.

    >>> blank_names({"per": "plug", "count": 4}, {}, radial=False)
    ['1T', '1B', '2T', '2B']
    """
    per = text_in(measured, "per") or "airplane"
    many = _count(measured, counts, per)
    if many <= 1:
        return [""]
    if per == "plug":
        letters = ROWS_OF_PLUG[radial]
        return [f"{number // 2 + 1}{letters[number % 2]}" for number in range(many)]
    return [str(number + 1) for number in range(many)]


def _count(measured: Mapping[str, object], counts: Mapping[str, int], per: str) -> int:
    stored = measured.get("count")
    if isinstance(stored, int):
        return stored
    return 1 if per == "airplane" else counts.get(f"{per}s", 1)


def _words(
    measured: Mapping[str, object], width: float, *, plugs: bool, radial: bool
) -> list[tuple[str, float, str]]:
    body, small = size_of("body"), size_of("small")
    limits = said_limits(measured.get("low"), measured.get("high"), text_in(measured, "unit"))
    note = text_in(measured, "note")
    quiet = f"{limits} · {note}" if note else limits
    if plugs:
        quiet += " · F front, R rear" if radial else " · T top, B bottom"
    named = [(line, body, BOLD) for line in broken(text_in(measured, "name"), BOLD, body, width)]
    return named + [(line, small, REGULAR) for line in broken(quiet, REGULAR, small, width)]


def _blanks(pen: Pen, x: float, top: float, names: list[str], label: float, unit: str) -> None:
    small = size_of("small")
    for place, name in enumerate(names):
        left = x + place * BLANK_WIDE
        if name:
            pen.write(left + (BLANK_WIDE - 5) / 2, top, name, small, align="center", colour=pen.shades.faint)
        pen.blank(left, top - label, BLANK_WIDE - 5, BLANK_HIGH)
    if len(names) == 1 and not names[0]:
        pen.write(x + BLANK_WIDE, top - 6, unit, size_of("body"))
