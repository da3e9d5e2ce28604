"""The table that shows each item of Appendix D with the card that covers it, or why it doesn't apply."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence

from annual_planner.paper.flow import Group, Section
from annual_planner.paper.said import NOT_KNOWN, said_cards, text_in
from annual_planner.paper.tables import Cell, CellLike, Column, Tick, table
from annual_planner.paper.text import heading, paragraph
from annual_planner.planning.package_view import PackageView
from annual_planner.store.rows import CardLine
from annual_planner.trade.coverage import Covered

TITLE = "Scope of the inspection (Appendix D)"
COLUMNS = (
    Column("Item", 17),
    Column("What is looked at", 29),
    Column("Looked for", 37),
    Column("Cards, or why not", 30),
    Column("Done", 8),
)


def coverage(view: PackageView, width: float) -> Section:
    """Make the coverage table; 43.15(c) asks that the checklist holds the scope of Appendix D."""
    note = (
        "14 CFR 43.15(c)(1): the checklist used must hold the scope and detail of Appendix D to Part 43. "
        "The items are in our own words; the official text decides."
    )
    head = (heading(TITLE, width, note=note),)
    numbers = _numbers(view.cards)
    rows = [_row(each, numbers) for each in view.coverage]
    groups = (
        table(COLUMNS, rows, width, head=head) if rows else (Group((*head, paragraph("No items.", width))),)
    )
    return Section(TITLE, groups)


def _numbers(cards: Iterable[CardLine]) -> dict[str, set[int]]:
    """Numbers of the cards by their own key and by the key of what they were made from."""
    found: dict[str, set[int]] = defaultdict(set)
    for card in cards:
        for key in {card.key, card.key.split("#")[0], text_in(card.content, "template")}:
            found[key].add(card.number)
    return found


def _row(each: Covered, numbers: Mapping[str, set[int]]) -> list[CellLike]:
    item = each.item
    known = sorted({number for key in each.cards for number in numbers.get(key, ())})
    tick = Tick() if known or not each.not_applicable else ""
    looked_for = "; ".join(item.look_for) or NOT_KNOWN
    return [
        item.ref.replace("14 CFR 43 ", ""),
        Cell(item.subject, bold=True),
        looked_for,
        _answer(each, known),
        tick,
    ]


def _answer(each: Covered, known: Sequence[int]) -> CellLike:
    parts = [f"card {said_cards(known)}"] if known else []
    if each.not_applicable:
        parts.append(f"not applicable: {each.not_applicable}")
    return "\n".join(parts) or Cell("NOT COVERED by a card of this package", bold=True)
