"""The sheet for putting plugs back: the engine with arrows from old to new places, and the same as a list."""

from __future__ import annotations

from collections.abc import Mapping

from annual_planner.paper.engine_sheets.arrows import Way, rotation_drawing
from annual_planner.paper.engine_sheets.figure import Figure, figure_of, seen_from
from annual_planner.paper.engine_sheets.heads import Cautions, brief_cautions, head, title_of
from annual_planner.paper.faces import BOLD, REGULAR, broken, leading, width_of
from annual_planner.paper.flow import Block, Group, Section
from annual_planner.paper.look import BOX, HAIR, THIN
from annual_planner.paper.notes import notes_to_foot
from annual_planner.paper.pen import Pen
from annual_planner.paper.signing import side_by_side
from annual_planner.paper.text import gap, paragraph, size_of, stacked, subheading
from annual_planner.planning.engine_view import EngineView
from annual_planner.trade.engines import Row
from annual_planner.trade.rotation import Change, Move, Rotation
from annual_planner.trade.torque import said_torque

WHAT = "Rotation"
KEYS = ("propeller_live", "hot_engine", "compressed_air", "hydraulic_lock")
BETWEEN = 14.0
PLUG_AT = 60.0
"""Where a list names the plug, from its left edge."""
MOST_HIGH = 235.0
ARROW = " → "
POLARITY = {
    Change.CHANGES: "polarity changes",
    Change.STAYS: "polarity stays",
    Change.ALTERNATES: "polarity alternates",
    Change.UNKNOWN: "polarity not known",
}


def rotation_sheet(view: EngineView, width: float, cautions: Cautions) -> Section:
    """Make the rotation sheet of an engine, by the scheme that is chosen."""
    title = title_of(view, WHAT)
    worked = view.scheme.value
    seen = seen_from(view.engine_type)
    note = f"{worked.scheme.title} ({worked.scheme.basis.citation}). Drawn as {seen}."
    top = (*head(view, title, note, width), *brief_cautions(cautions, KEYS, width), gap(3))
    half = (width - BETWEEN) / 2
    drawings = _drawings(view, worked, half)
    groups = (
        Group((*top, drawings)),
        *_lists(view, worked, half),
        Group(tuple(_does(worked, width))),
        Group(tuple(_fitting(view, width))),
    )
    return Section(
        title, groups, own_sheet=True, filler=notes_to_foot(width, "Departures from the map, and why")
    )


def _drawings(view: EngineView, worked: Rotation, half: float) -> Block:
    figure = figure_of(view.engine_type, half, most_high=MOST_HIGH)
    first, second = view.engine_type.rows
    left = _drawing(figure, worked, first.row, half, dashed=False)
    right = _drawing(figure, worked, second.row, half, dashed=True)
    return side_by_side(left, right, half + BETWEEN)


def _drawing(figure: Figure, worked: Rotation, row: Row, half: float, *, dashed: bool) -> Block:
    ways: list[Way] = [(move.old, move.new) for move in worked.moves if move.old.row is row]
    line = "dashed" if dashed else "solid"
    caption = f"Plugs out of the {row.words} row: {line} arrows"
    return stacked(
        paragraph(caption, half, kind="small", face=BOLD),
        gap(4),
        rotation_drawing(figure, ways, dashed=dashed),
        gap(5),
    )


def _lists(view: EngineView, worked: Rotation, half: float) -> list[Group]:
    """List the moves of both rows beside each other: from, to, which plug, a box to tick when it is in."""
    first, second = (
        [move for move in worked.moves if move.old.row is row.row] for row in view.engine_type.rows
    )
    shift = half + BETWEEN
    top = side_by_side(_list_head(half), _list_head(half), shift)
    rows = [
        side_by_side(_listed(view, left, half), _listed(view, right, half), shift)
        for left, right in zip(first, second, strict=True)
    ]
    between = [Group((row,), running=top) for row in rows[2:-2]]
    last = [Group(tuple(rows[-2:]), running=top)] if len(rows) > 3 else []
    return [Group((top, *(rows[:2] if last else rows))), *between, *last]


