"""The work cards in order: cautions, steps to tick, numbers to take, who did it and who signs."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from decimal import Decimal
from itertools import groupby

from annual_planner.paper.card_head import card_head, continued_head
from annual_planner.paper.card_marks import card_marks
from annual_planner.paper.cautions import caution_block, short_cautions
from annual_planner.paper.faces import REGULAR, parted
from annual_planner.paper.flow import Block, Group, Section
from annual_planner.paper.look import MM
from annual_planner.paper.measurements import measurement_blocks
from annual_planner.paper.notes import notes_to_foot
from annual_planner.paper.said import (
    said_count,
    said_inside,
    said_key,
    said_number,
    said_tenths,
    tables_in,
    text_in,
    texts_in,
    told_once,
)
from annual_planner.paper.signing import GUTTER, open_blanks, side_by_side
from annual_planner.paper.steps import step_blocks
from annual_planner.paper.summary import NO_CARDS
from annual_planner.paper.text import band, gap, heading, paragraph, paragraphs, size_of, stacked
from annual_planner.planning.package_view import PackageView
from annual_planner.planning.paper_fields import FieldName, measure_word, plan_digest
from annual_planner.store.rows import CardLine
from annual_planner.trade.cards import Caution, WorkKind
from annual_planner.trade.engines import Row

TITLE = "Work cards in order"
AFTER_CARD = 2 * MM
MOST_NOTE, NOTE_SHARE = 12, 0.75
"""Lines of a note, and its share of the width, in a card's head; a longer one goes on below it."""
PANELS: dict[str, str] = {WorkKind.OPEN: "Opens", WorkKind.CLOSE: "Closes"}
"""What a card does to the panels it names, by its kind; others need them off."""
HOW = (
    (
        "Tick each step when it is done; write readings with the gauge’s units; give each defect a number "
        "on the sheets ‘Discrepancies found’. Hours are at best / as a rule / at worst. The code holds "
        "package and card number."
    ),
    (
        "A box with a firm edge is there only where a signature is owed. Entry 43.9: the work or its "
        "data, date of completion, who did it if another, signature, certificate number and kind. Entry "
        "43.11: type and extent of the inspection, date, total time in service, signature, certificate "
        "number and kind, and airworthy or a list of discrepancies. The entry itself stands in the "
        "maintenance record, not here."
    ),
    (
        "These sheets can also be filled in on a screen: readings, done, initials, why a card does not "
        "apply, notes. Such a copy can be read back into the program. A signature is never taken from it."
    ),
)


def work_cards(view: PackageView, width: float) -> Section:
    """Make all cards in the order of work, grouped by phase."""
    cautions = {caution.key: caution for caution in view.cautions}
    groups: list[Group] = [_how_to_use(width)]
    marks: dict[int, str] = {}
    plan = plan_digest(view.cards)
    for phase, cards in groupby(view.cards, key=lambda card: card.phase):
        together = list(cards)
        marks[len(groups)] = said_key(phase)
        made = [_card(card, view, plan, cautions, width) for card in together]
        groups.append(replace(made[0], blocks=(_phase_head(phase, together, width), *made[0].blocks)))
        groups += made[1:]
    if not view.cards:
        groups = [Group((heading(TITLE, width), paragraph(NO_CARDS, width)))]
    return Section(TITLE, tuple(groups), filler=notes_to_foot(width), needs=1.0, marks=marks)


def _phase_head(phase: str, cards: list[CardLine], width: float) -> Block:
    likely = sum((card.hours_likely for card in cards), Decimal(0))
    told = f"{said_count(len(cards), 'card')}, about {said_tenths(likely)} h"
    return band(said_key(phase), width, told=told)


