"""The line of a card that says how it stands: done, by whom, or why it does not apply, and notes."""

from __future__ import annotations

from annual_planner.paper.faces import REGULAR, leading, width_of
from annual_planner.paper.flow import Block
from annual_planner.paper.look import BLANK_HIGH, BOX
from annual_planner.paper.pen import Pen
from annual_planner.paper.text import size_of
from annual_planner.planning.paper_fields import INITIALS, NOTES, FieldName
from annual_planner.trade.card_states import DONE, NOT_APPLICABLE

BLANKS = (
    (INITIALS, "initials", 0.6),
    (NOT_APPLICABLE, "not applicable, because", 1.5),
    (NOTES, "notes", 2.0),
)
"""What each blank of the line is for, its label, and its share of the width."""
APART = 6.0


def card_marks(package: str, plan: str, number: int, width: float) -> Block:
    """Make the line: a box for done, blanks with a label under each."""
    small = size_of("small")
    done = BOX + 6 + width_of("done", REGULAR, small) + APART
    total = sum(share for _, _, share in BLANKS)
    room = width - done

    def named(what: str) -> str:
        return str(FieldName(package, plan, number, what))

    def draw(pen: Pen, x: float, top: float) -> None:
        pen.tick_box(x + 1, top - 1.5, BOX)
        pen.form.tick(named(DONE), x + 1, top - 1.5, BOX, says=f"Card {number} done")
        pen.write(x + BOX + 6, top - 5, "done", small)
        left = x + done
        for what, label, share in BLANKS:
            wide = room * share / total - (APART if what != NOTES else 0)
            pen.blank(left, top, wide, BLANK_HIGH)
            pen.write(left, top - BLANK_HIGH - 0.5, label, small, colour=pen.shades.faint)
            field = FieldName(package, plan, number, what)
            says = f"Card {number}, {label}"
            lines = what == NOTES
            pen.form.text(
                str(field), left, top, wide, BLANK_HIGH, says=says, longest=field.longest, lines=lines
            )
            left += wide + APART

    return Block(BLANK_HIGH + leading(small) + 2.5, draw)
