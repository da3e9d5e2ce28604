"""What every engine sheet begins with: which engine, its hours, blanks for day and hours, cautions."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import lru_cache

from annual_planner.library.cautions import CAUTIONS
from annual_planner.library.files import read_shelf, shipped
from annual_planner.paper.cautions import caution_block, short_cautions
from annual_planner.paper.faces import leading
from annual_planner.paper.flow import Block
from annual_planner.paper.look import THIN
from annual_planner.paper.pen import Pen
from annual_planner.paper.said import said_day, said_tenths
from annual_planner.paper.signing import ROOM
from annual_planner.paper.text import gap, heading, size_of
from annual_planner.planning.engine_view import EngineView
from annual_planner.trade.cards import Caution

Cautions = Mapping[str, Caution]
TODAY = (("date", 1.0), ("tach", 0.8), ("engine hours", 0.9), ("done by", 1.8))


def title_of(view: EngineView, what: str) -> str:
    """The title of a sheet with its engine, as the running head and the contents say it."""
    place = f"{view.position} " if len(view.positions) > 1 else ""
    return f"{what}, engine {place}{view.engine_type.title}"


def head(view: EngineView, title: str, note: str, width: float) -> list[Block]:
    """Make the heading of a sheet, and the blanks for the day the work is done."""
    hours = f"{said_tenths(view.engine_hours)} h" if view.engine_hours is not None else "hours not known"
    facts = f"{view.registration} · {view.engine_title} · {hours} as of {said_day(view.today)}. {note}"
    return [heading(title, width, note=facts), blank_row(TODAY, width), gap(5)]


def blank_row(fields: Sequence[tuple[str, float]], width: float) -> Block:
    """Make a framed row of blanks, each (what goes in it, share), without a heading of its own."""
    small = size_of("small")
    high = ROOM + leading(small) + 2
    total = sum(share for _, share in fields)

    def draw(pen: Pen, x: float, top: float) -> None:
        pen.box(x, top, width, high, edge=pen.shades.ink, weight=THIN)
        left = x + 6
        for name, share in fields:
            wide = (width - 6) * share / total
            pen.rule(left, top - ROOM, wide - 6, weight=THIN, colour=pen.shades.ink)
            pen.write(left, top - ROOM - 1, name, small, colour=pen.shades.faint)
            left += wide

    return Block(high, draw)


@lru_cache(maxsize=1)
def shipped_cautions() -> Cautions:
    """The warnings that ship with the program, by key."""
    return {key: each.row.value() for key, each in read_shelf(CAUTIONS, (shipped(),)).entries.items()}


def full_cautions(cautions: Cautions, keys: Sequence[str], width: float) -> list[Block]:
    """Make the boxes of these cautions; one that the library hasn't got is left out."""
    return [caution_block(cautions[key], width) for key in keys if key in cautions]


def brief_cautions(cautions: Cautions, keys: Sequence[str], width: float) -> list[Block]:
    """Make one line of these cautions' titles."""
    named = tuple(cautions[key] for key in keys if key in cautions)
    return [short_cautions(named, width)] if named else []
