"""The sheet that lies beside the plug box: a field for every place, as the plugs lie in the box."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from annual_planner.library.conditions import load_conditions
from annual_planner.paper.engine_sheets.heads import Cautions, brief_cautions, head, title_of
from annual_planner.paper.faces import BOLD, REGULAR, broken, leading
from annual_planner.paper.flow import Block, Group, Section
from annual_planner.paper.look import BLANK_HIGH, BOX, THIN
from annual_planner.paper.notes import notes_to_foot
from annual_planner.paper.pen import Pen
from annual_planner.paper.said import said_day
from annual_planner.paper.text import gap, paragraph, size_of
from annual_planner.planning.engine_view import EngineView, PlugView
from annual_planner.trade.engines import Place
from annual_planner.trade.plug_set import Reach
from annual_planner.trade.plugs import Condition, Verdict

WHAT = "Plug box"
NOTE = "Lay it beside the box. Each plug lies in its own place; read it before it is cleaned."
KEYS = ("propeller_live", "hot_engine", "lead_dust", "compressed_air")
MOST_ABREAST = 9
"""Fields in a row; engines with more cylinders get several rows of fields."""
PAD = 3.0
PLACE_SIZE = 13.0
TICK_WIDE = 26.0
TICK_STEP = BOX + 11.0
BLANK_STEP = BLANK_HIGH + 10.1
TWO_BLANKS = 78.0
"""From this room on, points, both gaps stand beside one another."""
TICKS = (("clean", Verdict.CLEAN), ("soon", Verdict.REPLACE_SOON), ("new", Verdict.REPLACE))
GASKET = "gasket"
SHORT = {Reach.WORN: "worn out", Reach.SHORT: "short", Reach.DOUBT: "in doubt"}


@dataclass(frozen=True, slots=True)
class Field:
    """What is printed in the field of one place; what isn't known yet is left blank."""

    place: Place
    plug: PlugView | None
    facts: tuple[str, ...]
    warning: str
    goes: str
    condition: str = ""
    found: str = ""
    set_to: str = ""
    verdict: Verdict | None = None
    gasket: bool = False


def tray_sheet(view: EngineView, width: float, cautions: Cautions) -> Section:
    """Make the tray sheet of an engine."""
    title = title_of(view, WHAT)
    strips = [_strip(view, places, width) for places in strips_of(view)]
    top = (*head(view, title, NOTE, width), *brief_cautions(cautions, KEYS, width), gap(4))
    legend = _legend(width, "body" if view.engine_type.cylinder_count <= 8 else "small")
    groups = [Group(tuple(strips[number : number + 2])) for number in range(0, len(strips), 2)]
    groups[0] = Group((*top, *groups[0].blocks, *legend))
    return Section(title, tuple(groups), own_sheet=True, filler=notes_to_foot(width))


