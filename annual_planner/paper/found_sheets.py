"""Blank sheets for discrepancies found on the way."""

from __future__ import annotations

from annual_planner.paper.flow import Block, Group, Section
from annual_planner.paper.look import BOX, HAIR, MM, THIN
from annual_planner.paper.pen import Pen
from annual_planner.paper.text import heading, size_of
from annual_planner.planning.package_view import PackageView

TITLE = "Discrepancies found"
SHEETS = 2
ROW = 54 * MM
WRITE = 7.5 * MM
"""Distance of lines to write on."""
SIGNED = (("repaired by", 1.6), ("signature", 2.0), ("certificate no., kind", 1.6), ("date", 1.0))
FIELDS = ("card no.", "zone", "found by", "date", "hours")


def found_sheets(view: PackageView, width: float, frame_height: float) -> Section:
    """Make the blank sheets, as many rows on each as the paper holds."""
    note = (
        f"{view.aircraft.registration}: one field for each. Unairworthy items go on the signed, dated list "
        "to the owner (43.11(b)); repairs get 43.9 entries of their own."
    )
    head = heading(TITLE, width, note=note)
    rows = int((frame_height - head.height) // ROW)
    high = (frame_height - head.height) / rows
    sheets = tuple(
        Group((head, *(_field(number, width, high - 0.01) for number in range(first, first + rows))))
        for first in range(1, SHEETS * rows + 1, rows)
    )
    return Section(TITLE, sheets, own_sheet=True)


def _field(number: int, width: float, high: float) -> Block:
    def draw(pen: Pen, x: float, top: float) -> None:
        inner = high - 6
        pen.box(x, top, width, inner, edge=pen.shades.ink, weight=THIN)
        pen.write(x + 6, top - 4, str(number), size_of("subheading") + 1)
        _small_blanks(pen, x + 30, top, width - 36, tuple((name, 1.0) for name in FIELDS))
        _lines(pen, x + 6, top - 28, width - 12, "what was found", 2)
        y = top - 28 - 2 * WRITE - 5
        _decision(pen, x + 6, y, width - 12)
        y -= BOX + 3
        _lines(pen, x + 6, y, width - 12, "what was done, with which data and parts", 1)
        _small_blanks(pen, x + 6, y - WRITE, width - 12, SIGNED)

    return Block(high, draw)


def _lines(pen: Pen, x: float, top: float, width: float, name: str, many: int) -> None:
    pen.write(x, top, name, size_of("small"), colour=pen.shades.faint)
    for line in range(1, many + 1):
        pen.rule(x, top - line * WRITE, width, weight=HAIR, colour=pen.shades.edge)


def _small_blanks(
    pen: Pen, x: float, top: float, width: float, fields: tuple[tuple[str, float], ...]
) -> None:
    unit = width / sum(share for _, share in fields)
    for name, share in fields:
        pen.write(x, top - 4, name, size_of("small"), colour=pen.shades.faint)
        pen.rule(x, top - 25, share * unit - 8, weight=THIN, colour=pen.shades.ink)
        x += share * unit


def _decision(pen: Pen, x: float, top: float, width: float) -> None:
    words = ("airworthy", "unairworthy", "correct now", "defer", "watch", "owner declined")
    each = width / len(words)
    for place, word in enumerate(words):
        pen.tick_box(x + place * each, top, BOX)
        pen.write(x + place * each + BOX + 4, top - 3, word, size_of("small") + 0.5)