def _list_head(width: float) -> Block:
    small = size_of("small")
    high = leading(small) + 5

    def draw(pen: Pen, x: float, top: float) -> None:
        pen.box(x, top, width, high, fill=pen.shades.band)
        for left, word in ((0.0, "old → new"), (PLUG_AT, "plug"), (width - BOX - 8, "in")):
            pen.write(x + left + 3, top - 2.5, word, small, face=BOLD)
        pen.rule(x, top - high, width, weight=THIN, colour=pen.shades.ink)

    return Block(high, draw)


def _listed(view: EngineView, move: Move, width: float) -> Block:
    """List one move."""
    body, small = size_of("body"), size_of("small")
    tag, said = _plug(view, move)
    room = width - PLUG_AT - BOX - 14
    named, quiet = _cut(tag, body, room), _cut(said, small, room)
    high = BOX + 5

    def draw(pen: Pen, x: float, top: float) -> None:
        pen.write(x + 3, top - 4, f"{move.old}{ARROW}{move.new}", body + 1, face=BOLD)
        pen.write(x + PLUG_AT + 3, top - 1, named, body)
        pen.write(x + PLUG_AT + 3, top - 1 - leading(body), quiet, small, colour=pen.shades.faint)
        pen.tick_box(x + width - BOX - 5, top - 2.5, BOX)
        pen.rule(x, top - high, width, weight=HAIR)

    return Block(high, draw)


def _cut(text: str, size: float, room: float) -> str:
    """A text cut to its room, with a mark that more was there."""
    if width_of(text, REGULAR, size) <= room:
        return text
    return f"{broken(text, REGULAR, size, room - size)[0]} …"


def _plug(view: EngineView, move: Move) -> tuple[str, str]:
    """Which plug goes that way, and what to know of it; a new one where the old one was rejected."""
    slot = view.tray.slot(move.old) if view.tray else None
    plug = slot.plug if slot else view.at(move.old).plug
    if slot and slot.rejected:
        kinds = " or ".join(each.title for each in view.engine_type.plug_types_at(move.new))
        return f"new plug for {slot.plug.tag}", kinds
    said = POLARITY[move.polarity]
    return (plug.tag, f"{said} · {plug.type_title}") if plug else ("tag: ____________", said)


def _does(worked: Rotation, width: float) -> list[Block]:
    """Say in short what the rotation does to the plugs."""
    every = len(worked.moves)
    counts: Mapping[Change, int] = {each: len(worked.with_polarity(each)) for each in Change}
    polarity = ", ".join(f"{POLARITY[each]} for {count}" for each, count in counts.items() if count)
    said = (
        f"{worked.change_place} of {every} plugs move; {worked.change_row} change their row, "
        f"{worked.change_magneto} their magneto. {polarity[:1].upper()}{polarity[1:]}. "
        f"Every plug is home after {worked.rotations_until_home} rotations."
    )
    kept = worked.with_polarity(Change.STAYS)
    lines = [paragraph(said, width, kind="small")]
    if kept:
        named = ", ".join(str(at) for at in kept)
        lines.append(paragraph(f"Keep their polarity: the plugs out of {named}.", width, kind="small"))
    return [subheading("What it does", width), *lines]


def _fitting(view: EngineView, width: float) -> list[Block]:
    limits = view.torque.value
    count = len(view.places)
    text = (
        f"{count} new gaskets, one under every plug. Compound sparingly, none on the first threads or nose. "
        "By hand until the plug sits; if it will not go by hand, out again and look. "
        f"Torque {said_torque(limits.low_nm)} to {said_torque(limits.high_nm)}: {limits.source}. "
        "Hold the lead still while its nut is turned, wells wiped dry. "
        "The engine maker’s current instructions come first."
    )
    return [
        subheading(f"Putting in, {view.engine_type.thread.value} thread", width),
        paragraph(text, width),
    ]
