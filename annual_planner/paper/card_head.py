"""The head of a work card: number, title, facts, a code to scan; and its short form when continued."""

from __future__ import annotations

from collections.abc import Sequence

from annual_planner.library.zone_words import zone_words
from annual_planner.paper.faces import BOLD, REGULAR, broken, leading, width_of
from annual_planner.paper.flow import Block
from annual_planner.paper.look import FIRM, MM, THIN
from annual_planner.paper.pen import Pen
from annual_planner.paper.qr import card_code, draw_qr
from annual_planner.paper.said import said_key, said_range
from annual_planner.paper.signing import side_by_side
from annual_planner.paper.text import labelled, size_of
from annual_planner.store.rows import CardLine

CODE = 15 * MM
"""Side of the code with its quiet zone: a module is some half a millimetre."""
NUMBER_WIDE = 46.0
TITLE_SIZE = 11.5


def card_head(
    card: CardLine, package_number: str, width: float, needs: Sequence[tuple[str, str]] = ()
) -> Block:
    """Make the head of a card: number, title, facts and what it needs, beside its QR code."""
    body, small = size_of("body"), size_of("small")
    code = card_code(package_number, card.number)
    room = width - NUMBER_WIDE - 10 - max(CODE, width_of(code, REGULAR, small)) - 8
    beside = width - NUMBER_WIDE - 10 - CODE - 8  # the code's own text stands below it
    title = _fitting(card.title, BOLD, TITLE_SIZE, (beside, room), CODE - 3)
    above = 3 + len(title) * leading(TITLE_SIZE)
    facts = _fitting(f"{_facts(card)} · {_whose(card)}", REGULAR, body, (beside, room), CODE - above)
    lines = need_lines(needs, room + NUMBER_WIDE + 10)
    upper = len(title) * leading(TITLE_SIZE) + len(facts) * leading(body) + 4.5
    high = max(upper + sum(line.height for line in lines), CODE + leading(small) + 1)

    def draw(pen: Pen, x: float, top: float) -> None:
        pen.rule(x, top, width, weight=FIRM, colour=pen.shades.ink)
        pen.box(x, top, NUMBER_WIDE, 26, fill=pen.shades.ink)
        number = str(card.number)
        pen.write(x + NUMBER_WIDE / 2, top - 4, number, 14, face=BOLD, colour="#FFFFFF", align="center")
        left = x + NUMBER_WIDE + 10
        pen.write_lines(left, top - 3, title, TITLE_SIZE, face=BOLD)
        pen.write_lines(left, top - 3 - len(title) * leading(TITLE_SIZE), facts, body)
        y = top - upper
        for line in lines:
            line.draw(pen, x, y)
            y -= line.height
        draw_qr(pen, x + width - CODE, top - 1, CODE, code)
        pen.write(x + width, top - CODE, code, small, align="right", colour=pen.shades.faint)

    return Block(high + 2, draw)


def _fitting(text: str, face: str, size: float, widths: tuple[float, float], high: float) -> tuple[str, ...]:
    """Break text to the first width where it stays that low, else to the second."""
    lines = broken(text, face, size, widths[0])
    return lines if len(lines) * leading(size) <= high else broken(text, face, size, widths[1])


def need_lines(needs: Sequence[tuple[str, str]], width: float) -> list[Block]:
    """Set what a card needs: first what is short enough for half the width, two abreast, then the rest."""
    half, label_width = width / 2, NUMBER_WIDE + 10
    room = half - 8 - label_width
    short = [need for need in needs if width_of(need[1], REGULAR, size_of("body")) <= room]
    if len(short) < 2:
        short = []
    lines: list[Block] = []
    for place in range(0, len(short), 2):
        pair = [labelled(*need, half, label_width=label_width) for need in short[place : place + 2]]
        lines.append(side_by_side(pair[0], pair[1], half) if len(pair) > 1 else pair[0])
    rest = (need for need in needs if need not in short)
    return [*lines, *(labelled(*need, width, label_width=label_width) for need in rest)]


def continued_head(card: CardLine, width: float) -> Block:
    """Make the strip over the rest of a card on the next sheet."""
    size = size_of("body")
    lines = broken(f"Card {card.number} continued: {card.title}", BOLD, size, width - 8)
    high = len(lines) * leading(size) + 6

    def draw(pen: Pen, x: float, top: float) -> None:
        pen.rule(x, top, width, weight=THIN, colour=pen.shades.ink)
        pen.write_lines(x + 4, top - 3, lines, size, face=BOLD)

    return Block(high + 2, draw)


def _facts(card: CardLine) -> str:
    hours = said_range(card.hours_low, card.hours_likely, card.hours_high)
    kind = said_key(card.kind).lower() if card.kind != card.phase else ""
    zone = zone_words(card.zone)
    parts = (zone[:1].upper() + zone[1:], said_key(card.phase).lower(), kind, hours)
    return " · ".join(part for part in parts if part)


def _whose(card: CardLine) -> str:
    doer, name = card.doer or "anyone the rules allow", f" · assigned to {card.assigned_name}"
    if not (card.entry and card.signer):
        said = f"done by: {doer} · no signature owed"
    elif card.signer == card.doer:
        said = f"done and signed by: {doer}"
    else:
        said = f"done by: {doer} · signed by: {card.signer}"
    return said + (name if card.assigned_name else "")