def _card(
    card: CardLine, view: PackageView, plan: str, cautions: Mapping[str, Caution], width: float
) -> Group:
    content = card.content
    named = tuple(cautions[key] for key in texts_in(content, "cautions") if key in cautions)
    again = continued_head(card, width)
    note, rest = parted(card.note, REGULAR, size_of("body"), NOTE_SHARE * width, MOST_NOTE)
    return Group(
        (
            card_head(card, view.package.number, width, _needs(card, view, note)),
            *(paragraphs(rest, width) if rest else ()),
            *(caution_block(caution, width) for caution in named),
            *step_blocks(texts_in(content, "steps"), width),
            *_measurements(card, view, plan, width),
            gap(1.5),
            card_marks(view.package.number, plan, card.number, width),
            *_endings(card, width),
        ),
        below=AFTER_CARD,
        continued=stacked(again, short_cautions(named, width)) if named else again,
    )


def _needs(card: CardLine, view: PackageView, note: str) -> list[tuple[str, str]]:
    """What the card needs and rests on, each with its label; nothing empty."""
    content = card.content
    parts = [_part(part) for part in tables_in(content, "parts") if said_number(part.get("quantity")) != "0"]
    panels = texts_in(content, "panel_titles") or tuple(said_key(key) for key in texts_in(content, "panels"))
    references = told_once(texts_in(content, "references"))
    lines = (
        (PANELS.get(card.kind, "Panels"), ", ".join(said_inside(panel) for panel in panels)),
        ("Tools", ", ".join(texts_in(content, "tools"))),
        ("Parts", ", ".join(parts)),
        ("Why", text_in(content, "why")),
        ("Taken in", ", ".join(texts_in(content, "merged"))),
        ("References", " · ".join(references)),
        ("Covers", _items(texts_in(content, "covers"), references, view)),
        ("Note", note),
    )
    return [(label, text) for label, text in lines if text]


def _items(keys: Sequence[str], references: Sequence[str], view: PackageView) -> str:
    """Name items of the inspection's scope by where they stand in the rule; not those the references name."""
    refs = {each.item.id: each.item.ref for each in view.coverage}
    named = dict.fromkeys(refs.get(key, key) for key in keys)
    return ", ".join(ref.replace("14 CFR 43 ", "") for ref in named if ref not in references)


def _part(part: Mapping[str, object]) -> str:
    unit, name = text_in(part, "unit"), said_inside(text_in(part, "name"))
    amount = said_number(part.get("quantity"))
    return f"{amount} × {name}" if unit in ("", "each") else f"{amount} {unit} {name}"


def _measurements(card: CardLine, view: PackageView, plan: str, width: float) -> list[Block]:
    measured = tables_in(card.content, "measurements")

    def name_of(measurement: int, taking: int) -> str:
        return str(FieldName(view.package.number, plan, card.number, measure_word(measurement, taking)))

    radial = _front_and_rear(card, view)
    found = measurement_blocks(measured, view.aircraft.counts, width, radial=radial, name_of=name_of)
    return [gap(4), *found] if found else []


def _front_and_rear(card: CardLine, view: PackageView) -> bool:
    """Say whether a cylinder's plugs sit front and rear: by the engine's type, else by the features."""
    place = card.content.get("engine") or 1
    engine = next((each.engine_type for each in view.engines if each.position == place), None)
    if engine is None:
        return any("radial" in feature for feature in view.aircraft.features)
    return engine.rows[0].row in (Row.FRONT, Row.REAR)


def _endings(card: CardLine, width: float) -> list[Block]:
    """Who did it, and where a signature is owed a box of its own for it."""
    if not card.entry:
        alone = (("done by, name", 2.0), ("date", 1.0), ("hours taken", 0.9), ("discrepancy no.", 1.1))
        return [open_blanks(alone, width)]
    owed = f"Signature owed: {card.signer or 'certificated person'} · entry {card.entry}"
    left = width * 0.38
    signed = open_blanks(
        ((owed, 2.35), ("certificate no., kind", 1.1), ("date", 0.65)), width - left - GUTTER, owed=True
    )
    done = open_blanks((("done by, name", 1.8), ("date", 1.0), ("hours", 0.7)), left, high=signed.height)
    return [side_by_side(done, signed, left + GUTTER)]


def _how_to_use(width: float) -> Group:
    """Say once what the boxes of the cards mean (entries: 14 CFR 43.9(a), 43.11(a))."""
    return Group((heading(TITLE, width), *(paragraph(text, width) for text in HOW), gap(8)))
