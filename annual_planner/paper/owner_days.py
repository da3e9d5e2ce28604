"""What the owner does on which day, on a sheet of its own to take home: cautions first, steps to tick."""

from __future__ import annotations

from collections.abc import Sequence

from annual_planner.paper.cautions import caution_block, short_cautions
from annual_planner.paper.flow import Block, Group, Section
from annual_planner.paper.owner_list import SIGNATURE_RULE
from annual_planner.paper.said import said_day
from annual_planner.paper.steps import step_blocks
from annual_planner.paper.text import gap, heading, labelled, paragraph, subheading
from annual_planner.planning.owner_days import OwnerDay, OwnerPiece

NOTE = (
    "By the plan of this day; it may move. The mechanic says on the day what is done, and may stop it. "
    "What needs a mechanic's eye waits until one is there. The maker's current instructions come first."
)


def owner_days_section(owner: str, registration: str, days: Sequence[OwnerDay], width: float) -> Section:
    """Make the owner's days, each with its cautions above what is to be done."""
    title = f"What {owner} does"
    head = heading(f"{title} on {registration}", width, note=NOTE)
    groups: list[Group] = []
    for day in days:
        above = (head,) if not groups else (gap(8),)
        groups += _day(day, above, width)
    rule = Group((subheading("Who signs", width), paragraph(SIGNATURE_RULE, width)))
    return Section(title, (*groups, rule), own_sheet=True)


def _day(day: OwnerDay, above: tuple[Block, ...], width: float) -> list[Group]:
    """A day: its cautions stand before everything that is done on it."""
    said = f"{day.day:%A} {said_day(day.day)}: {day.hours:g} h"
    first, *rest = [_piece(piece, width) for piece in day.pieces]
    top = (*above, subheading(said, width), *(caution_block(each, width) for each in day.cautions))
    return [Group((*top, *first.blocks)), *rest]


def _piece(piece: OwnerPiece, width: float) -> Group:
    when = f"{piece.starts:%H:%M}–{piece.ends:%H:%M}"
    blocks = (
        gap(4),
        labelled(when, f"Card {piece.card_number}: {piece.title}", width),
        labelled("Your part", piece.authority, width),
        *((short_cautions(piece.cautions, width),) if piece.cautions else ()),
        *step_blocks(piece.steps, width),
    )
    return Group(blocks)
