"""Tables on paper: columns by share of the width, rows that wrap, a heading row that is repeated."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from annual_planner.paper.faces import BOLD, REGULAR, broken, leading, parted
from annual_planner.paper.flow import Block, Group
from annual_planner.paper.look import BLANK_HIGH, BOX, HAIR, THIN
from annual_planner.paper.pen import Pen
from annual_planner.paper.signs import state_sign
from annual_planner.paper.text import size_of

PAD = 4.0
RIGHT_PAD = 11.0
"""Space after a column set to the right, so that the next one doesn't touch it."""
SIGN = 7.0
MOST_LINES = 30
"""Lines of one row; few texts are so long, and none is lost."""


@dataclass(frozen=True, slots=True)
class Column:
    """A column: its heading, its share of the width, and how it is set ('left' or 'right')."""

    heading: str
    share: float
    align: str = "left"


@dataclass(frozen=True, slots=True)
class Cell:
    """Text that is bold or stands beside the sign of a due state; `quiet`: smaller words below it."""

    text: str
    bold: bool = False
    state: str = ""
    quiet: str = ""


@dataclass(frozen=True, slots=True)
class Tick:
    """An empty box for a pen's tick."""


@dataclass(frozen=True, slots=True)
class Blank:
    """An empty field for handwriting."""


CellLike = str | Cell | Tick | Blank


@dataclass(frozen=True, slots=True)
class _Place:
    """Where a column stands, from the table's left edge."""

    x: float
    width: float
    align: str

    @property
    def room(self) -> float:
        """Width that text may take."""
        return self.width - PAD - (RIGHT_PAD if self.align == "right" else PAD)


def table(
    columns: Sequence[Column], rows: Sequence[Sequence[CellLike]], width: float, *, head: Sequence[Block] = ()
) -> tuple[Group, ...]:
    """Make one group per row; the first holds `head`, the heading row and two rows, the last two more.

    So neither a heading nor a single row stands alone on a sheet.
    """
    places = _places(columns, width)
    top = _heading_row(columns, places, width)
    blocks = [_row(part, places, width) for row in rows for part in _parts(row, places)]
    first = Group((*head, top, *blocks[:2]), continued=top)
    rest = blocks[2:]
    middle, last = (rest[:-2], rest[-2:]) if len(rest) > 2 else ([], rest)
    groups = [Group((block,), running=top) for block in middle]
    return (first, *groups, *([Group(tuple(last), running=top)] if last else []))


def _places(columns: Sequence[Column], width: float) -> tuple[_Place, ...]:
    total = sum(column.share for column in columns)
    found: list[_Place] = []
    x = 0.0
    for column in columns:
        wide = width * column.share / total
        found.append(_Place(x, wide, column.align))
        x += wide
    return tuple(found)


def _heading_row(columns: Sequence[Column], places: Sequence[_Place], width: float) -> Block:
    size = size_of("small")
    cells = [
        broken(column.heading, BOLD, size, place.room) for column, place in zip(columns, places, strict=True)
    ]
    high = max(len(lines) for lines in cells) * leading(size) + 6

    def draw(pen: Pen, x: float, top: float) -> None:
        pen.box(x, top, width, high, fill=pen.shades.band)
        for lines, place in zip(cells, places, strict=True):
            _write(pen, x, top - 3, lines, place, size, BOLD)
        pen.rule(x, top, width, weight=THIN, colour=pen.shades.ink)
        pen.rule(x, top - high, width, weight=THIN, colour=pen.shades.ink)

    return Block(high, draw)


def _parts(row: Sequence[CellLike], places: Sequence[_Place]) -> Iterator[Sequence[CellLike]]:
    """Part a row that is too high for a sheet: what is left of its texts goes on in rows below."""
    while True:
        pairs = [_parted(cell, place) for cell, place in zip(row, places, strict=True)]
        yield [first for first, _ in pairs]
        row = [rest for _, rest in pairs]
        if not any(row):
            return


def _parted(cell: CellLike, place: _Place) -> tuple[CellLike, str]:
    if isinstance(cell, (Tick, Blank)):
        return cell, ""
    whole = cell if isinstance(cell, Cell) else Cell(cell)
    if len(whole.text) < MOST_LINES:
        return cell, ""
    face = BOLD if whole.bold else REGULAR
    first, rest = parted(whole.text, face, size_of("body"), place.room, MOST_LINES)
    return (replace(whole, text=first), rest) if rest else (cell, "")


def _row(row: Sequence[CellLike], places: Sequence[_Place], width: float) -> Block:
    size = size_of("body")
    texts = [_lines(cell, place, size) for cell, place in zip(row, places, strict=True)]
    below = [_quiet(cell, place) for cell, place in zip(row, places, strict=True)]
    high = max(
        _height(cell, lines, size) + len(quiet) * leading(size_of("small"))
        for cell, lines, quiet in zip(row, texts, below, strict=True)
    )
    centred = any(isinstance(cell, (Tick, Blank)) for cell in row)

    def draw(pen: Pen, x: float, top: float) -> None:
        for cell, lines, quiet, place in zip(row, texts, below, places, strict=True):
            if isinstance(cell, Tick):
                pen.tick_box(x + place.x + PAD, top - (high - BOX) / 2, BOX)
            elif isinstance(cell, Blank):
                pen.blank(x + place.x + PAD, top - (high - BLANK_HIGH) / 2, place.width - 2 * PAD, BLANK_HIGH)
            else:
                whole = len(lines) * leading(size) + len(quiet) * leading(size_of("small"))
                shift = (high - whole) / 2 if centred else 3
                _write_cell(pen, x, top - shift, cell, lines, place, size)
                under = top - shift - len(lines) * leading(size)
                pen.write_lines(x + place.x + PAD, under, quiet, size_of("small"), colour=pen.shades.faint)
        pen.rule(x, top - high, width, weight=HAIR)

    return Block(high, draw)


def _lines(cell: CellLike, place: _Place, size: float) -> tuple[str, ...]:
    if isinstance(cell, (Tick, Blank)):
        return ()
    text, face, room = cell, REGULAR, place.room
    if isinstance(cell, Cell):
        text, face = cell.text, BOLD if cell.bold else REGULAR
        room -= SIGN + 4 if cell.state else 0
    return broken(str(text), face, size, room)


def _quiet(cell: CellLike, place: _Place) -> tuple[str, ...]:
    if not isinstance(cell, Cell) or not cell.quiet:
        return ()
    return broken(cell.quiet, REGULAR, size_of("small"), place.room)


def _height(cell: CellLike, lines: Sequence[str], size: float) -> float:
    if isinstance(cell, Tick):
        return BOX + 5
    if isinstance(cell, Blank):
        return BLANK_HIGH + 4
    return len(lines) * leading(size) + 6


def _write_cell(
    pen: Pen, x: float, top: float, cell: str | Cell, lines: Sequence[str], place: _Place, size: float
) -> None:
    if isinstance(cell, str):
        _write(pen, x, top, lines, place, size, REGULAR)
        return
    shift = 0.0
    if cell.state:
        state_sign(pen, x + place.x + PAD, top - 2, SIGN, cell.state)
        shift = SIGN + 4
    _write(pen, x + shift, top, lines, place, size, BOLD if cell.bold else REGULAR)


def _write(
    pen: Pen, x: float, top: float, lines: Sequence[str], place: _Place, size: float, face: str
) -> None:
    right = place.align == "right"
    start = x + place.x + (place.width - RIGHT_PAD if right else PAD)
    for number, line in enumerate(lines):
        pen.write(start, top - number * leading(size), line, size, face=face, align=place.align)
