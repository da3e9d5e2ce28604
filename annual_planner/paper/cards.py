"""The work cards in order, each with its cautions, steps to tick, numbers to take, and who did it and who signs."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from itertools import groupby

from annual_planner.paper.card_head import card_head, continued_head
from annual_planner.paper.cautions import caution_block
from annual_planner.paper.faces import BOLD, REGULAR, broken, leading
from annual_planner.paper.flow import Block, Group, Section
from annual_planner.paper.look import BOX, HAIR, MM
from annual_planner.paper.measurements import measurement_block
from annual_planner.paper.pen import Pen
from annual_planner.paper.said import said_key, said_number, tables_in, text_in, texts_in
from annual_planner.paper.signing import boxed_blanks
from annual_planner.paper.text import gap, labelled, size_of
from annual_planner.planning.package_view import PackageView
from annual_planner.store.rows import CardLine
from annual_planner.trade.cards import Caution

TITLE = "Work cards in order"
AFTER_CARD = 5 * MM
NOTES_FROM = 32 * MM
"""From this height left on a sheet on, lines for notes are drawn."""


def work_cards(view: PackageView, width: float) -> Section:
    """Make all cards in the order of work, grouped by phase."""
    cautions = {caution.key: caution for caution in view.cautions}
    groups: list[Group] = []
    marks: dict[int, str] = {}
    for phase, cards in groupby(view.cards, key=lambda card: card.phase):
        together = list(cards)
        marks[len(groups)] = said_key(phase)
        head = _phase_head(phase, together, width)
        for number, card in enumerate(together):
            blocks = _card(card, view, cautions, width)
            groups.append(
                Group(((head, *blocks) if number == 0 else blocks), continued=continued_head(card, width))
            )
    return Section(TITLE, tuple(groups), filler=_notes(width), needs=1.0, marks=marks)


def _phase_head(phase: str, cards: list[CardLine], width: float) -> Block:
    size = size_of("heading")
    high = leading(size) + 8
    count = f"{len(cards)} card" + ("s" if len(cards) > 1 else "")
    hours = f"{count}, about {said_number(sum(card.hours_likely for card in cards))} h"

    def draw(pen: Pen, x: float, top: float) -> None:
        pen.box(x, top, width, high, fill=pen.shades.band)
        pen.box(x, top, 4, high, fill=pen.shades.accent)
        pen.write(x + 12, top - 4, said_key(phase), size, face=BOLD, colour=pen.shades.accent)
        pen.write(x + width - 8, top - 8, hours, size_of("body"), align="right")

    return Block(high + 8, draw) if cards else gap(0)


def _card(
    card: CardLine, view: PackageView, cautions: Mapping[str, Caution], width: float
) -> tuple[Block, ...]:
    content = card.content
    named = [cautions[key] for key in texts_in(content, "cautions") if key in cautions]
    return (
        card_head(card, view.package.number, width),
        *_needs(card, width),
        *(caution_block(caution, width) for caution in named),
        *(step_block(number, text, width) for number, text in enumerate(texts_in(content, "steps"), 1)),
        *_measurements(card, view, width),
        *_endings(card, width),
        gap(AFTER_CARD),
    )


def _needs(card: CardLine, width: float) -> list[Block]:
    content = card.content
    parts = [_part(part) for part in tables_in(content, "parts")]
    panels = texts_in(content, "panel_titles") or tuple(said_key(key) for key in texts_in(content, "panels"))
    lines = (
        ("Opens", ", ".join(panels)),
        ("Tools", ", ".join(texts_in(content, "tools"))),
        ("Parts", ", ".join(parts)),
        ("Why", text_in(content, "why")),
        ("Taken in", ", ".join(texts_in(content, "merged"))),
        ("References", " · ".join(texts_in(content, "references"))),
        ("Covers", ", ".join(texts_in(content, "covers"))),
        ("Note", card.note),
    )
    found = [labelled(label, text, width) for label, text in lines if text]
    return [*found, gap(3)] if found else []


def _part(part: Mapping[str, object]) -> str:
    unit = text_in(part, "unit")
    amount = said_number(part.get("quantity"))
    return (
        f"{amount} × {text_in(part, 'name')}"
        if unit in ("", "each")
        else f"{amount} {unit} {text_in(part, 'name')}"
    )


def step_block(number: int, text: str, width: float) -> Block:
    """Make one step: a box for the pen, its number, its words, a hair line below."""
    size = size_of("body")
    lines = broken(text, REGULAR, size, width - BOX - 30)
    high = max(BOX, len(lines) * leading(size)) + 4

    def draw(pen: Pen, x: float, top: float) -> None:
        pen.tick_box(x + 1, top - 2, BOX)
        shift = 2 + max(0.0, (BOX - len(lines) * leading(size)) / 2)
        pen.write(x + BOX + 18, top - shift, f"{number}", size, face=BOLD, align="right")
        pen.write_lines(x + BOX + 26, top - shift, lines, size)
        pen.rule(x + BOX + 8, top - high, width - BOX - 8, weight=HAIR)

    return Block(high, draw)


def _measurements(card: CardLine, view: PackageView, width: float) -> list[Block]:
    radial = any("radial" in feature for feature in view.aircraft.features)
    counts = view.aircraft.counts
    found = [
        measurement_block(each, counts, width - 8, radial=radial)
        for each in tables_in(card.content, "measurements")
    ]
    return [gap(5), *found] if found else []


def _endings(card: CardLine, width: float) -> list[Block]:
    done = (("name", 2.0), ("date", 1.0), ("hours taken", 0.9), ("discrepancy no.", 1.1))
    who = f"Done by: {card.doer}" if card.doer else "Done by"
    blocks = [gap(4), boxed_blanks(who, done, width)]
    if card.entry:
        owed = f"Signature owed: {card.signer or 'certificated person'} · entry under 14 CFR {card.entry}"
        signed = (("signature", 2.0), ("certificate no., kind", 1.6), ("date", 0.9))
        blocks.append(boxed_blanks(owed, signed, width, firm=True, note=entry_note(card.entry)))
    return blocks


def entry_note(entry: str) -> str:
    """Say what an entry of this kind must hold (14 CFR 43.9(a), 43.11(a)).

    >>> entry_note("43.9")[:30]
    'The entry in the record names '
    """
    if entry == "43.11":
        return (
            "The entry in the record names type and extent of the inspection, date, total time in service, "
            "signature, certificate number and kind, and airworthy or a list of discrepancies."
        )
    return (
        "The entry in the record names the work or its data, the date of completion, who did it if another, "
        "signature, certificate number and kind."
    )


def _notes(width: float) -> Callable[[float], Block | None]:
    def fill(height: float) -> Block | None:
        if height < NOTES_FROM:
            return None
        return Block(height, lambda pen, x, top: notes_lines(pen, x, top, width, height))

    return fill


def notes_lines(pen: Pen, x: float, top: float, width: float, height: float) -> None:
    """Draw lines for notes down to the foot of the sheet."""
    pen.write(x, top - 4, "Notes", size_of("small"), face=BOLD, colour=pen.shades.faint)
    line = top - 4 - 8 * MM
    while line >= top - height:
        pen.rule(x, line, width, weight=HAIR)
        line -= 8 * MM
