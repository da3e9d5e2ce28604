"""The table that shows each item of Appendix D with the card that covers it, or why it doesn't apply."""

from __future__ import annotations

from collections.abc import Iterable

from annual_planner.paper.flow import Group, Section
from annual_planner.paper.said import NOT_KNOWN, said_cards
from annual_planner.paper.tables import Cell, CellLike, Column, Tick, table
from annual_planner.paper.text import heading, paragraph
from annual_planner.planning.package_view import PackageView
from annual_planner.trade.coverage import Covered

TITLE = "Scope of the inspection (Appendix D)"
COLUMNS = (
    Column("Item", 15),
    Column("What is looked at", 30),
    Column("Looked for", 42),
    Column("Cards, or why not", 24),
    Column("Done", 8),
)


def coverage(view: PackageView, width: float) -> Section:
    """Make the coverage table; 43.15(c) asks that the checklist holds the scope of Appendix D."""
    note = (
        "14 CFR 43.15(c)(1): the checklist used must hold the scope and detail of Appendix D to Part 43. The items are "
        "in our own words; the official text decides."
    )
    head = (heading(TITLE, width, note=note),)
    numbers = {card.key: card.number for card in view.cards}
    rows = [_row(each, numbers) for each in view.coverage]
    groups = (
        table(COLUMNS, rows, width, head=head) if rows else (Group((*head, paragraph("No items.", width))),)
    )
    return Section(TITLE, groups)


def _row(each: Covered, numbers: dict[str, int]) -> list[CellLike]:
    item = each.item
    answer, applies = _answer(each, numbers)
    looked_for = "; ".join(item.look_for) or NOT_KNOWN
    return [
        item.ref.replace("14 CFR 43 ", ""),
        Cell(item.subject, bold=True),
        looked_for,
        answer,
        Tick() if applies else "",
    ]


def _answer(each: Covered, numbers: dict[str, int]) -> tuple[CellLike, bool]:
    keys: Iterable[object] = getattr(each, "cards", ())
    found = [key if isinstance(key, int) else numbers.get(str(key)) for key in keys]
    known = [number for number in found if number is not None]
    if known:
        return f"card {said_cards(known)}", True
    why = str(getattr(each, "why", "") or getattr(each, "reason", ""))
    if getattr(each, "applies", True):
        return Cell("NOT COVERED" + (f": {why}" if why else ""), bold=True), True
    return f"not applicable: {why}", False
