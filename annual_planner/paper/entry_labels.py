"""Entries on label sheets: each begins on a label of its own and goes on over the next ones it needs."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from io import BytesIO
from pathlib import Path
from typing import BinaryIO

from annual_planner.library.label_sheets import LabelSheet
from annual_planner.paper.faces import REGULAR, broken, leading
from annual_planner.paper.look import BLANK_HIGH, print_shades, sheet_of
from annual_planner.paper.pen import Pen
from annual_planner.paper.printed_entry import UNSIGNED, PrintedEntry
from annual_planner.paper.target import give
from annual_planner.paper.text import size_of
from annual_planner.paper.writing import About, new_canvas
from annual_planner.trade.refused import Refused

MARGIN = 8.0
"""Points kept free inside each edge of a label: printers and cuts are not exact."""
EDGE = 14.0
"""Points that printers commonly can't reach along the edge of the paper, and a little more (no source)."""
SIZES = (10.0, 9.0, 8.0)
"""Larger types, tried first: an entry is set in one where that takes no more labels than the smallest."""
MOST_LABELS = 8
"""Labels that one entry may run over; beyond that a larger label is the better paper."""
CARRIED = 2
"""Lines of an entry that go to the last label with its signature, so that it never stands alone."""
SHORT_INK = "Signature, kind and number of certificate, in ink:"
SHORT_CLAIM = "No approval is claimed for electronic signatures."
DEMO = "DEMONSTRATION"


@dataclass(frozen=True, slots=True)
class Label:
    """What stands on one label; `closing` are the last lines, over the line for ink."""

    head: str
    lines: tuple[str, ...]
    closing: tuple[str, ...] = ()
    size: float = 7.0


def labels_pdf(
    entries: Sequence[PrintedEntry],
    target: Path | BinaryIO,
    sheet: LabelSheet,
    *,
    registration: str,
    last_seal: str,
    first_label: int = 1,
    demo: bool = False,
) -> int:
    """Write the entries on labels, `first_label` (from 1) of the first sheet being free; give the sheets.

    The same input gives the same bytes. Refused for a first label that the sheet hasn't, a label too small
    for a line and a signature, an entry that wants more than 8 labels, or a path that can't be written.
    """
    if not 1 <= first_label <= sheet.labels:
        raise Refused(
            f"This sheet has labels 1 to {sheet.labels}; there is no label {first_label}.",
            "Count from the top left along the rows, and name the first label that is free.",
        )
    labels = _in_largest(entries, sheet, registration, last_seal)
    drawn = BytesIO()
    pages = _draw(labels, sheet, first_label - 1, registration, demo, drawn)
    give(target, drawn.getvalue())
    return pages


def _in_largest(
    entries: Sequence[PrintedEntry], sheet: LabelSheet, registration: str, last_seal: str
) -> list[Label]:
    """Lay all entries in one size of type: the largest that takes no more labels than the smallest."""

    def laid(size: float) -> list[Label]:
        return [
            label for entry in entries for label in labels_of(entry, sheet, registration, last_seal, size)
        ]

    smallest = laid(size_of("small"))
    for size in SIZES:
        try:
            labels = laid(size)
        except Refused:
            continue
        if len(labels) <= len(smallest):
            return labels
    return smallest


def kept_free(sheet: LabelSheet) -> tuple[float, float]:
    """Points kept free inside the left and right, and the upper and lower edges of each label."""
    return max(MARGIN, EDGE - sheet.left), max(MARGIN, EDGE - sheet.top)


def labels_of(
    entry: PrintedEntry, sheet: LabelSheet, registration: str, last_seal: str, size: float = 0.0
) -> tuple[Label, ...]:
    """Lay one entry over as many labels as it needs. Refused where they are too small or too many.

    `size` of the type, points; 0: the smallest.
    """
    size = size or size_of("small")
    across, down = kept_free(sheet)
    wide = sheet.label_width - 2 * across
    lines = [
        line for text in entry.text.splitlines() if text.strip() for line in broken(text, REGULAR, size, wide)
    ]
    said = [*(entry.signed or (UNSIGNED,))]
    if entry.signed:
        said += [SHORT_CLAIM, *([f"Newest seal of the fleet: {last_seal}"] if last_seal else [])]
    closing = tuple(line for text in (*said, SHORT_INK) for line in broken(text, REGULAR, size, wide))
    room = int((sheet.label_height - 2 * down) / leading(size) + 1e-6) - 1  # one line is the head
    last_room = room - len(closing) - _ink_lines(size)
    if last_room < CARRIED:
        raise Refused(
            f"A label of {sheet.name} is too small for an entry and its signature.",
            "Choose a larger label, or print on Letter or A4.",
        )
    pieces = _pieces(lines, room, last_room)
    book = f"{registration} · {entry.book.capitalize()}"
    if len(pieces) > MOST_LABELS:
        raise Refused(
            f"The entry for {book} would need {len(pieces)} labels of this size; {MOST_LABELS} at most.",
            "Choose a larger label, or print on Letter or A4.",
        )
    many = len(pieces)
    heads = [f"{book}, label {number} of {many}" if many > 1 else book for number in range(1, many + 1)]
    return tuple(
        Label(head, tuple(piece), closing if number == many else (), size)
        for number, (head, piece) in enumerate(zip(heads, pieces, strict=True), 1)
    )


def _ink_lines(size: float) -> int:
    """Height of the line for ink, in lines of text."""
    return -int(-BLANK_HIGH // leading(size))


def _pieces(lines: list[str], room: int, last_room: int) -> list[list[str]]:
    """Cut lines to labels: the last keeps room for the closing, and some lines of the text."""
    pieces = []
    while len(lines) > last_room:
        take = min(room, len(lines) - CARRIED)
        pieces.append(lines[:take])
        lines = lines[take:]
    return [*pieces, lines]


def _draw(
    labels: Sequence[Label], of: LabelSheet, first: int, registration: str, demo: bool, drawn: BytesIO
) -> int:
    sheet = sheet_of(of.paper)
    about = About(f"Entries on labels, {registration}", "Maintenance-record entries; advises, never approves")
    canvas = new_canvas(sheet, about, drawn)
    pages = -(-(first + len(labels)) // of.labels)
    across, under = kept_free(of)
    pen = Pen(canvas, sheet, print_shades(), pages=pages)
    for page in range(pages):
        for place in range(of.labels):
            at = page * of.labels + place - first
            if 0 <= at < len(labels):
                left, down = of.corner(place)
                _draw_label(pen, labels[at], left + across, sheet.height - down - under, of, demo)
        canvas.showPage()
    canvas.save()
    return pages


def _draw_label(pen: Pen, label: Label, x: float, top: float, of: LabelSheet, demo: bool) -> None:
    size = label.size
    line, wide = leading(size), of.label_width - 2 * kept_free(of)[0]
    pen.bold(x, top, label.head, size)
    if demo:
        pen.write(x + wide, top, DEMO, size, align="right")
    pen.write_lines(x, top - line, label.lines, size)
    if not label.closing:
        return
    below = top - line * (1 + len(label.lines))
    pen.write_lines(x, below, label.closing, size)
    pen.rule(x, below - line * len(label.closing) - BLANK_HIGH + 2, wide, weight=0.8, colour=pen.shades.ink)