def strips_of(view: EngineView) -> list[tuple[Place, ...]]:
    """The places as they lie in the box: one row of holes for each row of plugs, cylinders side by side."""
    engine = view.engine_type
    count = engine.cylinder_count
    blocks = -(-count // MOST_ABREAST)
    each = -(-count // blocks)
    return [
        tuple(Place(number, row.row) for number in range(start + 1, min(start + each, count) + 1))
        for start in range(0, count, each)
        for row in engine.rows
    ]


def field_of(view: EngineView, at: Place) -> Field:
    """What is known of one place: of the plug in the open tray, else of the plug in the engine."""
    slot, seat = view.tray.slot(at) if view.tray else None, view.at(at)
    warning = SHORT.get(seat.reach, "") if seat.reach else ""
    if slot is None:
        return Field(at, seat.plug, _facts(seat.plug), warning, f"goes to {seat.next_place}")
    looks = [each for each in (slot.before, slot.after) if each is not None]
    first = looks[0] if looks else None  # the firing end is read before it is cleaned
    found = next((each.line.gaps_in for each in looks if each.line.gaps_in), ())
    set_to = next(
        (each.line.set_gap_in for each in reversed(looks) if each.line.set_gap_in is not None), None
    )
    return Field(
        place=at,
        plug=slot.plug,
        facts=_facts(slot.plug),
        warning=warning,
        goes="rejected: a new plug" if slot.rejected else f"goes to {slot.next_place or seat.next_place}",
        condition=", ".join(numbers_of(first.line.conditions)) if first else "",
        found=_gaps(found),
        set_to="" if set_to is None else f"{set_to:.3f}",
        verdict=slot.verdict,
        gasket=bool(slot.gasket_out),
    )


def numbers_of(conditions: Sequence[str]) -> list[str]:
    """The numbers by which the sheet names conditions."""
    known = [each.value for each in Condition]
    return [str(known.index(each) + 1) if each in known else each for each in conditions]


def _gaps(gaps_in: Sequence[float]) -> str:
    if not gaps_in:
        return ""
    low, high = min(gaps_in), max(gaps_in)
    return f"{low:.3f}" if low == high else f"{low:.3f}–{high:.3f}".replace("0.", ".")


def _facts(plug: PlugView | None) -> tuple[str, ...]:
    if plug is None:
        return ("no plug on record",)
    run = f"run {plug.run_hours:,.0f} h" if plug.run_hours is not None else "hours not known"
    if plug.last_gap_in is None:
        return (plug.type_title, run, "no gap on record")
    on = (said_day(plug.last_gap_on),) if plug.last_gap_on else ()
    return (plug.type_title, run, f"last gap {plug.last_gap_in:.3f}", *on)


def _strip(view: EngineView, places: Sequence[Place], width: float) -> Block:
    """Make one row of fields."""
    wide = width / max(len(each) for each in strips_of(view))
    room = wide - 2 * PAD
    fields = [field_of(view, at) for at in places]
    texts = [_texts(field, room) for field in fields]
    upper = PLACE_SIZE * 1.3 + max(sum(leading(size) for _, size, _ in lines) for lines in texts) + 3
    lines_of_blanks = 2 if room >= TWO_BLANKS else 3
    blanks = lines_of_blanks * BLANK_STEP
    abreast = len(TICKS) + 1 if room >= (len(TICKS) + 1) * TICK_WIDE else 2
    high = upper + blanks + -(-(len(TICKS) + 1) // abreast) * TICK_STEP + 3

    def draw(pen: Pen, x: float, top: float) -> None:
        for number, (field, lines) in enumerate(zip(fields, texts, strict=True)):
            left = x + number * wide
            pen.box(left, top, wide, high, edge=pen.shades.ink, weight=THIN)
            _name(pen, left + PAD, top, field, lines, room)
            _blanks(pen, left + PAD, top - upper, field, room)
            _ticks(pen, left + PAD, top - upper - blanks, field, abreast, room)

    return Block(high + 5, draw)


def _texts(field: Field, room: float) -> list[tuple[str, float, str]]:
    """Lines below the place: tag, facts, warning, where it goes."""
    body, small = size_of("body"), size_of("small")
    lines = [
        (line, body, BOLD) for line in broken(field.plug.tag if field.plug else "tag:", BOLD, body, room)
    ]
    for fact in field.facts:
        lines += [(line, small, REGULAR) for line in broken(fact, REGULAR, small, room)]
    bold = [text for text in (field.warning, field.goes) if text]
    for text in bold:
        lines += [(line, small, BOLD) for line in broken(text, BOLD, small, room)]
    return lines


def _name(
    pen: Pen, x: float, top: float, field: Field, lines: Sequence[tuple[str, float, str]], room: float
) -> None:
    pen.box(x - PAD, top, room + 2 * PAD, PLACE_SIZE * 1.3, fill=pen.shades.band)
    pen.bold(x, top, str(field.place), PLACE_SIZE)
    y = top - PLACE_SIZE * 1.3 - 1
    for text, size, face in lines:
        pen.write(x, y, text, size, face=face)
        y -= leading(size)


def _blanks(pen: Pen, x: float, top: float, field: Field, room: float) -> None:
    """Leave room for the condition, and for both gaps beside or under one another."""
    if room >= TWO_BLANKS:
        half = (room - 3) / 2
        spots = ((0.0, 0, room), (0.0, 1, half), (half + 3, 1, half))
    else:
        spots = ((0.0, 0, room), (0.0, 1, room), (0.0, 2, room))
    named = (("condition no.", field.condition), ("gap found", field.found), ("gap set", field.set_to))
    for (name, known), (shift, line, wide) in zip(named, spots, strict=True):
        _blank(pen, x + shift, top - line * BLANK_STEP, name, known, wide)


def _blank(pen: Pen, x: float, top: float, name: str, known: str, wide: float) -> None:
    small = size_of("small")
    pen.write(x, top + 1.5, name, small, colour=pen.shades.faint)
    pen.blank(x, top - leading(small), wide, BLANK_HIGH)
    if known:
        pen.write(x + 3, top - leading(small) - 5, known, size_of("body"))


def _ticks(pen: Pen, x: float, top: float, field: Field, abreast: int, room: float) -> None:
    named = [(word, field.verdict is verdict) for word, verdict in TICKS] + [(GASKET, field.gasket)]
    each = room / abreast
    for number, (word, is_so) in enumerate(named):
        left = x + (number % abreast) * each + (each - BOX) / 2
        y = top - (number // abreast) * TICK_STEP - 2
        pen.tick_box(left, y, BOX)
        if is_so:
            pen.write(left + BOX / 2, y - 2, "✓", 11, face=BOLD, align="center")
        pen.write(left + BOX / 2, y - BOX, word, size_of("small"), align="center")


def _legend(width: float, kind: str) -> list[Block]:
    forced = {each for each, says in load_conditions().items() if says.verdict is Verdict.REPLACE}
    named = [
        f"{number} {each.value}" + (" (new)" if each in forced else "")
        for number, each in enumerate(Condition, 1)
    ]
    return [
        paragraph("Condition of the firing end: " + " · ".join(named) + ".", width, kind=kind),
        paragraph(
            "clean: clean, gap, test, back in · soon: back in, replaced at the next chance · new: doesn’t go "
            "back in · gasket: it came out with its plug, else it is still in the hole. worn out, short, in "
            "doubt: at its limit, won’t or may not reach the next annual. Gaps in inch; of several ground "
            "electrodes the smallest and the largest. A gap too small is never levered open. A dropped plug "
            "is scrap.",
            width,
            kind=kind,
        ),
    ]
