"""Blanks for the numbers a card asks for: one, or one for each cylinder, plug, wheel or engine."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence

from annual_planner.paper.faces import BOLD, REGULAR, broken, leading
from annual_planner.paper.flow import Block
from annual_planner.paper.look import BLANK_HIGH
from annual_planner.paper.pen import Pen
from annual_planner.paper.said import said_limits, text_in
from annual_planner.paper.signing import side_by_side
from annual_planner.paper.text import size_of
from annual_planner.planning.paper_fields import LONGEST_RESULT

NameOf = Callable[[int, int], str]
"""Gives the form field's name for a measurement and its taking, both from 0."""
BLANK_WIDE = 48.0
BLANK_LEAST = 38.0
"""Width of a blank with the gap after it: as a rule, and at least where many stand in a row."""
NAME_SHARE = 0.42
SINGLE_SHARE = 0.66
NARROW_SHARE = 0.28
"""Shares of the width for a measurement's name: beside up to six blanks, beside one, beside seven to nine."""
ONE_ROW = 8
"""Blanks that one row of the whole width holds."""
WHEELS = " · 1 left, 2 right, 3 nose or tail"
ROWS_OF_PLUG = {True: ("F", "R"), False: ("T", "B")}
"""Letters of the two plugs of a cylinder: front and rear on a radial, else top and bottom."""


def measurement_blocks(
    measured: Sequence[Mapping[str, object]],
    counts: Mapping[str, int],
    width: float,
    *,
    radial: bool,
    name_of: NameOf,
) -> list[Block]:
    """Make the blanks of a card's measurements; those taken once stand two abreast."""
    blocks: list[Block] = []
    waiting: Block | None = None
    half = width / 2
    for number, each in enumerate(measured):
        names = blank_names(each, counts, radial=radial)
        fields = [name_of(number, taking) for taking in range(len(names))]
        if len(names) > 1:
            blocks += [waiting] if waiting else []
            waiting = None
            share = NAME_SHARE if _longest_row(names) <= 6 else NARROW_SHARE
            blocks.append(_one(each, names, fields, width, share, radial=radial))
            continue
        single = _one(each, names, fields, half - 8, SINGLE_SHARE, radial=radial)
        if waiting:
            blocks.append(side_by_side(waiting, single, half))
        waiting = None if waiting else single
    return [*blocks, waiting] if waiting else blocks


def _one(
    measured: Mapping[str, object],
    names: list[str],
    fields: list[str],
    width: float,
    share: float,
    *,
    radial: bool,
) -> Block:
    """Make one measurement, its name and limits at the left of its blanks."""
    left = width * share
    plugs = len(names) > 1 and text_in(measured, "per") == "plug"
    many = len(names) > 1
    texts = _words(measured, left - 8, many=many, plugs=plugs, radial=radial)
    wide = min(BLANK_WIDE, max((width - left) / _longest_row(names), BLANK_LEAST))
    rows = _rows(names, max(1, int((width - left + 0.01) // wide)))
    label = leading(size_of("small")) if len(names) > 1 else 0.0
    row_high = BLANK_HIGH + label + 2
    high = max(len(rows) * row_high, sum(leading(size) for _, size, _ in texts)) + 4
    unit = text_in(measured, "unit")
    called = f"{text_in(measured, 'name')}, {unit}".rstrip(", ")

    def draw(pen: Pen, x: float, top: float) -> None:
        y, waiting = top, iter(fields)
        for line, size, face in texts:
            pen.write(x, y, line, size, face=face)
            y -= leading(size)
        for number, row in enumerate(rows):
            _blanks(pen, x + left, top - number * row_high, row, label, unit, wide)
            for place, name in enumerate(row):
                at, upper = x + left + place * wide, top - number * row_high - label
                says = f"{called} {name}".rstrip()
                pen.form.text(
                    next(waiting), at, upper, wide - 5, BLANK_HIGH, says=says, longest=LONGEST_RESULT
                )

    return Block(high, draw)


def blank_names(measured: Mapping[str, object], counts: Mapping[str, int], *, radial: bool) -> list[str]:
    """Name each blank of a measurement; one empty name when it is taken once.

    >>> blank_names({"per": "plug", "count": 4}, {}, radial=False)
    ['1T', '2T', '1B', '2B']
    """
    per = text_in(measured, "per") or "airplane"
    many = _count(measured, counts, per)
    if many <= 1:
        return [""]
    if per == "plug" and many % 2 == 0:
        return [f"{place}{letter}" for letter in ROWS_OF_PLUG[radial] for place in range(1, many // 2 + 1)]
    return [str(number) for number in range(1, many + 1)]


def _parts(names: list[str]) -> list[list[str]]:
    """Part the blanks of plugs into their two rows where one can't hold them; others stay together."""
    if len(names) > ONE_ROW and not names[0].isdigit():
        half = len(names) // 2
        return [names[:half], names[half:]]
    return [names]


def _longest_row(names: list[str]) -> int:
    return max(len(part) for part in _parts(names))


def _rows(names: list[str], across: int) -> list[list[str]]:
    """Break the parts into rows as even as can be."""
    rows: list[list[str]] = []
    for part in _parts(names):
        lines = -(-len(part) // across)
        each = -(-len(part) // lines)
        rows += [part[start : start + each] for start in range(0, len(part), each)]
    return rows


def _count(measured: Mapping[str, object], counts: Mapping[str, int], per: str) -> int:
    stored = measured.get("count")
    if isinstance(stored, int):
        return stored
    return 1 if per == "airplane" else counts.get(f"{per}s", 1)


def _words(
    measured: Mapping[str, object], width: float, *, many: bool, plugs: bool, radial: bool
) -> list[tuple[str, float, str]]:
    body, small = size_of("body"), size_of("small")
    limits = said_limits(measured.get("low"), measured.get("high"), text_in(measured, "unit"))
    note = text_in(measured, "note")
    unlimited = measured.get("low") is None and measured.get("high") is None
    quiet = note if note and unlimited else f"{limits} · {note}" if note else limits
    if plugs:
        quiet += " · F front, R rear" if radial else " · T top, B bottom"
    elif many and text_in(measured, "per") == "wheel":
        quiet += WHEELS
    title = text_in(measured, "name") + (f", {text_in(measured, 'unit')}" if many else "")
    named = [(line, body, BOLD) for line in broken(title, BOLD, body, width)]
    return named + [(line, small, REGULAR) for line in broken(quiet, REGULAR, small, width)]


def _blanks(pen: Pen, x: float, top: float, names: list[str], label: float, unit: str, wide: float) -> None:
    small = size_of("small")
    for place, name in enumerate(names):
        left = x + place * wide
        if name:
            pen.write(left + (wide - 5) / 2, top, name, small, align="center", colour=pen.shades.faint)
        pen.blank(left, top - label, wide - 5, BLANK_HIGH)
    if names == [""]:
        pen.write(x + wide, top - 6, unit, size_of("body"))
