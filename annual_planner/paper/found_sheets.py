"""Two blank sheets for discrepancies found on the way."""

from __future__ import annotations

from annual_planner.paper.flow import Block, Group, Section
from annual_planner.paper.look import BOX, HAIR, MM, THIN
from annual_planner.paper.pen import Pen
from annual_planner.paper.text import heading, size_of
from annual_planner.planning.package_view import PackageView

TITLE = "Discrepancies found"
SHEETS = 2
ROW = 41 * MM
FIELDS = ("card no.", "zone", "found by", "date", "hours")


def found_sheets(view: PackageView, width: float, frame_height: float) -> Section:
    """Make the blank sheets, as many rows on each as the paper holds."""
    note = (
        f"{view.aircraft.registration}: one field for each. Unairworthy items go on the signed, dated list to the "
        "owner (43.11(b)); repairs get 43.9 entries of their own."
    )
    head = heading(TITLE, width, note=note)
    rows = int((frame_height - head.height) // ROW)
    high = (frame_height - head.height) / rows
    one = Group((head, *(_field(number, width, high - 0.01) for number in range(1, rows + 1))))
    two = Group((head, *(_field(number, width, high - 0.01) for number in range(rows + 1, 2 * rows + 1))))
    return Section(TITLE, (one, two), own_sheet=True)


def _field(number: int, width: float, high: float) -> Block:
    def draw(pen: Pen, x: float, top: float) -> None:
        inner = high - 6
        pen.box(x, top, width, inner, edge=pen.shades.ink, weight=THIN)
        pen.write(x + 6, top - 4, str(number), size_of("subheading") + 1)
        _small_blanks(pen, x + 30, top, width - 30)
        pen.write(x + 6, top - 30, "what was found", size_of("small"), colour=pen.shades.faint)
        for line in (1, 2):
            pen.rule(x + 6, top - 30 - line * 8.5 * MM, width - 12, weight=HAIR)
        _decision(pen, x + 6, top - inner + BOX + 5, width - 12)

    return Block(high, draw)


def _small_blanks(pen: Pen, x: float, top: float, width: float) -> None:
    each = width / len(FIELDS)
    for place, name in enumerate(FIELDS):
        pen.write(x + place * each, top - 4, name, size_of("small"), colour=pen.shades.faint)
        pen.rule(x + place * each, top - 25, each - 8, weight=THIN, colour=pen.shades.ink)


def _decision(pen: Pen, x: float, top: float, width: float) -> None:
    words = ("airworthy", "unairworthy", "correct now", "defer", "watch", "owner declined")
    each = width / len(words)
    for place, word in enumerate(words):
        pen.tick_box(x + place * each, top, BOX)
        pen.write(x + place * each + BOX + 4, top - 3, word, size_of("small") + 0.5)
